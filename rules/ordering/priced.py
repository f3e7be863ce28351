"""Every part to order is on the price list.

Why it matters: a bill with a blank price is no offer.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking
from .checking import on_the_shelf

# the rule's part of the model


def forbids_part(part: Part, setting: Setting, catalog: Catalog) -> bool:
    """A part that the list doesn't name."""
    return catalog.price_minor(part.id) is None


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks each part number up on the list."""
    for part, count in looking.ordered(build).items():
        if part not in catalog.prices.rows:
            yield Breach(f"{count} of {part} to order, which has no price on the list")


RULE = Rule(
    id="ordering.priced",
    family="ordering",
    sentence="Every part to order is on the price list.",
    source=COMMON_PRACTICE,
    forbids_part=forbids_part,
    check=check,
    check_order=on_the_shelf(check),
)
