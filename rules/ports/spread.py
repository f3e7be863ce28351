"""Uplinks are on as many units as asked.

Why it matters: two uplinks on one unit are both gone when that unit is.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def spreads(kind: Kind) -> int:
    """Over how many units the uplinks of a statement go."""
    return kind.said.spread_over_units if isinstance(kind.said, Uplinks) else 1


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts the units that have an uplink of each statement."""
    for key, said in looking.statements(ask).items():
        if not isinstance(said, Uplinks) or said.spread_over_units == 1:
            continue
        units = sum(any(use.statement == key for use in unit.uses) for unit in build.units)
        if units < said.spread_over_units:
            yield Breach(f"{looking.title(key, said)}: on {said.spread_over_units} units asked, on {units} found")


RULE = Rule(
    id="ports.spread",
    family="ports",
    sentence="Uplinks are on as many units as asked, so that the loss of one unit leaves a way out.",
    source=COMMON_PRACTICE,
    about=("uplinks",),
    spreads=spreads,
    check=check,
)
