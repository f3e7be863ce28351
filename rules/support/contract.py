"""Where support is asked, every unit has a contract.

Why it matters: the one switch without a contract is the one that fails.
What a box holds counts.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting, once

from . import modelling
from .checking import is_asked, of_units

# the rule's part of the model


def needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """A contract for the unit."""
    if modelling.asked(setting):
        yield Need("support", _recipes(setting, catalog))


def _recipes(setting: Setting, catalog: Catalog) -> tuple[tuple[str, ...], ...]:
    """Every contract there is; kept, since they are the same for every unit."""

    def make(setting: Setting) -> tuple[tuple[str, ...], ...]:
        return modelling.recipes(modelling.unit_contracts(catalog), setting)

    return once(catalog.cache("contracts"), "", setting, make)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each unit has a contract, and none by the month that is bought for longer than it is sold."""
    if not is_asked(ask):
        return
    held = of_units(build, catalog)
    for unit in build.units:
        if not any(one.unit is unit for one in held):
            yield Breach("no support contract for the unit", unit.position)
    for one in held:
        if one.months > one.contract.term_months:
            most = one.contract.term_months
            yield Breach(f"{one.contract.id} for {one.months} months, it is sold for {most} at most", one.position)


RULE = Rule(
    id="support.contract",
    family="support",
    sentence="Where support is asked, every unit has a contract.",
    source=COMMON_PRACTICE,
    about=("support_level", "support_months", "support_until"),
    applies=lambda catalog: bool(catalog.parts.support),
    requires=Requires(unit=needs),
    check=check,
)
