"""What discounts take off an order: from the catalog's prices to what an answer tells."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from configurator.answer_discounts import DiscountRow, DiscountsUsed
from configurator.catalog import Catalog
from configurator.conflicts.refused import encodable
from configurator.discounts import Discount


class Ordered(Protocol):
    """A line of an order."""

    @property
    def part(self) -> str:
        """Part number."""

    @property
    def quantity(self) -> int:
        """How many of it."""


def list_value_minor(lines: Iterable[Ordered], catalog: Catalog) -> int:
    """What some lines come to at list prices."""
    return sum((catalog.list_minor(line.part) or 0) * line.quantity for line in lines)


def discounts_used(lines: Iterable[Ordered], catalog: Catalog) -> DiscountsUsed | None:
    """What discounts take off what is ordered; none: none is in force on the day."""
    discounts = catalog.prices.discounts
    if discounts is None or not catalog.discounted:
        return None
    every, reached = tuple(lines), catalog.prices.order_minor
    listed = list_value_minor(every, catalog)
    net = sum((catalog.price_minor(line.part) or 0) * line.quantity for line in every)
    return DiscountsUsed(
        name=encodable(discounts.name),
        list_minor=listed,
        discount_minor=listed - net,
        net_minor=net,
        threshold_minor=reached or None,
        next_minor=min((one for one in discounts.thresholds_minor if one > reached), default=None),
        rows=tuple(_row(one, reached) for one in discounts.in_force),
    )


def _row(one: Discount, reached_minor: int) -> DiscountRow:
    return DiscountRow(
        line=one.line,
        part=one.part,
        category=one.category,
        percent=one.percent,
        first_day=one.first_day,
        last_day=one.last_day,
        order_from_minor=one.order_from_minor or None,
        reached=one.order_from_minor <= reached_minor,
    )
