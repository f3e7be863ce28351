"""Which rules refuse what comes nearest: for words only, nothing is decided here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from configurator.arrange import MOST_UNITS, Stacking, every_arrangement, modes
from configurator.book import Book
from configurator.fitout import Arrangement
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.offers import plugs_of, port_groups
from configurator.parts import Cable, Optic, PortGroup
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
