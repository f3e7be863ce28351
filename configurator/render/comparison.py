"""A comparison as text for a terminal, as Markdown, CSV and JSON with its schema.

`python -m configurator.render.comparison` prints the schema; it is kept in `configurator/schema/`.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Iterator

from configurator.buying.comparison import (
    COMPARISON_VERSION,
    BreakEven,
    BundleUse,
    Cell,
    Changed,
    Comparison,
    Ordered,
    Side,
    SideStack,
)
from configurator.money import grouped, plain, with_code
from configurator.render.csv import text as cell_text
from configurator.render.refusal import said
from configurator.render.sections import (
    Bullets,
    Lines,
    Listing,
    Section,
    Table,
    as_markdown,
    as_text,
    lines,
    section,
    title,
)
from configurator.render.style import PLAIN, Style

HEADS = {"styles": "Ways to buy", "two": "Side by side"}
WHY = "Which is cheapest, and why"
STACKS = "Stack by stack"
LINES = "Line by line"
TYPES = "One unit type bought otherwise, all else as it is"
BREAK_EVEN = "Break-even: the highest price at which the cheapest order has the bundle"
LATER = "A second supply, now or later, for one stack"
IN_BOXES = "What is in the bundles"
CHANGES = "What is asked otherwise"


def contents(one: Comparison) -> Iterator[Section]:
    """What is told, for every text form alike."""
    if one.notes:
        yield section("", lines(*(f"Note: {note}" for note in one.notes)))
    yield section(HEADS[one.of], _sides(one))
    yield section(WHY, Bullets(one.why))
    if one.changes:
        yield section(CHANGES, Listing(tuple(map(_changed, one.changes))))
    if any(len(side.stacks) > 1 for side in one.sides):
        yield section(STACKS, _stacks(one))
    if one.lines:
        yield section(LINES, _lines(one))
    yield from _impossible(one)
    for side in one.sides:
        if side.bundles:
            yield section(f"{IN_BOXES}, {side.name}", _in_boxes(side, one), *_unneeded(side, one))
    if one.types:
        yield section(TYPES, Bullets(tuple(each.text for each in one.types)))
    if one.break_even:
        yield section(BREAK_EVEN, _break_even(one), Listing(tuple((each.bundle, each.text) for each in one.break_even)))
    if one.later:
        yield section(LATER, Listing(tuple((each.stack, each.text) for each in one.later)))


def _money(minor: int | None, one: Comparison, none: str = "") -> str:
    return none if minor is None else grouped(minor, one.decimals)


def _sides(one: Comparison) -> Table:
    heads = ("", f"Order {one.currency}", f"Difference {one.currency}", "Units", "In bundles", "Proved")
    rows = tuple(
        (
            side.name,
            _money(side.total_minor, one, "none"),
            "" if side.key == one.against else _money(side.difference_minor, one, "none"),
            str(side.units),
            "" if side.in_bundles is None else str(side.in_bundles),
            side.status,
        )
        for side in one.sides
    )
    return Table(heads, rows, right=(1, 2, 3, 4))


def _stacks(one: Comparison) -> Table:
    heads = ("Stack", "", f"All copies {one.currency}", f"Difference {one.currency}", "Units of one")
    names = list(dict.fromkeys(stack.name for side in one.sides for stack in side.stacks))
    rows: list[tuple[str, ...]] = []
    for name in names:
        mine = [(side, stack) for side in one.sides for stack in side.stacks if stack.name == name]
        rows += [_stack(side, stack, one, first=place == 0) for place, (side, stack) in enumerate(mine)]
    return Table(heads, tuple(rows), right=(2, 3))


def _stack(side: Side, stack: SideStack, one: Comparison, *, first: bool) -> tuple[str, ...]:
    copies = f", {stack.copies} copies" if stack.copies > 1 else ""
    label = f"{stack.name}{copies}" if first else ""
    amount = _money(stack.amount_minor, one, stack.status)
    more = "" if side.key == one.against else _money(stack.difference_minor, one)
    return label, side.name, amount, more, ", ".join(map(_ordered, stack.units))


def _ordered(one: Ordered) -> str:
    return f"{one.count} x {one.box}"


def _lines(one: Comparison) -> Table:
    """Quantities side by side, then differences of amounts; sides without an order have none."""
    others = [n for n, side in enumerate(one.sides) if side.key != one.against]
    names = [side.name for side in one.sides]
    heads = ("Part", "Description", *names, *(f"{names[n]}, difference {one.currency}" for n in others))
    rows = []
    for line in one.lines:
        counts = ["" if cell is None else str(cell.quantity) for cell in line.cells]
        more = [_difference(line.cells[n], one) for n in others]
        rows.append((line.part, line.description, *counts, *more))
    totals = [_money(one.sides[n].difference_minor, one) for n in others]
    rows.append(("", "Total", *([""] * len(names)), *totals))
    return Table(heads, tuple(rows), right=tuple(range(2, len(heads))))


def _difference(cell: Cell | None, one: Comparison) -> str:
    return "" if cell is None else _money(cell.difference_minor, one)


def _impossible(one: Comparison) -> Iterator[Section]:
    """Why some stack can't be met on some side."""
    for side in one.sides:
        found = [(stack, conflict) for stack in side.stacks for conflict in stack.conflicts]
        if found:
            yield title(f"{side.name}: why it cannot be met")
        for stack, conflict in found:
            rows = [("assumed" if given.assumed else "asked", said(given)) for given in conflict.statements]
            rows += [("rule", f"{rule.sentence} ({rule.id})") for rule in conflict.rules]
            yield section(stack.name, Listing(tuple(rows)), Lines((conflict.text,), indent="  "))


def _in_boxes(side: Side, one: Comparison) -> Table:
    heads = ("Bundle", "Qty", "Holds", "Used", "Not needed", f"One by itself {one.currency}")
    rows: list[tuple[str, ...]] = []
    for bundle in side.bundles:
        for place, part in enumerate(bundle.included or (None,)):
            head = (bundle.bundle, str(bundle.count)) if place == 0 else ("", "")
            if part is None:
                rows.append((*head, "the unit alone", "", "", ""))
            else:
                loose = _money(part.loose_minor, one, "not sold")
                rows.append((*head, part.part, str(part.used), str(part.idle or ""), loose))
    return Table(heads, tuple(rows), right=(1, 3, 4, 5))


def _unneeded(side: Side, one: Comparison) -> list[Lines]:
    """What the contents that nobody needs are worth on a shelf."""
    found = [_worth(bundle, one) for bundle in side.bundles if any(part.idle for part in bundle.included)]
    return [Lines(tuple(found), indent="  ")] if found else []


def _worth(bundle: BundleUse, one: Comparison) -> str:
    idle = [part for part in bundle.included if part.idle]
    words = ", ".join(f"{part.idle} x {part.part}" for part in idle)
    unsold = [part.part for part in idle if part.loose_minor is None]
    amount = with_code(bundle.idle_minor, one.decimals, one.currency)
    besides = f"; {', '.join(unsold)} can't be bought by itself" if unsold else ""
    return f"Paid for and not needed in {bundle.bundle}: {words}; as cold spares they would cost {amount}{besides}."


def _break_even(one: Comparison) -> Table:
    heads = ("Bundle", "Ordered", f"Today {one.currency}", f"Break-even {one.currency}", "Change %")
    return Table(heads, tuple(_break_even_row(each, one) for each in one.break_even), right=(1, 2, 3, 4))


def _break_even_row(each: BreakEven, one: Comparison) -> tuple[str, ...]:
    instead = {"always": "any", "never": "none", "not decided": "not decided"}
    price = instead.get(each.outcome) or _money(each.price_minor, one)
    change = "" if each.change_percent is None else f"{each.change_percent:+.1f}"
    return each.bundle, str(each.ordered), _money(each.paid_minor, one), price, change


def _changed(one: Changed) -> tuple[str, str]:
    where = f"{'; '.join(one.stacks)}: " if one.stacks else ""
    words = " -> ".join(text for text in (one.first, one.second) if text is not None)
    ref = f" [{one.ref}]" if one.ref else ""
    return one.kind, where + (f"the whole stack, {words}" if one.key == "stack" else words) + ref


# --- forms --------------------------------------------------------------------------------------------


def as_table(one: Comparison, style: Style = PLAIN) -> str:
    """For a terminal."""
    return as_text(contents(one), style)


def as_page(one: Comparison) -> str:
    """For a document."""
    return as_markdown("Comparison", contents(one))


def as_json(one: Comparison) -> str:
    """For programs, keys in the models' order."""
    return one.model_dump_json(by_alias=True, indent=2) + "\n"


def as_csv(one: Comparison) -> str:
    """The lines: a row for each part on each side (RFC 4180)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    heads = ("side", "name", "status", "group", "part", "description", "quantity", "unit_price", "amount", "difference")
    writer.writerow((*heads, "currency"))
    for n, side in enumerate(one.sides):
        head = (side.key, cell_text(side.name), side.status)
        if side.total_minor is None:
            writer.writerow((*head, *([""] * 7), one.currency))
            continue
        for line in one.lines:
            found = line.cells[n]
            if found is not None and (found.quantity or found.difference_minor):
                money = (found.unit_price_minor, found.amount_minor, found.difference_minor)
                amounts = ("" if minor is None else plain(minor, one.decimals) for minor in money)
                text = (line.group, cell_text(line.part), cell_text(line.description))
                writer.writerow((*head, *text, found.quantity, *amounts, one.currency))
    return out.getvalue()


FORMS = {"table": as_table, "json": as_json, "markdown": as_page, "csv": as_csv}


def schema() -> str:
    """JSON Schema (draft 2020-12) of a comparison."""
    body = Comparison.model_json_schema(by_alias=True, mode="serialization")
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Comparison, schema {COMPARISON_VERSION}",
    }
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema())
