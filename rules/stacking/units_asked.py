"""A stack has as many units as the customer wants and has places for.

Some want a spare chassis, some have only three free places in the rack.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Arrangement
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

# the rule's part of the model


def arranges(arrangement: Arrangement, ask: Ask, catalog: Catalog) -> bool:
    """As many units as asked, and a place for each."""
    stack, units = ask.stack, arrangement.units
    places = units if stack.rack_positions is None else len(stack.rack_positions)
    if stack.between_units_m is not None and len(stack.between_units_m) > 1:
        places = min(places, len(stack.between_units_m) + 1)
    return (stack.units_at_least or 1) <= units <= min(stack.units_at_most or units, places)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """The number of units is between those asked and within the rack positions stated."""
    units, stack = len(build.units), ask.stack
    if stack.units_at_least is not None and units < stack.units_at_least:
        yield Breach(f"{units} units, asked are at least {stack.units_at_least}")
    if stack.units_at_most is not None and units > stack.units_at_most:
        yield Breach(f"{units} units, asked are at most {stack.units_at_most}")
    if stack.rack_positions is not None and units > len(stack.rack_positions):
        yield Breach(f"{units} units, the rack has {len(stack.rack_positions)} positions for them")
    gaps = stack.between_units_m or ()
    if len(gaps) > 1 and units > len(gaps) + 1:
        yield Breach(f"{units} units, distances are stated between {len(gaps) + 1}")


RULE = Rule(
    id="stacking.units_asked",
    family="stacking",
    sentence="A stack has as many units as asked, and no more than the rack has positions for.",
    source=COMMON_PRACTICE,
    about=("units_at_least", "units_at_most", "rack_positions", "between_units_m"),
    arranges=arranges,
    check=check,
)
