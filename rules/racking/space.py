"""The units of a stack fit into the rack units that are free.

A rack unit is 44.45 mm (EIA-310); the unit that doesn't fit stands on the floor.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import Breach, Row, Rule, Source
from configurator.setting import Ask, OrderAsk

from ..looking import closets, type_of

# the rule's part of the model


def _told(amount: int) -> str:
    return "1 rack unit" if amount == 1 else f"{amount} rack units"


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """Heights together."""
    free = ask.stack.rack_units_free
    if free is not None:
        yield Row("<=", free, fitouts=height, by_type=True, shared=True, told=_told)


def height(fitout: Fitout) -> int:
    """Rack units of a type."""
    return fitout.unit_type.rack_units


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Adds up the heights of all units whose type is known."""
    free = ask.stack.rack_units_free
    if free is None:
        return
    takes = sum(unit_type.rack_units for unit in build.units if (unit_type := type_of(unit, catalog)))
    if takes > free:
        yield Breach(f"the units take {takes} U together, {free} U are free: short by {takes - free} U")


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """The heights of all stacks in one closet."""
    for closet in closets(order, asked):
        for breach in check(closet.build, closet.ask, catalog):
            yield Breach(f"{closet.name}: {breach.text}")


RULE = Rule(
    id="racking.space",
    family="racking",
    sentence="The units of a stack together take no more rack units than are free.",
    source=Source("EIA-310 and IEC 60297, rack unit of 44.45 mm"),
    about=("rack_units_free",),
    limits=limits,
    check=check,
    check_order=check_order,
)
