"""A unit's supplies cover everything it draws and feeds.

Whole units count: watts left over in one unit power nothing in another.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from . import modelling
from .checking import largest_dw, units_with_supplies, watts

# the rule's part of the model


def gives(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """All supplies at their best input voltage."""
    if not modelling.has_supplies(fitout):
        return None
    return sum(modelling.best_dw(supply) for supply in fitout.supplies)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Outputs at their best voltage, summed, are at least what the unit draws and feeds."""
    for one in units_with_supplies(build, ask, catalog):
        has_dw, takes_dw = sum(map(largest_dw, one.supplies)), one.load_dw()
        if has_dw < takes_dw:
            yield Breach(
                f"supplies give {watts(has_dw)}, the unit draws {watts(one.own_dw)} itself and feeds "
                f"{watts(takes_dw - one.own_dw)} of PoE: short by {watts(takes_dw - has_dw)}",
                one.position,
            )


RULE = Rule(
    id="power.supplies_cover_load",
    family="power",
    sentence="A unit's supplies cover everything it draws and feeds.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    budgets=modelling.load_budgets("watts", gives),
    explains=("supply",),
    check=check,
)
