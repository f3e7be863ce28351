"""An explanation as text for a terminal, as Markdown and as JSON with its schema.

`python -m configurator.render.explanation` prints the schema; it is kept in `configurator/schema/`.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import cast

from configurator import messages
from configurator.answer import Answer, Why
from configurator.catalog import PriceList
from configurator.money import grouped
from configurator.reasoning.explanation import (
    EXPLANATION_VERSION,
    Explanation,
    Forced,
    Fullness,
    LineNeed,
    Priced,
    StackExplanation,
)
from configurator.render import refusal
from configurator.render.blocks import listing, table
from configurator.render.refusal import said
from configurator.render.style import PLAIN, Style, printable

CARRIED = "What these very units still carry, with optics and cables to match, all else being as it is"
LINES = "Each line of the bill: required, or the cheapest"
COSTS = "What each statement costs"
OTHERWISE = "What was assumed, and what it would cost the other way"
ORDER = "What each statement about the order as a whole costs"


@dataclass(frozen=True)
class Block:
    """Under a heading a table or rows of label and text, then sentences."""

    heading: str
    rows: tuple[tuple[str, ...], ...] = ()
    heads: tuple[str, ...] = ()  # of a table; none: label and text
    right: tuple[int, ...] = ()  # columns of figures
    texts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Currency:
    """What amounts are in."""

    currency: str
    decimals: int


def currency_of(one: Explanation | PriceList) -> Currency:
    """The currency of an explanation, or of the prices that it comes of."""
    return Currency(one.currency, one.decimals)


# --- what is told ---------------------------------------------------------------------------------------


def blocks(one: StackExplanation, currency: Currency) -> Iterator[Block]:
    """One stack, block by block."""
    stack = one.stack
    told = cast("Answer", currency)  # of an answer only the currency is looked at
    yield Block("", texts=(messages.status(stack, told),))
    if stack.status == "cannot be met":
        for section in refusal.sections(stack, told):
            yield Block(section.heading, section.rows, texts=section.texts)
    if one.drives:
        yield Block("What its units are there for", texts=tuple(drive.text for drive in one.drives))
    if one.fullness:
        heads = ("Where", "What", "Used", "Of", "", "Percent", "")
        yield Block("How full it is", tuple(map(_full, one.fullness)), heads, right=(2, 3, 5))
    if one.carries:
        yield Block(CARRIED, tuple((said(each.statement), each.text) for each in one.carries))
    if one.lines:
        yield Block(LINES, tuple(row for line in one.lines for row in _line(line, currency)))
    if one.statements:
        yield Block(COSTS, tuple(map(_priced, one.statements)))
    if one.assumptions:
        yield Block(OTHERWISE, tuple(_once(map(_priced, one.assumptions))))
    for forced in one.forced:
        yield from _forced(forced, currency)
    if one.notes:
        yield Block("", texts=one.notes)


def order_block(order: Iterable[Priced]) -> Block:
    """What statements about the order as a whole cost."""
    return Block(ORDER, tuple(map(_priced, order)))


def _full(one: Fullness) -> tuple[str, ...]:
    where = "stack" if one.unit is None else f"unit {one.unit}"
    used, of = messages.number(one.used), messages.number(one.of)
    return where, one.what, used, of, one.measure, f"{one.percent} %", "full" if one.full else ""


def _line(one: LineNeed, currency: Currency) -> Iterator[tuple[str, str]]:
    line = one.line
    amount = f"{grouped(line.amount_minor, currency.decimals)} {currency.currency}"
    yield f"{line.quantity} x {line.part}", f"{amount}. {one.text}"
    for why in _rules(line.reasons):
        yield "", why


def _rules(reasons: Iterable[Why]) -> Iterator[str]:
    """A sentence for each rule that wants a part, with the statements that make it."""
    found: dict[tuple[str, str], list[str]] = {}
    for why in reasons:
        statements = found.setdefault((why.text, why.rule), [])
        if why.said is not None:
            statements.append(f"{why.said} [{why.ref}]" if why.ref else why.said)
    for (text, rule), statements in found.items():
        yield text + (f" For {'; '.join(statements)}" if statements else "") + f" ({rule})"


def _priced(one: Priced) -> tuple[str, str]:
    return said(one.statement), one.text


def _once(rows: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """A label is told once for the rows that share it."""
    last = None
    for label, text in rows:
        yield ("" if label == last else label), text
        last = label


def _forced(one: Forced, currency: Currency) -> Iterator[Block]:
    rows = [("asked", said(given)) for given in one.statements]
    rows += [("rule", f"{rule.sentence} ({rule.id})") for rule in one.rules]
    some = one.part if one.least == 1 else f"{one.least} or more of {one.part}"
    asked = f"Without {one.part}" if one.least is None else f"With {some}"
    yield Block(asked, tuple(rows), texts=(one.text,))
    if one.changes:
        money = [grouped(change.difference_minor, currency.decimals) for change in one.changes]
        lines = [
            (change.part, change.description, str(change.before), str(change.after), amount)
            for change, amount in zip(one.changes, money, strict=True)
        ]
        total = grouped(sum(change.difference_minor for change in one.changes), currency.decimals)
        heads = ("Part", "Description", "Now", "Then", f"Difference {currency.currency}")
        yield Block("Line by line", (*lines, ("", "Total", "", "", total)), heads, right=(2, 3, 4))


def title(one: StackExplanation, place: int, of: int) -> str:
    """Over a stack."""
    copies = f", {one.stack.copies} copies" if one.stack.copies > 1 else ""
    return f"Stack {place} of {of}: {one.stack.name}{copies}"


# --- forms --------------------------------------------------------------------------------------------


def text_of(found: Iterable[Block], style: Style = PLAIN) -> str:
    """Blocks for a terminal."""
    return "\n\n".join(style.section(one.heading, _body(one)) for one in found)


def _body(one: Block) -> str:
    rows = [table(one.heads, one.rows, one.right) if one.heads else listing(one.rows)] if one.rows else []  # type: ignore[arg-type]
    indent = "  " if one.heading else ""
    return "\n".join([*rows, *(indent + text for text in one.texts)])


def stack_text(one: StackExplanation, place: int, of: int, currency: Currency, style: Style = PLAIN) -> str:
    """One stack for a terminal."""
    return f"{style.title(title(one, place, of))}\n\n{text_of(blocks(one, currency), style)}\n"


def as_table(one: Explanation, style: Style = PLAIN) -> str:
    """All of it for a terminal."""
    found = [
        stack_text(stack, place, len(one.stacks), currency_of(one), style)
        for place, stack in enumerate(one.stacks, start=1)
    ]
    order = [text_of([order_block(one.order)], style) + "\n"] if one.order else []
    notes = "".join(f"Note: {printable(note)}\n" for note in one.notes)
    return "\n".join([*([notes] if notes else []), *found, *order])


def as_markdown(one: Explanation) -> str:
    """All of it for a document."""
    about = f"{one.catalog.name}; price list {one.price_list.name or '-'}, {one.currency}; order date {one.order_date}"
    out = ["# Explanation", " ".join(filter(None, (one.customer, one.project))), _cell(about)]
    out += [f"Note: {_cell(note)}" for note in one.notes]
    for place, stack in enumerate(one.stacks, start=1):
        out.append(f"## {_cell(title(stack, place, len(one.stacks)))}")
        out += [part for block in blocks(stack, currency_of(one)) for part in _markdown(block)]
    if one.order:
        out += _markdown(order_block(one.order))
    return "\n\n".join(part for part in out if part) + "\n"


def _markdown(one: Block) -> Iterator[str]:
    if one.heading:
        yield f"### {_cell(one.heading)}"
    if one.rows:
        heads = one.heads or ("",) * len(one.rows[0])
        rule = "|".join("---:" if column in one.right else "---" for column in range(len(heads)))
        rows = [f"| {' | '.join(map(_cell, row))} |" for row in (heads, *one.rows)]
        yield "\n".join([rows[0], f"|{rule}|", *rows[1:]])
    if one.texts:
        yield "\n".join(f"- {_cell(text)}" for text in one.texts) if one.heading else "\n\n".join(map(_cell, one.texts))


def _cell(text: str) -> str:
    for mark in ("\\", "|", "<", "*", "_", "`", "[", "]", "#"):
        text = text.replace(mark, f"\\{mark}")
    return printable(text).replace("\n", " ")


def as_json(one: Explanation) -> str:
    """All of it for programs, keys in the models' order."""
    return one.model_dump_json(by_alias=True, indent=2) + "\n"


FORMS = {"table": as_table, "json": as_json, "markdown": as_markdown}


def schema() -> str:
    """JSON Schema (draft 2020-12) of an explanation."""
    body = Explanation.model_json_schema(by_alias=True, mode="serialization")
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Explanation, schema {EXPLANATION_VERSION}",
    }
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema())
