"""The demonstration data that ships with the tool: an invented maker, its catalog, prices and a customer."""

from __future__ import annotations

from dataclasses import replace
from importlib import resources
from pathlib import Path

from configurator.catalog import Catalog

PACKAGE = "configurator_demo"
CATALOG_NAME = "packaged demonstration catalog"
PRICES_NAME = "packaged demonstration price list"


def parts_folder() -> Path:
    """The demonstration catalog's folder."""
    return Path(str(resources.files(PACKAGE) / "parts"))


def prices_file() -> Path:
    """Its price list."""
    return Path(str(resources.files(PACKAGE) / "prices" / "prices.csv"))


def demand_file() -> Path:
    """The demonstration demand."""
    return Path(str(resources.files(PACKAGE) / "demands" / "main.yaml"))


def named(catalog: Catalog) -> Catalog:
    """The catalog, called what it is and not where it lies; its price list too, if it is the packaged one."""
    own = catalog.prices.name == str(prices_file())
    prices = replace(catalog.prices, name=PRICES_NAME) if own else catalog.prices
    return Catalog(catalog.parts, prices, CATALOG_NAME, catalog.files)


def has_packaged_prices(catalog: Catalog) -> bool:
    """Whether the packaged price list serves."""
    return catalog.prices.name == PRICES_NAME


def is_demonstration(catalog: Catalog) -> bool:
    """Whether a catalog's parts are the invented ones."""
    return catalog.name == CATALOG_NAME
