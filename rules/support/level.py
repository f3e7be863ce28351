"""Every contract is of the level asked, or of a higher one.

Why it matters: spares on the next working day don't help a site that has to be back in four hours.
Levels without a rank have no order: then only the level itself serves.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.services import Support
from configurator.setting import Ask, Setting

from .checking import all_held

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A contract of a lower level."""
    if not isinstance(part, Support) or setting.support_level in (None, part.level):
        return False
    ranks = {level.id: level.rank for level in catalog.parts.support_levels}
    asked, has = ranks.get(setting.support_level or ""), ranks.get(part.level)
    return asked is None or has is None or has < asked


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """The level of each contract is the one asked, or its rank is no lower."""
    asked = ask.setting.support_level
    if asked is None:
        return
    enough = {asked}
    for level in catalog.parts.support_levels:
        if any(other.id == asked and other.rank <= level.rank for other in catalog.parts.support_levels):
            enough.add(level.id)
    for held in all_held(build, catalog):
        if held.contract.level not in enough:
            yield Breach(f"{held.contract.id} is of level {held.contract.level}, {asked} is asked", held.position)


RULE = Rule(
    id="support.level",
    family="support",
    sentence="Every contract is of the level asked, or of a higher one.",
    source=COMMON_PRACTICE,
    about=("support_level",),
    applies=lambda catalog: bool(catalog.parts.support),
    forbids_for=forbids_for,
    check=check,
)
