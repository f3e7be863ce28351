"""The whole stack takes no more volt-amperes than the UPS still carries.

A UPS is rated in volt-amperes, which are the watts at the plug over the supplies' power factor; PoE is part of them.
Figures are those of the poorest supply: of the unit for what it draws itself, of the stack for its ports.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask

from . import modelling
from .checking import hundredths, taken

# the rule's part of the model


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """All that the stack takes, PoE included."""
    if ask.stack.ups_va is not None:
        yield from modelling.rows(100 * ask.stack.ups_va, modelling.efficiency_of_va, ask, catalog, poe_stays=True)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Everything drawn and fed, over efficiency and power factor."""
    carries_va = ask.stack.ups_va
    if carries_va is None:
        return
    takes = taken(build, ask, catalog, lambda supply: supply.efficiency * supply.power_factor, poe_stays=True)
    over = takes - 100 * carries_va
    if over > 0:
        yield Breach(
            f"the stack takes {hundredths(takes, 'VA')}, the UPS carries {carries_va} VA: "
            f"over by {hundredths(over, 'VA')}"
        )


RULE = Rule(
    id="site.ups",
    family="site",
    sentence="The stack takes no more volt-amperes than the UPS still carries.",
    source=COMMON_PRACTICE,
    about=("ups_va", "ports", "devices", "uplinks"),
    limits=limits,
    check=check,
)
