"""A catalog with other prices, and what may be kept of what was learnt of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from configurator.catalog import Catalog
from configurator.parts import Box

UNPRICED = (
    *("shapes", "raw powers", "powerings", "module choices", "arrangements", "covers", "pool", "unit parts"),
    *("brings", "touched", "kits", "lots", "packed", "suited", "to be had"),
    *("groups of a type", "port groups", "plugs", "takers", "link recipes"),
    *("kinds with marks", "contracts", "cords of an inlet"),
)
"""What the engine and rules keep that doesn't look at what a box costs."""
PRICED = "priced fit-outs"  # by unit type


def as_paid(catalog: Catalog, ordered: Mapping[str, int]) -> Catalog:
    """The catalog with the prices that this order pays: discounts are taken off, and stay as they are for it."""
    if catalog.prices.discounts is None:
        return catalog
    whole_minor = sum((catalog.list_minor(part) or 0) * count for part, count in ordered.items())
    return priced(catalog.for_order_of(whole_minor), {})


def priced(catalog: Catalog, instead: Mapping[str, int], times: int = 1) -> Catalog:
    """The catalog with every price so many times as high, and those of some parts as told."""
    rows = {
        part: row.model_copy(update={"price_minor": instead.get(part, times * (catalog.price_minor(part) or 0))})
        for part, row in catalog.prices.rows.items()
    }
    prices = replace(catalog.prices, rows=rows, discounts=None, order_minor=0)
    return Catalog(catalog.parts, prices, catalog.name, catalog.files)


def with_price(catalog: Catalog, part: str, price_minor: int) -> Catalog:
    """The catalog with one price replaced; KeyError where the part has none."""
    if part not in catalog.prices.rows:
        raise KeyError(part)
    return priced(catalog, {part: price_minor})


class Repriced:
    """One catalog with all prices so many times over, and a box of it at any price.

    What is learnt under one price and doesn't depend on it serves under the others.
    """

    def __init__(self, catalog: Catalog, times: int) -> None:
        self.catalog, self.times = priced(catalog, {}, times), times

    def at(self, box: Box, price_minor: int) -> Catalog:
        """With this box at this price, which is not taken times over."""
        found = priced(self.catalog, {box.id: price_minor})
        for name in UNPRICED:
            found.caches[name] = self.catalog.cache(name)
        found.caches[PRICED] = {book: _of_others(kept, box.unit) for book, kept in self.catalog.cache(PRICED).items()}
        return found

    def learnt(self, catalog: Catalog, box: Box) -> None:
        """Takes back what was learnt of other unit types than the box's under one price."""
        for book, kept in catalog.cache(PRICED).items():
            own = self.catalog.cache(PRICED).setdefault(book, {})
            for key, made in _of_others(kept, box.unit).items():
                own.setdefault(key, {}).update(made)


def _of_others(kept: Mapping[Any, Any], unit_type: str) -> dict[Any, Any]:
    """What is kept of other unit types: the type leads each key."""
    return {key: dict(made) for key, made in kept.items() if key[0] != unit_type}
