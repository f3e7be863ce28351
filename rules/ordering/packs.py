"""What comes in packs is ordered in whole packs.

Why it matters: half a pack isn't sold, and the packs of all stacks together are fewer than those of each by itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Order
from configurator.catalog import Catalog
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import OrderAsk

from .. import looking

# the rule's part of the model


def sells(part: str, catalog: Catalog) -> tuple[int, int]:
    """In multiples of its pack."""
    row = catalog.prices.rows.get(part)
    return (1 if row is None else row.pack_size), 1


# the check


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """Divides what is on the order by the size of its pack."""
    for part, count in looking.on_order(order).items():
        row = catalog.prices.rows.get(part)
        if row is not None and count % row.pack_size:
            yield Breach(f"{count} of {part} on the order, which comes in packs of {row.pack_size}")


RULE = Rule(
    id="ordering.packs",
    family="ordering",
    sentence="What comes in packs is ordered in whole packs.",
    source=COMMON_PRACTICE,
    applies=lambda catalog: any(row.pack_size > 1 for row in catalog.prices.rows.values()),
    sells=sells,
    check_order=check_order,
)
