"""What changed since an earlier answer, as text, Markdown and JSON with its schema.

`python -m configurator.render.changes` prints the schema; it is kept in `configurator/schema/`.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator

from configurator import messages
from configurator.messages import counted, listed
from configurator.money import grouped, with_code
from configurator.render import proof
from configurator.render.sections import Bullets, Lines, Listing, Section, Table, as_markdown, as_text, lines, section
from configurator.render.style import PLAIN, Style
from configurator.review.changes import CHANGES_VERSION, Changes, PartChange, PriceChange, StatementChange, Step

STEPS = "What each change does to the price, one at a time and together"
HINT = "Differences add up: what was, then each change alone, then what they do only together."


def text(changes: Changes, style: Style = PLAIN) -> str:
    """For a terminal."""
    return as_text(contents(changes), style)


def markdown(changes: Changes) -> str:
    """For a document."""
    return as_markdown("Since an earlier answer", contents(changes))


def render(changes: Changes) -> str:
    """For programs, keys in the models' order."""
    return changes.model_dump_json(by_alias=True, indent=2) + "\n"


def contents(changes: Changes) -> Iterator[Section]:
    """What is told, for every text form alike."""
    yield section("", lines(*(f"Note: {note}" for note in changes.notes), _verdict(changes)))
    yield section("Then and now", _then_and_now(changes))
    if changes.demand:
        heading = "Statements of the demand that changed, each by itself"
        yield section(heading, Listing(tuple(_statements(changes))), *_together(changes))
    if changes.files:
        named = [f"{one.name}: {one.kind}" for one in changes.files]
        yield section("Files of the catalog that changed", Bullets(tuple(named)))
    if changes.parts:
        yield section("What changed in them", Listing(tuple(map(_part, changes.parts))))
    yield from _prices(changes)
    yield from _earlier(changes)
    heads = ("Step", f"Order {changes.currency}", f"Difference {changes.currency}")
    rows = tuple(_step(one, changes) for one in changes.steps)
    yield section(STEPS, Table(heads, rows, right=(1, 2)), lines(HINT))
    if changes.not_told_apart:
        yield section("What could not be told apart", Bullets(changes.not_told_apart))
    yield from proof.waivers(changes.waivers)


def _verdict(changes: Changes) -> str:
    """Today's price beside the earlier one."""
    more, total = changes.more_minor, changes.total_now_minor
    proved = "" if changes.status == "cheapest" else f" ({changes.status})"
    if total is None:
        return f"Today there is no order of all stacks{proved}; `solve` tells why."
    today = f"Today the order costs {_money(total, changes)}{proved}"
    if more is None:
        return f"{today}; the earlier answer had no order of all stacks."
    if more == 0:
        return f"{today}, as it did."
    return f"{today}, {_money(abs(more), changes)} {'more' if more > 0 else 'less'} than it did."


def _then_and_now(changes: Changes) -> Table:
    then = changes.book_then
    rows = (
        ("Order", _or_none(changes.total_then_minor, changes), _or_none(changes.total_now_minor, changes)),
        ("Order date", changes.date_then.isoformat(), changes.date_now.isoformat()),
        ("Statements changed", "", str(len(changes.demand))),
        ("Catalog files changed", "", str(len(changes.files))),
        ("Price list", "", "the same" if changes.same_prices else "another"),
        *([] if changes.same_discounts else [("Discounts", "", "others")]),
        ("Rules", f"{then.rules}, {then.sha256[: proof.SHORT]}", _book(changes)),
        ("Tool", changes.tool_then, "the same" if changes.tool_then == changes.tool_now else changes.tool_now),
    )
    return Table(("", "Then", "Now"), rows)


def _book(changes: Changes) -> str:
    now = changes.book_now
    return "the same" if now == changes.book_then else f"{now.rules}, {now.sha256[: proof.SHORT]}"


def _statements(changes: Changes) -> Iterator[tuple[str, str]]:
    for one in changes.demand:
        where = f"{listed(one.stacks, '; ')}: " if one.stacks else ""
        ref = f" [{one.ref}]" if one.ref else ""
        yield one.kind, f"{where}{_said(one)}{ref}: {one.effect.text}"


def _together(changes: Changes) -> Iterator[Lines]:
    """What changed statements do that none does by itself."""
    rest = changes.demand_together_minor
    if rest is None:
        yield Lines(("What they do only together can't be told.",), indent="  ")
    elif rest:
        more = f"{_money(abs(rest), changes)} {'more' if rest > 0 else 'less'}"
        yield Lines((f"Together they come to {more} than one by one.",), indent="  ")


def _said(one: StatementChange) -> str:
    said = " -> ".join(text for text in (one.then, one.now) if text is not None)
    return f"the whole stack, {said}" if one.key == "stack" else said


def _part(one: PartChange) -> tuple[str, str]:
    fields = f": {', '.join(one.fields)}" if one.fields else ""
    named = one.group if one.name == one.group else f"{one.name} ({one.group})"
    return one.kind, named + fields


def _prices(changes: Changes) -> Iterator[Section]:
    """Those of parts of the earlier order line by line, the others counted."""
    mine = [one for one in changes.prices if one.quantity]
    others = [one.part for one in changes.prices if not one.quantity]
    rest = [lines(f"{counted(len(others), 'other part', 'other parts')}: {listed(others)}")] if others else []
    if mine:
        heads = ("Part", "Then", "Now", "Qty", f"Difference {changes.currency}", "Also changed")
        rows = tuple(_price(one, changes) for one in mine)
        yield section("Prices that changed, of the earlier order", Table(heads, rows, right=(1, 2, 3, 4)), *rest)
    elif rest:
        yield section("Prices that changed, none of the earlier order", *rest)


def _price(one: PriceChange, changes: Changes) -> tuple[str, ...]:
    figures = (one.then_minor, one.now_minor)
    then, now = ("none" if minor is None else grouped(minor, changes.decimals) for minor in figures)
    more = "" if one.more_minor is None else grouped(one.more_minor, changes.decimals)
    return one.part, then, now, str(one.quantity), more, ", ".join(one.terms)


def _earlier(changes: Changes) -> Iterator[Section]:
    """The earlier order as it stands."""
    one = changes.earlier
    told = []
    if one.price_minor is not None:
        more = one.more_minor
        less = "" if not more else f", {_money(abs(more), changes)} {'more' if more > 0 else 'less'}"
        told.append(f"Its parts cost {_money(one.price_minor, changes)} today{less}.")
    if one.unpriced:
        told.append(f"No price today: {listed(one.unpriced)}.")
    if one.valid is not None:
        told.append(
            "It is still valid: every rule passes it for what is asked today."
            if one.valid
            else "It is not valid any more, for what is asked today:"
        )
    objections = [f"{each.stack or 'the order'}: {each.text} ({each.rule})" for each in one.objections]
    accepted = [f": {messages.waiver(each.waived)}" if each.waived else "" for each in one.objections]
    rows = tuple(text + words for text, words in zip(objections, accepted, strict=True))
    if told:
        yield section("The earlier order today", lines(*told), *([Bullets(rows)] if rows else []))


def _step(one: Step, changes: Changes) -> tuple[str, ...]:
    price = "" if one.what == "together" else _or_none(one.price_minor, changes)
    if one.more_minor is None:
        more = "" if one.what == "earlier" else "can't be told"
    else:
        more = grouped(one.more_minor, changes.decimals)
    return one.text, price, more


def _or_none(minor: int | None, changes: Changes) -> str:
    return "none" if minor is None else grouped(minor, changes.decimals)


def _money(minor: int, changes: Changes) -> str:
    return with_code(minor, changes.decimals, changes.currency)


def schema() -> str:
    """JSON Schema (draft 2020-12) of what changed."""
    body = Changes.model_json_schema(by_alias=True, mode="serialization")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"Changes, schema {CHANGES_VERSION}"}
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema())
