"""The demand file: YAML in, what is asked out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from pathlib import Path as FilePath
from typing import Any

from configurator.catalog import Catalog
from configurator.demand import Demand
from configurator.errors import BadInput, Problem
from configurator.reading import room
from configurator.reading.asks import WISHES, Asked, asked, merged
from configurator.reading.demand_checks import slips
from configurator.reading.files import Source
from configurator.reading.sheet import Sheet
from configurator.reading.validate import validated
from configurator.reading.words import Path, did_you_mean, shown
from configurator.reading.yaml_source import DEMAND_LIMIT, parse, read_yaml

EMBEDDED = "demand in the answer"
_WRAPPER = ("value", "ref")


def load_demand(source: FilePath | str, catalog: Catalog, on: date) -> Asked:
    """A demand from a file, or from standard input for `-`; BadInput tells everything that is wrong with it."""
    return asked_of(read_yaml(source, DEMAND_LIMIT), catalog, on)


def demand_from(text: str, catalog: Catalog, on: date) -> Asked:
    """A demand from the text of its file; BadInput tells everything that is wrong with it."""
    sheet = parse(EMBEDDED, text)
    sheet.sources = (Source(EMBEDDED, text, sha256(text.encode()).hexdigest()),)
    return asked_of(sheet, catalog, on)


def asked_of(sheet: Sheet, catalog: Catalog, on: date) -> Asked:
    """What a sheet asks for; BadInput tells everything that is wrong with it."""
    if sheet.data.get("defaults", "") is None:  # a key with nothing below it but comments
        del sheet.data["defaults"]
    refs: dict[Path, str] = {}
    problems = list(_unwrap(sheet, refs))
    demand: Demand | None = None
    try:
        demand = validated(sheet, Demand)
    except BadInput as error:
        problems += error.problems
    if demand is not None:
        stacks = tuple(merged(stack, demand.defaults) for stack in demand.stacks)
        problems += room.unlike(sheet, stacks)
        problems += slips(sheet, demand, stacks, catalog, on)
    if demand is None or problems:
        raise BadInput(sorted(problems, key=lambda p: (p.line or 0, p.column or 0)))
    return asked(sheet, refs, demand, catalog, on)


def _unwrap(sheet: Sheet, refs: dict[Path, str]) -> Iterator[Problem]:
    """Wishes written as {value: …, ref: …} become their value; the customer's refs are kept by path."""
    stacks = sheet.data.get("stacks")
    places: list[Path] = [("defaults",)]
    places += [("stacks", n) for n in range(len(stacks) if isinstance(stacks, list) else 0)]
    for place in places:
        holder = sheet.at(place)
        for key in WISHES if isinstance(holder, dict) else ():
            stated = holder.get(key)
            if isinstance(stated, dict) and set(stated) & set(_WRAPPER):
                yield from _unwrap_one(sheet, refs, (*place, key), holder)


def _unwrap_one(sheet: Sheet, refs: dict[Path, str], path: Path, holder: dict[str, Any]) -> Iterator[Problem]:
    stated = holder[str(path[-1])]
    for key in stated:
        if key not in _WRAPPER:
            hint = did_you_mean(key, _WRAPPER, "a statement with a reference is {value: …, ref: …}")
            text = f"{shown(key)} is not a key that is known here"
            yield sheet.problem((*path, key), text, hint, on_key=True)
    ref = stated.get("ref")
    if isinstance(ref, str) and ref:
        refs[path] = ref
    else:
        text = f"{shown(ref)} is no reference" if "ref" in stated else '"ref" is missing'
        yield sheet.problem((*path, "ref"), text, "write the customer's own reference, or the value alone")
    if "value" not in stated:
        yield sheet.problem((*path, "value"), '"value" is missing', "add `value: …` beside the reference")
    holder[str(path[-1])] = stated.get("value")
    _move(sheet, (*path, "value"), path, stated.get("value"))


def _move(sheet: Sheet, old: Path, new: Path, value: Any) -> None:
    """Where the value stands is known under its new path; its key stays where it was."""
    if old in sheet.spots:
        there = sheet.spots[old]
        key = sheet.spots.get(new, there)
        sheet.spots[new] = there._replace(path=new, key_line=key.key_line, key_column=key.key_column)
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in steps:
        _move(sheet, (*old, step), (*new, step), part)
