"""The price list is valid on the order date.

Why it matters: prices of last year's list bind nobody.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

# the rule's part of the model


def forbids_part(part: Part, setting: Setting, catalog: Catalog) -> bool:
    """Any part of a list that isn't valid on the order date."""
    return not catalog.prices.issued <= setting.order_date <= catalog.prices.valid_until


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the list's two dates, both included, with the order's."""
    prices, on = catalog.prices, ask.setting.order_date
    if not prices.issued <= on <= prices.valid_until:
        yield Breach(f"the price list is valid from {prices.issued} to {prices.valid_until}, the order is of {on}")


RULE = Rule(
    id="ordering.valid",
    family="ordering",
    sentence="The price list is valid on the order date.",
    source=COMMON_PRACTICE,
    forbids_part=forbids_part,
    check=check,
)
