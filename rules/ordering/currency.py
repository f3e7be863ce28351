"""Prices are in the currency asked.

Why it matters: a converted price is not the maker's price.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.rule import Breach, Rule, Source
from configurator.setting import Ask, Setting

# the rule's part of the model


def forbids_part(part: Part, setting: Setting, catalog: Catalog) -> bool:
    """Any part of a list in another currency."""
    return setting.currency not in (None, catalog.prices.currency)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the list's currency with the one asked, if one is."""
    asked = ask.setting.currency
    if asked is not None and catalog.prices.currency != asked:
        yield Breach(f"the price list is in {catalog.prices.currency}, {asked} is asked")


RULE = Rule(
    id="ordering.currency",
    family="ordering",
    sentence="Prices are in the currency asked.",
    source=Source("ISO 4217: currency codes"),
    about=("currency",),
    forbids_part=forbids_part,
    check=check,
)
