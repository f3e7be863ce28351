"""Everything that comes from outside: catalog folders, price lists, demands."""

from __future__ import annotations

from configurator.reading.asks import Asked
from configurator.reading.assumptions import Assumption
from configurator.reading.demand import load_demand
from configurator.reading.line import OPTIONS, Line, check_one_demand, load_line, read_line
from configurator.reading.parts import CatalogNotes, catalog_notes, load_catalog, load_parts
from configurator.reading.prices import load_prices, minor_decimals

__all__ = [
    "OPTIONS",
    "Asked",
    "Assumption",
    "CatalogNotes",
    "Line",
    "catalog_notes",
    "check_one_demand",
    "load_catalog",
    "load_demand",
    "load_line",
    "load_parts",
    "load_prices",
    "minor_decimals",
    "read_line",
]
