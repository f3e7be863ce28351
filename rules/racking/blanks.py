"""Every empty supply bay and module slot is closed by a panel, where the catalog has one for the type.

Through an open bay warm air flows back to the inlet, and fingers reach in.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

from ..looking import type_of
from . import modelling
from .checking import fits

# the rule's part of the model


def needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """Panels for bays with the power half, for slots with the shape half."""
    if not setting.blank_panels:
        return
    unit_type = fitout.unit_type
    empty = {
        "supply bay": unit_type.supply_bays.count - len(fitout.supplies) if unit_type.supply_bays else 0,
        "module slot": len(unit_type.module_slots) - len(fitout.modules),
    }
    halves = {"supply bay": ("power", "whole"), "module slot": ("shape", "whole")}
    for fills, count in empty.items():
        recipes = modelling.recipes((b for b in catalog.parts.blanks if b.fills == fills), unit_type)
        if recipes and count > 0 and fitout.decided in halves[fills]:
            yield Need(f"blank {fills}", recipes, count)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts what stays empty in each unit, and the panels that are for it."""
    if not ask.setting.blank_panels:
        return
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if unit_type is None:
            continue
        for fills, empty in _empty(unit, unit_type):
            to_be_had = [b for b in catalog.parts.blanks if b.fills == fills and fits(b, unit_type.id)]
            panels = {blank.id for blank in to_be_had}
            there = sum(a.count for a in unit.along if a.slot == f"blank {fills}" and a.part in panels)
            if panels and there < empty:
                text = f"empty {fills}s: {empty}, panels for them: {there}, short by {empty - there}"
                yield Breach(text, unit.position)


def _empty(unit: BuiltUnit, unit_type: UnitType) -> Iterator[tuple[str, int]]:
    """Bays and slots of the unit that hold nothing."""
    if unit_type.supply_bays is not None:
        filled = {supply.bay for supply in unit.supplies}
        yield "supply bay", sum(bay not in filled for bay in range(1, unit_type.supply_bays.count + 1))
    used = {module.slot for module in unit.modules}
    yield "module slot", sum(slot.id not in used for slot in unit_type.module_slots)


RULE = Rule(
    id="racking.blanks",
    family="racking",
    sentence="Every empty supply bay and module slot has a panel where there is one for the type.",
    source=COMMON_PRACTICE,
    about=("blank_panels",),
    explains=("blank supply bay", "blank module slot"),
    applies=lambda catalog: bool(catalog.parts.blanks),
    requires=Requires(unit=needs),
    check=check,
)
