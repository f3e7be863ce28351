"""A catalog being made, and small helpers to copy one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from configurator.catalog import ORDERABLE, Catalog, PriceList, PriceRow
from configurator.parts import Parts
from tests.oracles.facts import COUNTRIES, COUPLERS, POE_CLASSES

DIRECTIONS = (("F", "front-to-back"), ("B", "back-to-front"))
ISSUED, VALID_UNTIL, ORDERED = date(2030, 1, 1), date(2030, 12, 31), date(2030, 6, 1)


@dataclass
class Draft:
    """A catalog being made: rows of each kind, and prices beside them."""

    rows: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    prices: dict[str, int] = field(default_factory=dict)

    def add(self, section: str, price_minor: int | None = None, **row: Any) -> str:
        """Adds a row to a section; orderable parts bring their price."""
        self.rows.setdefault(section, []).append(row)
        name = str(row.get("id", ""))
        if section in ORDERABLE:
            row.setdefault("description", f"part {name}")
        if price_minor is not None:
            self.prices[name] = price_minor
        return name

    def catalog(self) -> Catalog:
        """The finished catalog, with the tables that all share."""
        tables: dict[str, Any] = {"poe_classes": POE_CLASSES, "couplers": COUPLERS, "countries": COUNTRIES}
        return make_catalog(Parts.model_validate({**tables, **self.rows}), self.prices)


def make_catalog(parts: Parts, prices: Mapping[str, int]) -> Catalog:
    """Parts with prices, in euros, all active and in stock."""
    rows = {p: PriceRow(part=p, price_minor=m, status="active", lead_time_days=7) for p, m in prices.items()}
    return Catalog(parts, PriceList("EUR", 2, ISSUED, VALID_UNTIL, rows, "generated"), "generated")


def prices_of(catalog: Catalog) -> dict[str, int]:
    """What each part costs."""
    return {part: row.price_minor for part, row in catalog.prices.rows.items()}


def fresh(catalog: Catalog) -> Catalog:
    """The same catalog with nothing remembered."""
    return Catalog(catalog.parts, catalog.prices, catalog.name)
