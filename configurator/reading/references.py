"""Whether everything that a catalog refers to is there, and is there once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from configurator.catalog import ORDERABLE
from configurator.errors import Problem
from configurator.parts import Module, Parts, UnitType
from configurator.reading import life, panels, room, services
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, did_you_mean, listed, shown


class Known(NamedTuple):
    """Names that may be referred to, and the words for them."""

    names: Collection[str]
    what: str  # "unit type"
    add: str  # what to do when the name is right and the catalog is not


class Reference(NamedTuple):
    """A name that something else has to have."""

    path: Path
    name: str
    known: Known


def faults(sheet: Sheet, parts: Parts) -> Iterator[Problem]:
    """Everything that doesn't hold together in a catalog whose entries are each in order."""
    yield from _repeated(sheet, parts)
    for path, name, known in (*_references(parts), *_group_references(parts)):
        if name not in known.names:
            otherwise = f"{known.add}; known are: {listed(sorted(known.names))}" if known.names else known.add
            hint = did_you_mean(name, known.names, otherwise)
            yield sheet.problem(path, f"{shown(name)} is no {known.what} that is known here", hint)
    yield from _contradictions(sheet, parts)
    yield from room.contradictions(sheet, parts)
    yield from services.contradictions(sheet, parts)
    yield from panels.contradictions(sheet, parts)
    yield from life.contradictions(sheet, parts)


def _repeated(sheet: Sheet, parts: Parts) -> Iterator[Problem]:
    numbers = [((kind, n, "id"), part.id) for kind in ORDERABLE for n, part in enumerate(getattr(parts, kind))]
    yield from _once(sheet, "part number", numbers)
    for kind, key, what in (
        ("families", "id", "family"),
        ("unit_types", "id", "unit type"),
        ("features", "id", "feature"),
        ("support_levels", "id", "level of support"),
        ("optics_matrix", "cage", "cage"),
        ("poe_classes", "poe_class", "PoE class"),
        ("couplers", "connector", "connector"),
        ("countries", "code", "country"),
    ):
        yield from _once(sheet, what, [((kind, n, key), getattr(e, key)) for n, e in enumerate(getattr(parts, kind))])
    for base, owner in _owners(parts):
        yield from _once(sheet, "port group", [((*base, "ports", n, "id"), g.id) for n, g in enumerate(owner.ports)])
        if isinstance(owner, UnitType):
            slots = [((*base, "module_slots", n, "id"), slot.id) for n, slot in enumerate(owner.module_slots)]
            yield from _once(sheet, "module slot", slots)


def _once(sheet: Sheet, what: str, names: Iterable[tuple[Path, object]]) -> Iterator[Problem]:
    first: dict[object, Path] = {}
    for path, name in names:
        if name in first:
            text = f"{what} {shown(name)} is there twice, first in {sheet.where(first[name])}"
            yield sheet.problem(path, text, "keep one of the two, or give one another name")
        first.setdefault(name, path)


def _owners(parts: Parts) -> Iterator[tuple[Path, UnitType | Module]]:
    """Everything that has port groups."""
    yield from ((("unit_types", n), unit) for n, unit in enumerate(parts.unit_types))
    yield from ((("modules", n), module) for n, module in enumerate(parts.modules))


def _known(parts: Parts, what: str, *kinds: str) -> Known:
    names = {entry.id for kind in kinds for entry in getattr(parts, kind)}
    return Known(names, what, f"add it under {' or '.join(kinds)}")


def _lists(parts: Parts) -> dict[str, Known]:
    """What may be referred to, by the list that holds it."""
    words = {
        "families": "family",
        "unit_types": "unit type",
        "supplies": "supply",
        "fan_trays": "fan tray",
        "modules": "module",
        "optics": "optic",
        "features": "feature",
        "licences": "licence",
        "support_levels": "level of support",
    }
    return {kind: _known(parts, what, kind) for kind, what in words.items()}


def _each(path: Path, names: Iterable[str], known: Known) -> Iterator[Reference]:
    return (Reference((*path, n), name, known) for n, name in enumerate(names))


def _references(parts: Parts) -> Iterator[Reference]:
    lists = _lists(parts)
    for n, unit in enumerate(parts.unit_types):
        yield from _of_unit(("unit_types", n), unit, lists)
    classes = Known({str(row.poe_class) for row in parts.poe_classes}, "PoE class", "add a row under poe_classes")
    cages = Known({row.cage for row in parts.optics_matrix}, "cage", "add a row for it under optics_matrix")
    for at, owner in _owners(parts):
        for g, group in enumerate(owner.ports):
            if group.cage is not None:
                yield Reference((*at, "ports", g, "cage"), group.cage, cages)
            if group.poe_class is not None:
                yield Reference((*at, "ports", g, "poe_class"), str(group.poe_class), classes)
    yield from _of_parts(parts, lists)
    yield from _of_cords(parts)
    for n, family in enumerate(parts.families):
        yield from _each(("families", n, "stacks_with"), family.stacks_with, lists["families"])
    plugs = _known(parts, "optic or cable", "optics", "cables")
    for n, row in enumerate(parts.optics_matrix):
        yield from _each(("optics_matrix", n, "takes"), row.takes, plugs)


def _of_unit(at: Path, unit: UnitType, lists: Mapping[str, Known]) -> Iterator[Reference]:
    yield Reference((*at, "family"), unit.family, lists["families"])
    fitting: set[str] = set()
    if unit.supply_bays:
        fitting.update(unit.supply_bays.takes)
        yield from _each((*at, "supply_bays", "takes"), unit.supply_bays.takes, lists["supplies"])
    if unit.built_in_supply is not None:
        fitting.add(unit.built_in_supply)
        yield Reference((*at, "built_in_supply"), unit.built_in_supply, lists["supplies"])
    if unit.fan_bays:
        yield from _each((*at, "fan_bays", "takes"), unit.fan_bays.takes, lists["fan_trays"])
    for n, slot in enumerate(unit.module_slots):
        yield from _each((*at, "module_slots", n, "takes"), slot.takes, lists["modules"])
    yield from _each((*at, "features"), unit.features, lists["features"])
    yield from _each((*at, "subscriptions"), unit.subscriptions, lists["licences"])
    of_type = Known(fitting, "supply of this unit type", "add it to what the supply bays take")
    for n, row in enumerate(unit.poe_table):
        yield from _each((*at, "poe_table", n, "supplies"), row.supplies, of_type)


def _of_parts(parts: Parts, lists: Mapping[str, Known]) -> Iterator[Reference]:
    orderable = _known(parts, "part number", *ORDERABLE)._replace(add="add the part to the catalog")
    for kind in ORDERABLE:
        for n, part in enumerate(getattr(parts, kind)):
            for c, content in enumerate(part.contents):
                yield Reference((kind, n, "contents", c, "part"), content.part, orderable)
            yield from _each((kind, n, "unit_types"), getattr(part, "unit_types", ()), lists["unit_types"])
    for n, box in enumerate(parts.boxes):
        yield Reference(("boxes", n, "unit"), box.unit, lists["unit_types"])
    for n, optic in enumerate(parts.optics):
        if optic.pairs_with is not None:
            yield Reference(("optics", n, "pairs_with"), optic.pairs_with, lists["optics"])
    connectors = Known({optic.connector for optic in parts.optics}, "connector of an optic", "add an optic that has it")
    for n, attenuator in enumerate(parts.attenuators):
        yield Reference(("attenuators", n, "connector"), attenuator.connector, connectors)
    for n, licence in enumerate(parts.licences):
        yield from _each(("licences", n, "features"), licence.features, lists["features"])
    for n, feature in enumerate(parts.features):
        yield from _each(("features", n, "unit_types"), feature.unit_types, lists["unit_types"])
    plugs = _known(parts, "optic or cable", "optics", "cables")
    for n, contract in enumerate(parts.support):
        yield from _each(("support", n, "covers_parts"), contract.covers_parts, plugs)
        if parts.support_levels:  # without them levels have no order
            yield Reference(("support", n, "level"), contract.level, lists["support_levels"])


def _of_cords(parts: Parts) -> Iterator[Reference]:
    connectors = Known({row.connector for row in parts.couplers}, "coupler", "add a row for it under couplers")
    inlets = Known({i for row in parts.couplers for i in row.inlets}, "inlet with a coupler", "leave it out: no cord")
    countries = Known({row.code for row in parts.countries}, "country", "add a row for it under countries")
    for n, cord in enumerate(parts.cords):
        yield Reference(("cords", n, "coupler"), cord.coupler, connectors)
    for n, supply in enumerate(parts.supplies if parts.cords else ()):
        if supply.inlet is not None:
            yield Reference(("supplies", n, "inlet"), supply.inlet, inlets)
    for kind in ("cords", "support") if parts.countries else ():
        for n, part in enumerate(getattr(parts, kind)):
            yield from _each((kind, n, "countries"), part.countries, countries)


def _group_references(parts: Parts) -> Iterator[Reference]:
    """Port groups named by a unit type are its own, or those of a module that fits a slot of it."""
    groups = {module.id: {group.id for group in module.ports} for module in parts.modules}
    for n, unit in enumerate(parts.unit_types):
        fitting = {module for slot in unit.module_slots for module in slot.takes}
        names = {group.id for group in unit.ports}.union(*(groups.get(module, set()) for module in fitting))
        known = Known(names, "port group of this unit type or its modules", "add it under ports")
        for e, pair in enumerate(unit.excludes):
            for side, taking in enumerate(pair):
                yield Reference(("unit_types", n, "excludes", e, side, "group"), taking.group, known)
        for s, shared in enumerate(unit.shared_ports):
            yield from _each(("unit_types", n, "shared_ports", s, "groups"), shared.groups, known)


def _contradictions(sheet: Sheet, parts: Parts) -> Iterator[Problem]:
    """Entries that are well-formed and can't be meant."""
    boxed = {box.unit for box in parts.boxes}
    for n, unit in enumerate(parts.unit_types):
        at: Path = ("unit_types", n)
        if unit.id not in boxed:
            hint = f"add a box with `unit: {unit.id}`, or take the unit type out"
            yield sheet.problem((*at, "id"), f"unit type {shown(unit.id)} is in no box, so it can't be ordered", hint)
        if unit.supply_bays and unit.supply_bays.at_least > unit.supply_bays.count:
            text = f"at least {unit.supply_bays.at_least} supplies in {unit.supply_bays.count} bays"
            yield sheet.problem((*at, "supply_bays", "at_least"), text, "write no more than the bays' count")
        if unit.supply_bays and unit.built_in_supply is not None:
            text = f"supply {shown(unit.built_in_supply)} is built in, and there are bays too"
            yield sheet.problem((*at, "built_in_supply"), text, "state built_in_supply or supply_bays")
    cables = {family.id: family.cables_a_link for family in parts.families}
    for n, family in enumerate(parts.families):
        for m, other in enumerate(family.stacks_with):
            if other in cables and cables[other] != family.cables_a_link:
                text = f"{family.cables_a_link} cables a link here, {cables[other]} in {shown(other)}: they can't stack"
                yield sheet.problem(("families", n, "stacks_with", m), text, "give both the same cables_a_link")
    for kind in ORDERABLE:
        for n, part in enumerate(getattr(parts, kind)):
            for c, content in enumerate(part.contents):
                if content.part == part.id:
                    where = (kind, n, "contents", c, "part")
                    yield sheet.problem(where, f"{shown(part.id)} is said to contain itself", "take the line out")
    for spot, measure, low, high in _ranges(parts):
        if low is not None and high is not None and low > high:
            yield sheet.problem(spot, f"from {low} {measure} to {high} {measure} is no range", "swap the two")


def _ranges(parts: Parts) -> Iterator[tuple[Path, str, Any, Any]]:
    """Every pair of figures of which the first can't be the larger one, and where the first stands."""
    for n, unit in enumerate(parts.unit_types):
        for t, row in enumerate(unit.poe_table):
            yield ("unit_types", n, "poe_table", t, "from_v"), "V", row.from_v, row.to_v
    for n, supply in enumerate(parts.supplies):
        for o, output in enumerate(supply.outputs):
            yield ("supplies", n, "outputs", o, "from_v"), "V", output.from_v, output.to_v
    for n, optic in enumerate(parts.optics):
        for r, reach in enumerate(optic.reaches):
            yield ("optics", n, "reaches", r, "min_m"), "m", reach.min_m, reach.max_m
