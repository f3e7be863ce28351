"""What stays in the closet as heat is no more than its cooling takes away.

What the plugs take becomes heat in the closet, save the PoE that leaves on the devices' cables; what is lost while
that PoE is made stays.  Losses are those of the poorest supply: of the unit for what it draws itself, of the stack
for its ports and what is plugged into them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import floor

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask, OrderAsk

from ..looking import closets
from . import modelling
from .checking import hundredths, taken

# the rule's part of the model


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """Plug watts less PoE."""
    if ask.stack.heat_w is not None:
        bound = floor(ask.stack.heat_w * 100)
        yield from modelling.rows(bound, modelling.efficiency, ask, catalog, poe_stays=False, unit="W")


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Own draws over efficiency, and what each port adds to them but doesn't send out."""
    yield from _over(ask, [(build, ask)], catalog)


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """All stacks in one closet together."""
    for closet in closets(order, asked):
        for breach in _over(closet.ask, closet.stacks, catalog):
            yield Breach(f"{closet.name}: {breach.text}")


def _over(ask: Ask, stacks: Sequence[tuple[Build, Ask]], catalog: Catalog) -> Iterator[Breach]:
    """What they take against what is allowed."""
    allowed_w = ask.stack.heat_w
    if allowed_w is None:
        return
    stays = taken(stacks, catalog, lambda supply: supply.efficiency, poe_stays=False)
    over = stays - int(allowed_w * 100)
    if over > 0:
        allowed = hundredths(stays - over, "W")
        yield Breach(
            f"{hundredths(stays, 'W')} stay in the closet, {allowed} are allowed: over by {hundredths(over, 'W')}"
        )


RULE = Rule(
    id="site.heat",
    family="site",
    sentence="Plug watts less the PoE that leaves on the cables are within what the closet's cooling takes away.",
    source=COMMON_PRACTICE,
    about=("heat_w", "ports", "devices", "uplinks"),
    limits=limits,
    check=check,
    check_order=check_order,
)
