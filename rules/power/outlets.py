"""There is a free outlet for every plug.

A rack's strips have outlets of few types, and the last free one is soon taken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.parts import Cord
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask, OrderAsk

from ..looking import closets, part_of

# the rule's part of the model


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """Of each type no more cords than free outlets."""
    free = Counter[str]()
    for outlets in ask.outlets or ():
        free[outlets.plug] += outlets.count
    for plug, count in sorted(free.items()):
        yield _row(plug, count)


def _row(plug: str, count: int) -> Row:
    def cords(fitout: Fitout) -> int:
        return fitout.plugs.count(plug)

    def told(amount: int) -> str:
        return f"{amount} {plug} {'outlet' if amount == 1 else 'outlets'}"

    return Row("<=", count, fitouts=cords, shared=True, told=told)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """No more plugs of a type in the stack than free outlets; a type that isn't listed has none."""
    if ask.outlets is None:
        return
    free: Counter[str] = Counter()
    for outlets in ask.outlets:
        free[outlets.plug] += outlets.count
    cords = (part_of(fitted.cord, Cord, catalog) for unit in build.units for fitted in unit.supplies)
    for plug, number in sorted(Counter(cord.plug for cord in cords if cord).items()):
        if number > free[plug]:
            yield Breach(f"{number} plugs {plug} need an outlet, {free[plug]} are free: short by {number - free[plug]}")


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """The plugs of all stacks in one closet."""
    for closet in closets(order, asked):
        for breach in check(closet.build, closet.ask, catalog):
            yield Breach(f"{closet.name}: {breach.text}")


RULE = Rule(
    id="power.outlets",
    family="power",
    sentence="No more plugs of a type than free outlets of it.",
    source=COMMON_PRACTICE,
    about=("outlets", "country"),
    applies=lambda catalog: bool(catalog.parts.cords),
    limits=limits,
    check=check,
    check_order=check_order,
)
