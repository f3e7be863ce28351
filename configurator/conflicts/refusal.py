"""Which rules refuse what comes nearest: for words only, nothing is decided here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from configurator.book import Book
from configurator.engine.arrange import MOST_UNITS, Stacking, every_arrangement, modes
from configurator.engine.fitouts import Power, Shape, raw_powers, shapes
from configurator.engine.layouts import Wanted
from configurator.engine.offers import cheapest_recipe, plugs_of, port_groups
from configurator.engine.powering import powerings
from configurator.fields import Part
from configurator.fitout import Arrangement, Fitout
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Cable, Optic, PortGroup, UnitType
from configurator.rule import Stage
from configurator.setting import Ask, Setting


@dataclass(frozen=True)
class Near:
    """A way to serve a kind that the fewest rules refuse."""

    what: str
    rules: tuple[str, ...]


def nearest(book: Book, kind: Kind, setting: Setting) -> Near | None:
    """The port and plug to which the fewest rules object.

    Of equals the one whose objections stand last in the rule book: the more particular ones.
    """
    best: tuple[tuple[int, list[int]], Near] | None = None
    order = {rule.id: place for place, rule in enumerate(book.rules)}
    holders = [(unit.id, unit.ports) for unit in book.catalog.parts.unit_types]
    holders += [(module.id, module.ports) for module in book.catalog.parts.modules]
    names = {id(group): f"ports {group.id} of {holder}" for holder, ports in holders for group in ports}
    whole = [plug for plug in plugs_of(book) if not isinstance(plug, SplitPlug)]
    plugs = [(plug, frozenset(_of_plug(book, plug, kind, setting))) for plug in whole]
    for name, group in port_groups(book).items():
        by_port = frozenset(_of_port(book, group, kind))
        for plug, objections in plugs:
            if best is not None and len(objections) > best[0][0]:
                continue
            found = sorted((order[r] for r in objections | by_port | set(_of_pair(book, group, plug))), reverse=True)
            key = (len(found), [-place for place in found])
            if best is None or key < best[0]:
                through = "" if plug is None else f"{plug.id} in "
                best = (key, Near(through + names[name], tuple(book.rules[place].id for place in reversed(found))))
    return None if best is None else best[1]


def _of_port(book: Book, group: PortGroup, kind: Kind) -> Iterator[str]:
    for rule in book.rules:
        if rule.port_serves and not rule.port_serves(group, kind, book.catalog):
            yield rule.id


def _of_plug(book: Book, plug: Optic | Cable | None, kind: Kind, setting: Setting) -> Iterator[str]:
    for rule in book.rules:
        if rule.plug_serves and not rule.plug_serves(plug, kind, book.catalog):
            yield rule.id
        if rule.forbids_part and plug is not None and rule.forbids_part(plug, setting, book.catalog):
            yield rule.id


def _of_pair(book: Book, group: PortGroup, plug: Plug | None) -> Iterator[str]:
    for rule in book.rules:
        if rule.port_takes and not rule.port_takes(group, plug, book.catalog):
            yield rule.id


def refusals(book: Book, ask: Ask, stackings: list[Stacking]) -> list[tuple[Arrangement, tuple[str, ...]]]:
    """For a unit alone, and for two or more, the arrangement to which the fewest rules object, with them."""
    best: dict[bool, tuple[Arrangement, tuple[str, ...]]] = {}
    for arrangement in every_arrangement(book.catalog, ask, modes(book, stackings), MOST_UNITS):
        several = arrangement.units > 1
        objections = [r.id for r in book.rules if r.arranges and not r.arranges(arrangement, ask, book.catalog)]
        if several in best and len(objections) >= len(best[several][1]):
            continue
        objections += [rule for rule, need in book.stack_needs(arrangement, ask.setting) if not need.recipes]
        rules = tuple(r.id for r in book.rules if r.id in objections)
        if several not in best or len(rules) < len(best[several][1]):
            best[several] = (arrangement, rules)
    return list(best.values())


def unfit(book: Book, setting: Setting, wanted: Wanted) -> dict[tuple[str, ...], list[str]]:
    """Unit types of which no fit-out is allowed, by the rules that refuse the one with the fewest objections.

    Of equals those that stand last in the rule book: the more particular ones.
    """
    order = {rule.id: place for place, rule in enumerate(book.rules)}
    out: dict[tuple[str, ...], list[str]] = {}
    for unit in book.catalog.parts.unit_types:
        every = _objections(book, unit, setting, wanted)
        objections = min(every, key=lambda rules: (len(rules), [-order[rule] for rule in reversed(rules)]), default=())
        if objections:
            out.setdefault(objections, []).append(unit.id)
    return out


def _objections(book: Book, unit: UnitType, setting: Setting, wanted: Wanted) -> Iterator[tuple[str, ...]]:
    """Of the first thing that can't be decided about a type: what rules say against each way to decide it."""
    bare = Fitout(unit)
    if against := _against(book, "type", bare, setting):
        yield against
        return
    boxes = book.catalog.boxes_of[unit.id]
    if not any(book.sold(box.id, setting) for box in boxes):
        yield from (_unsold(book, box, setting) for box in boxes)
        return
    if not powerings(book, unit, setting):
        yield from filter(None, _of_power(book, unit, setting))
        return
    if not any(book.allows("ports", shape.fitout, setting) for shape in shapes(book, unit, setting, wanted)):
        yield _against(book, "modules", bare, setting) or _against(book, "ports", bare, setting)
        return
    halves: list[Power | Shape] = [*raw_powers(book, unit, setting), *shapes(book, unit, setting, wanted)]
    for half in halves:
        lacking = [rule for rule, need in half.needs if cheapest_recipe(book, need, setting) is None]
        if lacking:
            yield tuple(dict.fromkeys(lacking))


def _of_power(book: Book, unit: UnitType, setting: Setting) -> Iterator[tuple[str, ...]]:
    """What rules say against so many of one supply, or else against so many of one fan tray with them."""
    parts = book.catalog.parts
    bays = range(1, (unit.supply_bays.count if unit.supply_bays else 0) + 1)
    choices = [(supply,) * count for supply in parts.supplies for count in bays]
    if unit.built_in_supply is not None or not choices:
        choices = [tuple(supply for supply in parts.supplies if supply.id == unit.built_in_supply)]
    takes, most = (unit.fan_bays.takes, max(unit.fan_bays.by_supplies)) if unit.fan_bays else ((), 0)
    trays = [tray for tray in parts.fan_trays if tray.id in takes]
    fans = [(), *((tray,) * count for tray in trays for count in range(1, most + 1))]
    for supplies in choices:
        against = _against(book, "supplies", Fitout(unit, supplies=supplies), setting)
        if against:
            yield against
            continue
        for chosen in fans:
            yield _against(book, "fans", Fitout(unit, supplies=supplies, fan_trays=chosen), setting)


def _against(book: Book, stage: Stage, fitout: Fitout, setting: Setting) -> tuple[str, ...]:
    says = [(rule.id, rule.forbids[stage]) for rule in book.rules if stage in rule.forbids]
    return tuple(rule for rule, forbids in says if forbids(fitout, setting, book.catalog))


def _unsold(book: Book, part: Part, setting: Setting) -> tuple[str, ...]:
    says = [(rule.id, rule.forbids_part) for rule in book.rules if rule.forbids_part]
    return tuple(rule for rule, forbids in says if forbids(part, setting, book.catalog))
