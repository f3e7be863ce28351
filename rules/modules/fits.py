"""A module goes only into a slot that takes it; a slot holds one, and some must hold one.

Why it matters: a module for another series looks alike and doesn't slide in.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A module that its slot doesn't take, or an empty slot that must not be."""
    held = dict(fitout.modules)
    return any(
        held[slot.id].id not in slot.takes if slot.id in held else slot.required
        for slot in fitout.unit_type.module_slots
    )


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Goes through the slots of each unit's type, and the modules that name no such slot."""
    for unit in build.units:
        unit_type = looking.type_of(unit, catalog)
        if unit_type is None:
            continue
        slots = {slot.id for slot in unit_type.module_slots}
        for fitted in unit.modules:
            if fitted.slot not in slots:
                yield Breach(f"{fitted.module} is in slot {fitted.slot}, which {unit_type.id} hasn't", unit.position)
        for slot in unit_type.module_slots:
            held = [fitted.module for fitted in unit.modules if fitted.slot == slot.id]
            takes = ", ".join(slot.takes)
            for module in held:
                if module not in slot.takes:
                    yield Breach(f"slot {slot.id} holds {module}, it takes {takes}", unit.position)
            if len(held) > 1:
                yield Breach(f"slot {slot.id} holds {len(held)} modules, there is room for 1", unit.position)
            if slot.required and not held:
                yield Breach(f"slot {slot.id} is empty, it must hold 1 of {takes}", unit.position)


RULE = Rule(
    id="modules.fits",
    family="modules",
    sentence="A module goes only into a slot that takes it; a slot holds one, and some slots must not stay empty.",
    source=COMMON_PRACTICE,
    applies=lambda catalog: bool(catalog.parts.modules) or any(unit.module_slots for unit in catalog.parts.unit_types),
    forbids={"modules": forbids},
    explains=("module",),
    check=check,
)
