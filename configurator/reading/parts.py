"""The technical catalog: a folder of YAML files put together, with a price list beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from importlib import resources
from pathlib import Path as FilePath
from typing import Any

from configurator.catalog import Catalog, CatalogFile, PriceList
from configurator.demand import Demand
from configurator.errors import BadInput, Problem
from configurator.parts import Parts
from configurator.reading.discounts import load_discounts
from configurator.reading.files import bad_file
from configurator.reading.prices import load_prices
from configurator.reading.references import faults
from configurator.reading.sheet import Sheet, Spot
from configurator.reading.validate import validated
from configurator.reading.words import Path, did_you_mean, listed, shown
from configurator.reading.yaml_source import CATALOG_LIMIT, parse, read_yaml

SINGLE = ("maker", "practice")  # keys that are no lists
STANDARD = ("poe_classes", "couplers")  # tables of published standards, for catalogs that state none


@dataclass(frozen=True)
class CatalogNotes:
    """What doesn't match between catalog and price list; nobody is stopped by it."""

    unpriced: tuple[str, ...]  # parts without a price: they can't be ordered
    unknown: tuple[str, ...]  # prices of parts that the catalog doesn't know


def load_catalog(folder: FilePath, prices: FilePath, on: date, discounts: FilePath | None = None) -> Catalog:
    """Catalog, price list and discounts as they are on a day; BadInput tells everything that is wrong with them."""
    problems: list[Problem] = []
    parts: tuple[Parts, tuple[CatalogFile, ...]] | None = None
    price_list: PriceList | None = None
    try:
        parts = parts_and_files(folder)
    except BadInput as error:
        problems += error.problems
    try:
        price_list = load_prices(prices, on)
        if discounts is not None:
            price_list = replace(price_list, discounts=load_discounts(discounts, price_list, on))
    except BadInput as error:
        problems += error.problems
        price_list = None
    if parts is None or price_list is None:
        raise BadInput(problems)
    return Catalog(parts[0], price_list, str(folder), parts[1])


def load_parts(folder: FilePath) -> Parts:
    """Every *.yaml and *.yml file of the folder, in the order of their names; folders in it are left alone."""
    return parts_and_files(folder)[0]


def parts_and_files(folder: FilePath) -> tuple[Parts, tuple[CatalogFile, ...]]:
    """See `load_parts`; and the files themselves."""
    sheet = _together(str(folder), _sheets(folder))
    missing = [key for key in STANDARD if not sheet.data.get(key)]
    for standard in _standards() if missing else ():
        for key in missing:
            if key in standard.data:
                _take(sheet, standard, key)
    parts = validated(sheet, Parts)
    wrong = list(faults(sheet, parts))
    if wrong:
        raise BadInput(sorted(wrong, key=lambda p: (p.file, p.line or 0, p.column or 0)))
    return parts, tuple(CatalogFile(FilePath(one.name).name, one.sha256) for one in sheet.sources)


def catalog_notes(catalog: Catalog) -> CatalogNotes:
    """Parts without a price, and prices without a part; what is built into a unit is never ordered."""
    priced = catalog.prices.rows
    built_in = {unit.built_in_supply for unit in catalog.unit_types.values()}
    return CatalogNotes(
        unpriced=tuple(part for part in catalog.by_id if part not in priced and part not in built_in),
        unknown=tuple(part for part in priced if part not in catalog.by_id),
    )


def _sheets(folder: FilePath) -> Iterator[Sheet]:
    name = str(folder)
    if folder.is_file():
        hint = f'name its folder: "{folder.parent}"'
        raise bad_file(name, "this is a file; a folder of YAML files is expected", hint)
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix in (".yaml", ".yml"))
    except FileNotFoundError:
        raise bad_file(name, "there is no such folder", "check the name") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise bad_file(name, f"the folder cannot be read: {reason}", "check the name and its permissions") from None
    if not paths:
        raise bad_file(name, "no file in this folder ends with .yaml or .yml", "name the folder that holds them")
    problems: list[Problem] = []
    sheets: list[Sheet] = []
    for path in paths:
        try:
            sheets.append(read_yaml(path, CATALOG_LIMIT))
        except BadInput as error:
            problems += error.problems
    if problems:
        raise BadInput(problems)
    yield from sheets


def _standards() -> Iterator[Sheet]:
    """Tables of published standards that come with the package."""
    folder = resources.files("configurator") / "standards"
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        if file.name.endswith(".yaml"):
            yield parse(f"standards/{file.name}", file.read_text("utf-8"))


def _together(name: str, sheets: Iterable[Sheet]) -> Sheet:
    """One sheet of several: lists of the same key one after another."""
    whole = Sheet(name, {}, {(): Spot(name, (), 1, 1, 1, 1)}, {name: ()})
    problems: list[Problem] = []
    for sheet in sheets:
        whole.sources += sheet.sources
        for key, value in sheet.data.items():
            if key not in Parts.model_fields:
                hint = did_you_mean(key, Parts.model_fields, f"known here: {listed(Parts.model_fields, 40)}")
                if key in Demand.model_fields:
                    hint = "this looks like a demand file: keep demands out of the catalog's folder"
                problems.append(sheet.problem((key,), f"{shown(key)} is not a key of catalogs", hint, on_key=True))
            elif key in SINGLE and key in whole.data:
                text = f"{shown(key)} is stated twice, first in {whole.where((key,))}"
                problems.append(sheet.problem((key,), text, "keep one of the two", on_key=True))
            elif key not in SINGLE and value is not None and not isinstance(value, list):
                text = f"{shown(value)} is not a list"
                problems.append(sheet.problem((key,), text, "write one item a line after a dash"))
            elif value is not None:
                _take(whole, sheet, key)
    if problems:
        raise BadInput(problems)
    return whole


def _take(whole: Sheet, sheet: Sheet, key: str) -> None:
    """Adds what another sheet states under a key, and where."""
    value = sheet.data[key]
    whole.lines = {**whole.lines, **sheet.lines}
    whole.spots.setdefault((key,), sheet.spots[(key,)])
    if not isinstance(value, list):
        whole.data[key] = value
        _move(whole, sheet, (key,), (key,), value)
        return
    start = len(whole.data.setdefault(key, []))
    for index, part in enumerate(value):
        whole.data[key].append(part)
        _move(whole, sheet, (key, index), (key, start + index), part)


def _move(whole: Sheet, sheet: Sheet, old: Path, new: Path, value: Any) -> None:
    whole.spots[new] = sheet.spots[old]
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in steps:
        _move(whole, sheet, (*old, step), (*new, step), part)
