"""Everything that comes from outside: catalog folders, price lists, demands."""

from __future__ import annotations

from configurator.reading.answers import load_answer, load_audit, load_either
from configurator.reading.asks import Asked
from configurator.reading.assumptions import Assumption
from configurator.reading.demand import demand_from, load_demand
from configurator.reading.discounts import load_discounts
from configurator.reading.files import Source
from configurator.reading.line import OPTIONS, Line, check_one_demand, load_line, read_line
from configurator.reading.parts import CatalogNotes, catalog_notes, load_catalog, load_parts, parts_and_files
from configurator.reading.prices import load_prices, minor_decimals
from configurator.reading.waivers import load_waivers

__all__ = [
    "OPTIONS",
    "Asked",
    "Assumption",
    "CatalogNotes",
    "Line",
    "Source",
    "catalog_notes",
    "check_one_demand",
    "demand_from",
    "load_answer",
    "load_audit",
    "load_catalog",
    "load_demand",
    "load_discounts",
    "load_either",
    "load_line",
    "load_parts",
    "load_prices",
    "load_waivers",
    "minor_decimals",
    "parts_and_files",
    "read_line",
]
