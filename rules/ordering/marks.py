"""What carries current, light or air has the compliance marks that the customer asks.

Why it matters: an inspector who finds no mark has the unit taken out of service.
Panels, rack kits, licences and the like need none, and a catalog that states no mark for any part of a kind says
nothing about that kind.  A box answers for what lies in it.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import Box, Cable, Cord, FanTray, FibreCable, Module, Optic, Supply
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking
from .checking import on_the_shelf

# the rule's part of the model


def forbids_part(part: Part, setting: Setting, catalog: Catalog) -> bool:
    """A part without a mark that is asked, of a kind whose marks are stated."""
    return not set(setting.marks) <= set(part.marks) and type(part) in _marked(catalog)


def _marked(catalog: Catalog) -> frozenset[type[Part]]:
    """The kinds for which some mark is stated; kept, since it is asked for every part."""
    store = catalog.cache("kinds with marks")
    if not store:
        parts = catalog.parts
        lists: tuple[tuple[Part, ...], ...] = (
            *(parts.boxes, parts.supplies, parts.fan_trays, parts.modules),
            *(parts.optics, parts.cables, parts.fibre_cables, parts.cords),
        )
        store[""] = frozenset(type(part) for listed in lists for part in listed if part.marks)
    found: frozenset[type[Part]] = store[""]
    return found


# the check

KINDS = (Box, Supply, FanTray, Module, Optic, Cable, FibreCable, Cord)


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the marks of each part with those asked, if any part of its kind has some."""
    for number, count in looking.ordered(build).items():
        part = catalog.by_id.get(number)
        if part is None or not isinstance(part, KINDS):
            continue
        lacking = [mark for mark in ask.setting.marks if mark not in part.marks]
        if lacking and any(other.marks for other in catalog.by_id.values() if type(other) is type(part)):
            has = ", ".join(part.marks) or "none"
            yield Breach(f"{count} of {number} to order, which lacks {', '.join(lacking)}; its marks: {has}")


RULE = Rule(
    id="ordering.marks",
    family="ordering",
    sentence="What carries current, light or air has the marks asked, where marks are stated for its kind.",
    source=COMMON_PRACTICE,
    about=("marks",),
    applies=lambda catalog: any(part.marks for part in catalog.by_id.values() if isinstance(part, KINDS)),
    forbids_part=forbids_part,
    check=check,
    check_order=on_the_shelf(check),
)
