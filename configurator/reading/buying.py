"""How single unit types are to be bought: what can't be meant."""

from __future__ import annotations

from collections.abc import Iterator

from configurator.catalog import Catalog
from configurator.demand import Demand, Wishes
from configurator.errors import Problem
from configurator.parts import Box
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, did_you_mean, listed, shown

KEY = "bought_as_by_type"


def slips(sheet: Sheet, demand: Demand, catalog: Catalog) -> Iterator[Problem]:
    """Unit types that the catalog doesn't know, or that are stated twice."""
    places: list[tuple[Path, Wishes]] = [(("defaults",), demand.defaults)]
    places += [(("stacks", n), stack) for n, stack in enumerate(demand.stacks)]
    for at, wishes in places:
        if wishes.bought_as_by_type == ():
            yield sheet.problem((*at, KEY), "the list is empty", "name a unit type in it, or leave the line out")
        seen: set[str] = set()
        for n, said in enumerate(wishes.bought_as_by_type or ()):
            where = (*at, KEY, n, "unit")
            if said.unit not in catalog.unit_types:
                text = f"{shown(said.unit)} is no unit type that this catalog knows"
                yield sheet.problem(where, text, _hint(said.unit, catalog))
            elif said.unit in seen:
                text = f"unit type {shown(said.unit)} is there twice"
                yield sheet.problem(where, text, "take one of the two out")
            seen.add(said.unit)


def _hint(name: str, catalog: Catalog) -> str:
    box = catalog.by_id.get(name)
    if isinstance(box, Box):
        return f"name the unit type in this box: {box.unit}"
    return did_you_mean(name, catalog.unit_types, f"known are: {listed(sorted(catalog.unit_types))}")
