"""Discounts on a price list: on a part, on a kind of parts or on everything, with dates and thresholds.

Of several discounts on one part the largest counts; they don't add up.  What one costs is its list
price less the discount, rounded half up to the minor unit of the currency, once, for one piece.
A discount with a threshold holds where the whole order, at list prices, comes to at least that.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

WHOLE = 10_000  # hundredths of a percent
ROUNDING = "list price less discount, rounded half up for one piece; of several discounts the largest counts"


@dataclass(frozen=True)
class Discount:
    """One row of the file."""

    line: int  # of the file
    hundredths: int  # of a percent
    part: str | None = None  # part number
    category: str | None = None  # instead: a group of the bill; none of both: everything
    first_day: date | None = None  # none: since ever
    last_day: date | None = None  # none: for good
    order_from_minor: int = 0  # value of the whole order at list prices from which it holds

    @property
    def percent(self) -> Decimal:
        """How much it takes off."""
        return Decimal(self.hundredths) / 100

    def holds_on(self, day: date) -> bool:
        """Whether a day is one of its days."""
        return (self.first_day is None or self.first_day <= day) and (self.last_day is None or day <= self.last_day)

    def is_on(self, part: str, group: str) -> bool:
        """Whether it is on a part of this group."""
        return self.part == part or self.category == group or (self.part is None and self.category is None)


@dataclass(frozen=True)
class Discounts:
    """The rows of one file, as they are on a day."""

    rows: tuple[Discount, ...]
    day: date
    name: str = ""  # where it was read
    sha256: str = ""  # of the file

    @property
    def in_force(self) -> tuple[Discount, ...]:
        """Those of the day, whatever the order comes to."""
        return tuple(row for row in self.rows if row.holds_on(self.day))

    @property
    def thresholds_minor(self) -> tuple[int, ...]:
        """The values of an order from which some discount of the day holds, least first."""
        return tuple(sorted({row.order_from_minor for row in self.in_force if row.order_from_minor}))


def largest(rows: Iterable[Discount], part: str, group: str, order_minor: int) -> Discount | None:
    """The discount that counts for a part of an order of this value; of equals the first in the file."""
    mine = [row for row in rows if row.order_from_minor <= order_minor and row.is_on(part, group)]
    return max(mine, key=lambda row: (row.hundredths, -row.line), default=None)


def net_minor(list_minor: int, discount: Discount | None) -> int:
    """What one costs: rounded half up."""
    off = 0 if discount is None else discount.hundredths
    return (list_minor * (WHOLE - off) + WHOLE // 2) // WHOLE
