"""Why each part is on the bill: the rules that ask for it and the statements behind them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from configurator.book import Book
from configurator.build import Build
from configurator.engine.model import Counts, StackModel
from configurator.rule import Need
from configurator.solved import Reason


def reasons_of(model: StackModel, counts: Counts, build: Build) -> dict[str, tuple[Reason, ...]]:
    """Reasons by part number, each once, in the order of the rule book."""
    found: dict[str, list[Reason]] = {}
    ordered = {b.part for unit in build.units for b in unit.bought} | {b.part for b in build.bought}
    for part, reason in _every(model, counts, build):
        mine = found.setdefault(part, [])
        if part in ordered and reason not in mine:
            mine.append(reason)
    return {part: tuple(found[part]) for part in sorted(ordered & found.keys())}


def _every(model: StackModel, counts: Counts, build: Build) -> Iterator[tuple[str, Reason]]:
    book, ask = model.book, model.ask
    setting = replace(ask.setting, agreed=tuple(counts.agreed.items()))
    asks = {
        kind.statement: rule
        for rule, row in book.limits(ask)
        if row.sense == ">="
        for kind in model.kinds
        if row.kinds and row.kinds(kind) > 0
    }
    loose = [part for part, _ in counts.loose]
    for unit in build.units:
        for use in unit.uses:
            if use.statement in asks:
                module = next((m.module for m in unit.modules if m.slot == use.slot), None)
                reason = _reason(book, asks[use.statement], use.statement)
                yield unit.box, reason
                for part in _bringing(book, module, (*(b.part for b in unit.bought), *loose)):
                    yield part, reason
    for column, count in zip(model.columns, counts.columns, strict=True):
        if count:
            bought = [column.priced.box, *column.priced.bought, *loose]
            priced = column.stacked(counts.arrangement.mode)
            for rule, need in book.unit_needs(priced.fitout, setting):
                for part in _meeting(book, need, bought):
                    yield from ((part, reason) for reason in _why(model, rule, need.slot))
    for offer, count in zip(model.offers.offers, counts.served, strict=True):
        if count:
            statement = model.kinds[offer.kind].statement
            for rule, need in offer.needs:
                for part in _meeting(book, need, loose):
                    yield from ((part, reason) for reason in _why(model, rule, need.slot, statement))
    for rule, need in counts.arrangement.needs:
        for part in _meeting(book, need, loose):
            yield from ((part, reason) for reason in _why(model, rule, need.slot))


def _why(model: StackModel, rule: str, slot: str, statement: str | None = None) -> Iterator[Reason]:
    """The rules that explain a slot, where the customer or the catalog gives them cause; else the rule itself."""
    explaining = [one for one in model.book.rules if slot in one.explains]
    said = [one for one in explaining if not one.only_if_asked or _own(model, one.only_if_asked)]
    for one in said or [model.book.by_id[rule]]:
        yield _reason(model.book, one.id, statement or _said(model, one.id))


def _own(model: StackModel, keys: Iterable[str]) -> bool:
    """Whether one of these statements is the customer's own."""
    return any(not model.ask.statements[key].assumed for key in keys if key in model.ask.statements)


def _bringing(book: Book, part: str | None, bought: Iterable[str]) -> Iterator[str]:
    """Those of the parts bought that are this part or hold it."""
    for name in bought:
        if part is not None and (name == part or any(c.part == part for c in book.catalog.by_id[name].contents)):
            yield name


def _meeting(book: Book, need: Need, bought: Iterable[str]) -> Iterator[str]:
    """Those of the parts bought that meet a need, themselves or by what is in their box."""
    wanted = {part for recipe in need.recipes for part in recipe}
    for part in bought:
        if part in wanted or any(content.part in wanted for content in book.catalog.by_id[part].contents):
            yield part


def _said(model: StackModel, rule: str) -> str | None:
    """The statement that a rule reads, the user's own before assumptions."""
    keys = [key for key in model.book.by_id[rule].about if key in model.ask.statements]
    keys.sort(key=lambda key: model.ask.statements[key].assumed)
    return keys[0] if keys else None


def _reason(book: Book, rule: str, statement: str | None) -> Reason:
    return Reason(rule, book.by_id[rule].sentence, statement)
