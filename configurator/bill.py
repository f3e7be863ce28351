"""From a build to the lines of its bill: parts, quantities and integer money.

A bill lists what is bought and nothing else.  What lies in the boxes of what is bought is told
apart (`contents`), at no charge, so that nobody orders it twice.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.groups import GROUPS, group_of


class Unpriced(ValueError):
    """A part to order has no price.  The rule book forbids it, so a checked build never gets here."""


@dataclass(frozen=True)
class Line:
    """One line of a bill."""

    part: str
    description: str
    group: str
    quantity: int
    included: int  # how many more of this part come in boxes, at no charge
    unit_price_minor: int  # net
    list_price_minor: int | None = None  # of one; none: no discount is in force
    discount_percent: Decimal | None = None  # off it; none: no discount on this part
    discount_line: int | None = None  # of the discounts' file

    @property
    def amount_minor(self) -> int:
        """What the line costs."""
        return self.quantity * self.unit_price_minor


@dataclass(frozen=True)
class Inside:
    """So many of a part that come in the boxes of another."""

    part: str
    description: str
    quantity: int
    box: str


def bought(build: Build) -> Counter[str]:
    """How many of each part one stack orders."""
    counts: Counter[str] = Counter()
    for loose in (build.bought, *(unit.bought for unit in build.units)):
        for item in loose:
            counts[item.part] += item.count
    return counts


def lines(counts: Counter[str], catalog: Catalog, times: int = 1) -> tuple[Line, ...]:
    """The bill of these parts `times` over, sorted by group and part number."""
    order = {name: place for place, (name, _) in enumerate(GROUPS)}
    inside: Counter[str] = Counter()
    for item in contents(counts, catalog, times):
        inside[item.part] += item.quantity
    out = []
    for number, count in counts.items():
        part, price_minor = catalog.by_id[number], catalog.price_minor(number)
        if price_minor is None:
            raise Unpriced(number)
        if count > 0:
            off = _discount(number, catalog)
            head = (number, part.description, group_of(part), count * times, inside[number], price_minor)
            out.append(Line(*head, *off))
    return tuple(sorted(out, key=lambda line: (order[line.group], line.part)))


def _discount(part: str, catalog: Catalog) -> tuple[int | None, Decimal | None, int | None]:
    """List price, percent off it and the line of the discounts' file; nothing where no discount is in force."""
    if not catalog.discounted:
        return None, None, None
    off = catalog.discount_on(part)
    return catalog.list_minor(part), None if off is None else off.percent, None if off is None else off.line


def contents(counts: Counter[str], catalog: Catalog, times: int = 1) -> tuple[Inside, ...]:
    """What lies in the boxes of these parts, by box and part number."""
    found: Counter[tuple[str, str]] = Counter()
    for box, count in counts.items():
        for content in catalog.by_id[box].contents:
            found[box, content.part] += content.count * count * times
    return tuple(
        Inside(number, catalog.by_id[number].description if number in catalog.by_id else number, quantity, box)
        for (box, number), quantity in sorted(found.items())
        if quantity > 0
    )


def total_minor(bill: Iterable[Line]) -> int:
    """What a bill comes to."""
    return sum(line.amount_minor for line in bill)
