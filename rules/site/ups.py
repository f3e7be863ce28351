"""The whole stack takes no more volt-amperes than the UPS still carries.

A UPS is rated in volt-amperes, which are the watts at the plug over the supplies' power factor; PoE is part of them.
Figures are those of the poorest supply: of the unit for what it draws itself, of the stack for its ports.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask, OrderAsk

from ..looking import closets
from . import modelling
from .checking import hundredths, taken

# the rule's part of the model


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """All that the stack takes, PoE included."""
    if ask.stack.ups_va is not None:
        yield from modelling.rows(
            100 * ask.stack.ups_va, modelling.efficiency_of_va, ask, catalog, poe_stays=True, unit="VA"
        )


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Everything drawn and fed, over efficiency and power factor."""
    yield from _over(ask, [(build, ask)], catalog)


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """All stacks in one closet together."""
    for closet in closets(order, asked):
        for breach in _over(closet.ask, closet.stacks, catalog):
            yield Breach(f"{closet.name}: {breach.text}")


def _over(ask: Ask, stacks: Sequence[tuple[Build, Ask]], catalog: Catalog) -> Iterator[Breach]:
    """What they take against what is allowed."""
    carries_va = ask.stack.ups_va
    if carries_va is None:
        return
    takes = taken(stacks, catalog, lambda supply: supply.efficiency * supply.power_factor, poe_stays=True)
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
    check_order=check_order,
)
