"""The rack and the room in catalogs and demands: what can't be meant, and what is assumed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from configurator.catalog import Catalog
from configurator.demand import Stack
from configurator.errors import Problem
from configurator.parts import Parts, UnitType
from configurator.reading.assumptions import Assumed
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, listed, shown

KNOWN = {
    "rack_depth_mm": ("depth_mm", "depth", "it counts as shallow enough"),
    "inlet_c": ("hottest_inlet_c", "warmest inlet air", "it takes in any"),
    "altitude_m": ("highest_m", "highest altitude", "it works at any"),
    "noise_db": ("noise_db", "noise", "it counts as silent"),
}
"""For wishes: the figure that each unit type needs, in words, and what is taken where it has none."""

# --- catalogs -------------------------------------------------------------------------------------


def contradictions(sheet: Sheet, parts: Parts) -> Iterator[Problem]:
    """Entries about racks and air that are well-formed and can't be meant."""
    for n, unit_type in enumerate(parts.unit_types):
        if unit_type.cooler_each_m is not None and unit_type.hottest_inlet_c is None:
            text = f"1 degree less for each {unit_type.cooler_each_m} m, and no temperature to take it from"
            yield sheet.problem(("unit_types", n, "cooler_each_m"), text, "add a line `hottest_inlet_c: …`")
    types = {unit_type.id: unit_type for unit_type in parts.unit_types}
    for b, blank in enumerate(parts.blanks):
        for n, name in enumerate(blank.unit_types):
            if name in types and not _has(types[name], blank.fills):
                text = f"{shown(name)} has no {blank.fills} that a panel could close"
                yield sheet.problem(("blanks", b, "unit_types", n), text, "take it out of the list")


def _has(unit_type: UnitType, fills: str) -> bool:
    return unit_type.supply_bays is not None if fills == "supply bay" else bool(unit_type.module_slots)


# --- demands --------------------------------------------------------------------------------------


def slips(sheet: Sheet, catalog: Catalog, at: Path, stack: Stack, merged: Stack) -> Iterator[Problem]:
    """What a stack says about its rack and its circuit and can't mean."""
    circuit = merged.circuit
    if circuit is not None and circuit.shared and merged.input_v is None and merged.country not in catalog.countries:
        path: Path = (*at, "circuit") if stack.circuit is not None else ("defaults", "circuit")
        text = f"a shared circuit is stated for {shown(merged.name)}, and no voltage that tells the current"
        yield sheet.problem((*path, "shared"), text, "add a line `input_v: …`, or a country that the catalog knows")
    low, free = merged.units_at_least, merged.rack_units_free
    flattest = min((unit_type.rack_units for unit_type in catalog.parts.unit_types), default=1)
    if low is not None and free is not None and low * flattest > free:
        path = (*at, "rack_units_free") if stack.rack_units_free is not None else ("defaults", "rack_units_free")
        text = f"at least {low} units take {low * flattest} rack units or more, and {free} are free"
        yield sheet.problem(path, text, "lower units_at_least or raise rack_units_free")


def assumed_room(stack: Stack, catalog: Catalog) -> Iterator[Assumed]:
    """Wishes about rack and room that nobody stated, where they change what is ordered."""
    if stack.rack_posts is None and catalog.parts.rack_kits:
        yield Assumed("rack_posts", "none", "the posts of the rack are open: no rack kits are ordered")
    if stack.blank_panels is None and catalog.parts.blanks:
        yield Assumed("blank_panels", "yes", "empty bays and slots get a panel where the catalog has one")
    if stack.earthing_lugs is None and catalog.parts.lugs:
        yield Assumed("earthing_lugs", "no", "no earthing lugs are ordered")
    climbs = any(unit_type.cooler_each_m is not None for unit_type in catalog.parts.unit_types)
    if stack.inlet_c is not None and stack.altitude_m is None and climbs:
        yield Assumed("altitude_m", "0", "the site is at sea level")


def assumed_of_unknown(stack: Stack, catalog: Catalog) -> Iterator[Assumed]:
    """What is taken where the catalog lacks what a stated wish asks for."""
    for wish, (field, what, taken) in KNOWN.items():
        lacking = [unit.id for unit in catalog.parts.unit_types if getattr(unit, field) is None]
        if getattr(stack, wish) is not None and lacking:
            yield Assumed(f"unit_types.{field}", "passes", f"{what} not known of {listed(lacking)}: {taken}")
    if stack.rack_weight_kg is not None and (lacking := _unweighed(catalog)):
        yield Assumed("weight_kg", "0", f"weight not known of {listed(lacking)}: it counts as nothing")
    parts = catalog.parts
    for wish, kind, there in (
        ("rack_posts", "rack_kits", parts.rack_kits),
        ("blank_panels", "blanks", parts.blanks),
        ("earthing_lugs", "lugs", parts.lugs),
    ):
        if getattr(stack, wish) and not there:
            yield Assumed(kind, "none", f"the catalog has no {kind.replace('_', ' ')}: none are ordered")


def _unweighed(catalog: Catalog) -> list[str]:
    """Unit types, and what goes into their bays and slots, of which no weight is known."""
    parts = catalog.parts
    types = [unit_type.id for unit_type in parts.unit_types if unit_type.weight_kg is None]
    in_bays = {supply for one in parts.unit_types if one.supply_bays for supply in one.supply_bays.takes}
    fitted = [*(supply for supply in parts.supplies if supply.id in in_bays), *parts.fan_trays, *parts.modules]
    return types + [part.id for part in fitted if part.weight_kg is None]


# --- closets --------------------------------------------------------------------------------------

OF_CLOSET = ("rack_units_free", "rack_weight_kg", "noise_db", "heat_w", "ups_va", "outlets", "circuit")
"""What is a closet's and not a stack's: the stacks that stand in it share it.  Of circuits only shared ones."""


def from_neighbours(stacks: Sequence[Stack]) -> list[dict[str, int]]:
    """For each stack what it leaves open and another of its closet states: key, and place of that stack."""
    return [
        {
            key: there[0]
            for key in OF_CLOSET
            if stack.closet is not None and getattr(stack, key) is None
            if (there := [m for m, other in enumerate(stacks) if other.closet == stack.closet and _limit(other, key)])
        }
        for stack in stacks
    ]


def _limit(stack: Stack, key: str) -> object:
    value = getattr(stack, key)
    return None if key == "circuit" and value is not None and not value.shared else value


def unlike(sheet: Sheet, stacks: Sequence[Stack]) -> Iterator[Problem]:
    """Stacks of one closet that state different limits of it."""
    for n, stack in enumerate(stacks):
        for key in OF_CLOSET:
            mine = _limit(stack, key)
            if stack.closet is None or mine is None:
                continue
            for m, other in enumerate(stacks[:n]):
                theirs = _limit(other, key)
                if other.closet == stack.closet and theirs not in (None, mine):
                    where = sheet.where(("stacks", m, key))
                    text = f"{shown(stack.closet)} has another {key} here than in {where}"
                    yield sheet.problem(("stacks", n, key), text, "state it once, alike for all stacks of the closet")
                    break
