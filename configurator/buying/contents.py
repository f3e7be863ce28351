"""What lies in the boxes of a build, and what of it is in service.

Contents serve the unit that they came with; cables, optics and what may be moved serve the rest of
the stack where their own unit leaves them over.  What is used is taken from boxes before anything
that was bought loose, and of boxes in the order of the units.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.services import Licence


@dataclass
class Contents:
    """Of the boxes of one part number, over all units that came in them."""

    units: int = 0
    used: Counter[str] = field(default_factory=Counter)
    idle: Counter[str] = field(default_factory=Counter)


def contents_of(build: Build, catalog: Catalog) -> dict[str, Contents]:
    """By part number of the box: what is in service of its contents, and what is not needed."""
    found: dict[str, Contents] = {}
    for unit, used, idle in by_unit(build, catalog):
        one = found.setdefault(unit.box, Contents())
        one.units += 1
        one.used += used
        one.idle += idle
    return found


def by_unit(build: Build, catalog: Catalog) -> list[tuple[BuiltUnit, Counter[str], Counter[str]]]:
    """Each unit with what of its box is used, by itself or elsewhere in the stack, and what is not."""
    open_needs = _stack_uses(build)
    own = []
    for unit in build.units:
        inside, uses = _inside(unit.box, catalog), unit_uses(unit, catalog)
        used = inside & uses
        open_needs += uses - used
        own.append((unit, used, inside - used))
    out = []
    for unit, used, left in own:
        lent = left & open_needs & _may_serve(unit.box, catalog)
        open_needs -= lent
        out.append((unit, used + lent, left - lent))
    return out


def unit_uses(unit: BuiltUnit, catalog: Catalog) -> Counter[str]:
    """Parts in and with a unit, besides what is built in; what splits a port, and a licence, count once."""
    used = Counter(one.supply for one in unit.supplies if one.bay)
    used.update(one.cord for one in unit.supplies if one.cord is not None)
    used.update(unit.fan_trays)
    used.update(one.module for one in unit.modules)
    used.update(unit.adapters)
    used.update(part for split in unit.splits for part in split.parts)
    used.update(use.plug for use in unit.uses if use.plug is not None and use.way is None)
    for one in unit.along:
        if isinstance(catalog.by_id.get(one.part), Licence):
            used[one.part] = 1
        else:
            used[one.part] += one.count
    return used


def _stack_uses(build: Build) -> Counter[str]:
    used = Counter(part for link in build.links for part in link.parts)
    for end in build.far_ends:
        used[end.part] += end.count
    for one in build.along:
        used[one.part] += one.count
    return used


def _inside(box: str, catalog: Catalog) -> Counter[str]:
    found: Counter[str] = Counter()
    for content in catalog.by_id[box].contents:
        found[content.part] += content.count
    return found


def _may_serve(box: str, catalog: Catalog) -> Counter[str]:
    """Of a box's contents, those that may serve elsewhere in the stack."""
    found: Counter[str] = Counter()
    for content in catalog.by_id[box].contents:
        if content.movable or catalog.serves_any_unit(content.part):
            found[content.part] += content.count
    return found
