"""Which rules keep an optic or a cable from serving anything that a demand asks for: for words only."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from configurator.book import Book
from configurator.engine.offers import plugs_of, port_groups
from configurator.kinds import Kind, Plug, SplitPlug, kinds_of
from configurator.parts import PortGroup
from configurator.rule import Rule
from configurator.setting import Ask


@dataclass(frozen=True)
class Nearest:
    """The use of a part to which the fewest rules object."""

    what: str  # in ports p of a module …
    statement: str  # key of what it would serve
    rules: tuple[str, ...]  # that object, all of them


def nearest_use(book: Book, ask: Ask, part: str) -> Nearest | None:
    """The nearest use, where rules object to every use; none: some use is allowed, or it is no plug."""
    plugs = [plug for plug in plugs_of(book) if plug is not None and part in _parts(plug)]
    best: Nearest | None = None
    for kind in kinds_of(replace(ask, dropped=frozenset(key for key in ask.dropped if "[" not in key))):
        for plug in plugs:
            by_plug = set(_to_plug(book, plug, kind, ask))
            for holder, group in _holders(book):
                objections = by_plug | set(_to_port(book, group, plug, kind))
                if best is None or len(objections) < len(best.rules):
                    rules = tuple(rule.id for rule in book.rules if rule.id in objections)
                    best = Nearest(f"in ports {group.id} of {holder}", kind.statement, rules)
    return best if best is not None and best.rules else None


def _parts(plug: Plug) -> tuple[str, ...]:
    return plug.parts if isinstance(plug, SplitPlug) else (plug.id,)


def _holders(book: Book) -> list[tuple[str, PortGroup]]:
    parts, known = book.catalog.parts, port_groups(book)
    held: list[tuple[str, PortGroup]] = [(unit.id, group) for unit in parts.unit_types for group in unit.ports]
    held += [(module.id, group) for module in parts.modules for group in module.ports]
    return [(holder, group) for holder, group in held if id(group) in known]


def _to_plug(book: Book, plug: Plug, kind: Kind, ask: Ask) -> Iterator[str]:
    """Rules against this plug for this kind, or against a part of it on the bill."""
    for rule in book.rules:
        if rule.plug_serves and not rule.plug_serves(plug, kind, book.catalog):
            yield rule.id
        if rule.forbids_part and any(
            rule.forbids_part(book.catalog.by_id[part], ask.setting, book.catalog) for part in _parts(plug)
        ):
            yield rule.id


def _to_port(book: Book, group: PortGroup, plug: Plug, kind: Kind) -> Iterator[str]:
    """Rules against this plug in these ports, or against these ports for this kind."""
    for rule in book.rules:
        if _objects(rule, book, group, plug, kind):
            yield rule.id


def _objects(rule: Rule, book: Book, group: PortGroup, plug: Plug, kind: Kind) -> bool:
    catalog = book.catalog
    if rule.port_takes and not rule.port_takes(group, plug, catalog):
        return True
    if isinstance(plug, SplitPlug):
        return rule.port_splits is not None and not rule.port_splits(group, plug, kind, catalog)
    return rule.port_serves is not None and not rule.port_serves(group, kind, catalog)
