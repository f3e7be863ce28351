"""Why each part is on the bill: the rules that ask for it and the statements behind them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from configurator.book import Book
from configurator.build import Build
from configurator.model import Counts, StackModel
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
    asks = {
        kind.statement: rule
        for rule, row in book.limits(ask)
        if row.sense == ">="
        for kind in model.kinds
        if row.kinds and row.kinds(kind) > 0
    }
    for unit in build.units:
        for statement in dict.fromkeys(use.statement for use in unit.uses):
            if statement in asks:
                yield unit.box, _reason(book, asks[statement], statement)
    for column, count in zip(model.columns, counts.columns, strict=True):
        if count:
            for rule, need in book.unit_needs(column.fitout, ask.setting):
                for part in _meeting(book, need, (column.priced.box, *column.priced.bought, *(p for p, _ in counts.loose))):
                    yield part, _reason(book, rule, _said(model, rule))
    for offer, count in zip(model.offers.offers, counts.served, strict=True):
        if count:
            for rule, need in offer.needs:
                for part in _meeting(book, need, (p for p, _ in counts.loose)):
                    yield part, _reason(book, rule, model.kinds[offer.kind].statement)
    for rule, need in counts.arrangement.needs:
        for part in _meeting(book, need, (p for p, _ in counts.loose)):
            yield part, _reason(book, rule, _said(model, rule))


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
