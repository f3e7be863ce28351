"""Cold spares lie on the shelf: so many, or so many percent, of each part of a kind that is in service.

Why it matters: a spare that has to be ordered first comes days after the failure.
In service is every piece of hardware that a build uses, bought or out of a box: units and what is in them,
optics, cables, leads, attenuators, cords, adapters, panels, rack kits, lugs; licences and contracts are none.
What is built in can't be replaced by itself; optics for the far ends of uplinks are in service elsewhere, while leads
and attenuators are kept at this end.  What lies idle in a box is no spare: who counts on it has to find it first.
A spare unit is whichever box holds its type; who names a box means the unit in it.
A spare needs no licence and no contract of its own: it takes the place, and the rights, of what failed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.build import Build, Order, SpareParts
from configurator.catalog import Catalog
from configurator.demand import Spares
from configurator.parts import Box, Cable, Cord, FanTray, FibreCable, Module, Optic, Supply
from configurator.rule import COMMON_PRACTICE, Breach, Rule, SpareNeed
from configurator.services import Licence, Support
from configurator.setting import OrderAsk

from ..looking import part_of

# the rule's part of the model


def spares(order: OrderAsk, catalog: Catalog) -> Iterator[SpareNeed]:
    """A need for each statement, of the parts of its kind."""
    parts = catalog.parts
    kinds = {
        "supplies": parts.supplies,
        "fan trays": parts.fan_trays,
        "modules": parts.modules,
        "optics": parts.optics,
        "cables": (*parts.cables, *parts.fibre_cables),
        "cords": parts.cords,
    }
    for index, said in enumerate(order.spares):
        part = catalog.by_id.get(said.part or "")
        if isinstance(part, Licence | Support):
            continue  # no hardware
        named = part.unit if isinstance(part, Box) else said.part
        units = said.of == "units" or named in catalog.unit_types
        every = catalog.unit_types if units else [part.id for part in kinds.get(said.of or "", ())]
        of = frozenset(every) if named is None else frozenset({named})
        yield SpareNeed(f"spares[{index}]", of, of_units=units, count=said.count or 0, percent=said.percent or 0)


# the check

IN_SERVICE = {
    "supplies": (Supply,),
    "fan trays": (FanTray,),
    "modules": (Module,),
    "optics": (Optic,),
    "cables": (Cable, FibreCable),
    "cords": (Cord,),
}


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """Counts anew what is in service in all stacks, and what lies on the shelf for each statement."""
    units: Counter[str] = Counter()
    parts: Counter[str] = Counter()
    for one in order.stacks:
        units.update({name: count * one.copies for name, count in _units(one.build).items()})
        parts.update({name: count * one.copies for name, count in _parts(one.build, catalog).items()})
    for index, said in enumerate(asked.spares):
        statement = f"spares[{index}]"
        of_units = said.of == "units" or said.part in catalog.unit_types or part_of(said.part, Box, catalog) is not None
        for name, used in sorted((units if of_units else parts).items()):
            if used < 1 or not _meant(said, name, catalog):
                continue
            needed = max(said.count or 0, -(-used * (said.percent or 0) // 100))
            mine = (spare for spare in order.spares if spare.statement == statement)
            there = sum(_holds(spare, name, of_units, catalog) for spare in mine)
            if there < needed:
                yield Breach(f"{statement}: {needed} of {name} needed for {used} in service, {there} there")


def _meant(said: Spares, name: str, catalog: Catalog) -> bool:
    """Whether a statement is about this part or unit type."""
    if said.part is not None:
        box = part_of(said.part, Box, catalog)
        return name == (box.unit if box is not None else said.part)
    return said.of == "units" or isinstance(catalog.by_id.get(name), IN_SERVICE.get(said.of or "", ()))


def _units(build: Build) -> Counter[str]:
    """Units by type."""
    return Counter(unit.unit_type for unit in build.units)


def _parts(build: Build, catalog: Catalog) -> Counter[str]:
    """Hardware in service in a build; a supply in bay 0 is built in, and what splits a port is there once."""
    found: Counter[str] = Counter(part for link in build.links for part in link.parts)
    for unit in build.units:
        found.update(fitted.supply for fitted in unit.supplies if fitted.bay != 0)
        found.update(fitted.cord for fitted in unit.supplies if fitted.cord is not None)
        found.update(unit.fan_trays)
        found.update(fitted.module for fitted in unit.modules)
        found.update(use.plug for use in unit.uses if use.plug is not None and use.way is None)
        found.update(part for split in unit.splits for part in split.parts)
        found.update(unit.adapters)
    for one in (*build.along, *(one for unit in build.units for one in unit.along)):
        found[one.part] += one.count
    return Counter({name: n for name, n in found.items() if not isinstance(catalog.by_id.get(name), Licence | Support)})


def _holds(spare: SpareParts, name: str, of_units: bool, catalog: Catalog) -> int:
    """How many of something come with a line of spares: as itself, in a kit, or in a unit's box."""
    part = catalog.by_id.get(spare.part)
    if part is None or spare.stands_for != name:
        return 0
    if of_units:
        return spare.count if isinstance(part, Box) and part.unit == name else 0
    each = 1 if part.id == name else sum(content.count for content in part.contents if content.part == name)
    return spare.count * each


RULE = Rule(
    id="ordering.spares",
    family="ordering",
    sentence="As many cold spares as asked are ordered of whatever is in service.",
    source=COMMON_PRACTICE,
    about=("spares",),
    spares=spares,
    check_order=check_order,
)
