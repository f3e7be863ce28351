"""No part is ordered in a smaller number than it is sold in.

Why it matters: the distributor turns the line down, or fills it up at a price that nobody has seen.
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
    """No fewer than its least quantity."""
    row = catalog.prices.rows.get(part)
    return 1, (1 if row is None else row.least_quantity)


# the check


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """Compares what is on the order with the least quantity of each part."""
    for part, count in looking.on_order(order).items():
        row = catalog.prices.rows.get(part)
        if row is not None and count < row.least_quantity:
            yield Breach(f"{count} of {part} on the order, which is sold from {row.least_quantity} up")


RULE = Rule(
    id="ordering.least",
    family="ordering",
    sentence="No part is ordered in a smaller number than it is sold in.",
    source=COMMON_PRACTICE,
    applies=lambda catalog: any(row.least_quantity > 1 for row in catalog.prices.rows.values()),
    sells=sells,
    check_order=check_order,
)
