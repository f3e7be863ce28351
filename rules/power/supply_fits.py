"""A bay takes only supplies made for it, and a unit has as many as it may.

A supply of another line-up doesn't slide in, and one bay holds one supply.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from ..looking import type_of

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A supply in a bay that doesn't take it, or too few or too many of them."""
    bays = fitout.unit_type.supply_bays
    if bays is None:
        return False
    count = len(fitout.supplies)
    return not bays.at_least <= count <= bays.count or any(s.id not in bays.takes for s in fitout.supplies)


# the check

BUILT_IN = 0  # bay of a supply that can't be taken out


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Built-in supplies are the type's; all others are in a bay of their own that takes them."""
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if unit_type is None:
            continue
        bays = unit_type.supply_bays
        built_in = [fitted.supply for fitted in unit.supplies if fitted.bay == BUILT_IN]
        in_bays = [fitted for fitted in unit.supplies if fitted.bay != BUILT_IN]
        if built_in != ([unit_type.built_in_supply] if unit_type.built_in_supply else []):
            has, takes = ", ".join(built_in) or "none", unit_type.built_in_supply or "none"
            yield Breach(f"built in: {has}, {unit_type.id} has {takes}", unit.position)
        for bay, number in sorted(Counter(fitted.bay for fitted in in_bays).items()):
            if number > 1:
                yield Breach(f"bay {bay} holds {number} supplies, it takes 1", unit.position)
        for fitted in in_bays:
            if not bays or not 1 <= fitted.bay <= bays.count:
                has = f"{bays.count} supply bays" if bays else "no supply bays"
                yield Breach(f"{fitted.supply} is in bay {fitted.bay}, {unit_type.id} has {has}", unit.position)
            elif fitted.supply not in bays.takes:
                takes = ", ".join(bays.takes)
                yield Breach(f"{fitted.supply} is in bay {fitted.bay}, which takes {takes}", unit.position)
        if bays and not bays.at_least <= len(in_bays) <= bays.count:
            yield Breach(
                f"{len(in_bays)} supplies in bays, {unit_type.id} has {bays.at_least} to {bays.count}", unit.position
            )


RULE = Rule(
    id="power.supply_fits",
    family="power",
    sentence="A unit has as many supplies as it may, each in a bay of its own that takes it.",
    source=COMMON_PRACTICE,
    forbids={"supplies": forbids},
    check=check,
)
