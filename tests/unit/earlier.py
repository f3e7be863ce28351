"""Answers of small catalogs, made once, for the tests that read them again."""

from __future__ import annotations

from contextlib import chdir
from functools import cache
from pathlib import Path

from configurator import api, reading
from configurator.answer import Answer
from configurator.catalog import Catalog
from configurator.reading import Asked
from configurator.render.formats import EXAMPLE
from tests.journeys.running import TINY

RULES = api.rule_book()
ON = reading.load_prices(EXAMPLE / "prices.csv").issued


@cache
def tiny() -> tuple[Answer, Asked, Catalog]:
    """The tiny catalog's two stacks: one plain, one whose units keep their ports fed when they lose a supply."""
    return _solved(TINY, "demand.yaml")


@cache
def impossible() -> tuple[Answer, Asked, Catalog]:
    """40 ports of a catalog whose largest stack has 32."""
    return _solved(EXAMPLE, "impossible.yaml")


@cache
def coupled() -> tuple[Answer, Asked, Catalog]:
    """One stack, with packs and cold spares."""
    return _solved(EXAMPLE, "demand.yaml")


def _solved(folder: Path, demand: str) -> tuple[Answer, Asked, Catalog]:
    with chdir(folder):
        catalog = api.load_catalog(".", on=ON)
        asked = api.load_demand(demand, catalog, ON)
    return api.solve(asked, catalog), asked, catalog
