"""Compliance marks and cold spares in a demand: what can't be meant, and what is assumed."""

from __future__ import annotations

from collections.abc import Iterator

from configurator.catalog import Catalog
from configurator.demand import Demand, Spares, Stack, Wishes
from configurator.errors import Problem
from configurator.fields import Part
from configurator.parts import Kit
from configurator.reading.assumptions import Assumed
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, did_you_mean, listed, shown
from configurator.services import Licence

MARKED = {
    "boxes": "units",
    "supplies": "supplies",
    "fan_trays": "fan trays",
    "modules": "modules",
    "optics": "optics",
    "cables": "cables",
    "fibre_cables": "fibre leads",
    "cords": "cords",
}
"""Lists of parts that marks are asked of, and their words."""
SPARED = {
    **MARKED,
    "stack_adapters": "stacking adapters",
    "attenuators": "attenuators",
    "rack_kits": "rack kits",
    "blanks": "blank panels",
    "lugs": "lugs",
}
"""Lists of parts of which spares may be kept by number, and their words: all hardware that comes by itself."""


def slips(sheet: Sheet, demand: Demand, catalog: Catalog) -> Iterator[Problem]:
    """What a demand says about marks and spares and can't mean."""
    places: list[tuple[Path, Wishes]] = [(("defaults",), demand.defaults)]
    places += [(("stacks", n), stack) for n, stack in enumerate(demand.stacks)]
    known = {mark for part in catalog.by_id.values() for mark in part.marks}
    for at, wishes in places:
        for n, mark in enumerate(wishes.marks or ()):
            if known and mark not in known:
                hint = did_you_mean(mark, known, f"known are: {listed(sorted(known))}")
                yield sheet.problem((*at, "marks", n), f"{shown(mark)} is no mark that this catalog knows", hint)
    for n, said in enumerate(demand.spares):
        yield from _spares(sheet, ("spares", n), said, catalog)


def _spares(sheet: Sheet, at: Path, said: Spares, catalog: Catalog) -> Iterator[Problem]:
    yield from _one_of(sheet, at, said, ("of", "part"), "a kind of parts (of), or one part number (part)")
    yield from _one_of(sheet, at, said, ("count", "percent"), "how many of each (count), or what share (percent)")
    known = {part.id for name in SPARED for part in getattr(catalog.parts, name)} | set(catalog.unit_types)
    if said.part is None or said.part in known:
        return
    part = catalog.by_id.get(said.part)
    if part is not None:
        text = f"{shown(said.part)} is nothing that a spare is kept of: {_what(part)}"
        hint = f"name one of the {listed(SPARED.values(), len(SPARED))}"
        if isinstance(part, Kit) and part.contents:
            hint = f"name what is in it: {listed(dict.fromkeys(content.part for content in part.contents))}"
    else:
        text = f"{shown(said.part)} is no part that this catalog knows"
        hint = did_you_mean(said.part, known, "write a part number of the catalog, or a kind with `of`")
    yield sheet.problem((*at, "part"), text, hint)


def _what(part: Part) -> str:
    """Why a part is never in service itself."""
    if isinstance(part, Kit):
        return "it is several parts under one number"
    return f"it is {'a licence' if isinstance(part, Licence) else 'a support contract'}, and no hardware"


def _one_of(sheet: Sheet, at: Path, said: Spares, keys: tuple[str, str], what: str) -> Iterator[Problem]:
    """Exactly one of two keys is stated."""
    stated = [key for key in keys if getattr(said, key) is not None]
    if len(stated) == 2:
        text = f"{keys[0]} and {keys[1]} are both stated"
        yield sheet.problem((*at, keys[1]), text, f"state one: {what}", on_key=True)
    elif not stated:
        yield sheet.problem(at, f"neither {keys[0]} nor {keys[1]} is stated", f"add one: {what}")


def assumed_marks(stack: Stack, catalog: Catalog) -> Iterator[Assumed]:
    """Kinds of which nothing is known, where marks are asked."""
    lists = {words: getattr(catalog.parts, name) for name, words in MARKED.items()}
    unknown = [words for words, parts in lists.items() if parts and not any(part.marks for part in parts)]
    if stack.marks and unknown:
        yield Assumed("marks", "not looked at", f"the catalog states no marks of {listed(unknown)}: any will do")
