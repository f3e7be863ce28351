"""What a bill carries as text for a terminal, as Markdown, CSV and JSON with its schema.

`python -m configurator.render.capacity` prints the schema; it is kept in `configurator/schema/`.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Iterator

from configurator.reading.words import figure
from configurator.render.csv import text as cell
from configurator.render.refusal import said
from configurator.render.sections import Listing, Section, Table, as_markdown, as_text, lines, section, title
from configurator.render.style import PLAIN, Style
from configurator.varying.capacity import CAPACITY_VERSION, Capacity, Room, StackCapacity

HEADING = "The most of each by itself on the same bill, all else as asked"
SENTENCES = "What stops the next"


def contents(one: Capacity) -> Iterator[Section]:
    """What is told, for every text form alike."""
    if one.notes:
        yield section("", lines(*(f"Note: {note}" for note in one.notes)))
    for place, stack in enumerate(one.stacks, start=1):
        copies = f", {stack.copies} copies" if stack.copies > 1 else ""
        yield title(f"Stack {place} of {len(one.stacks)}: {stack.name}{copies}")
        yield from _stack(stack)


def _stack(stack: StackCapacity) -> Iterator[Section]:
    if stack.text:
        yield section("", lines(stack.text))
    if stack.rooms:
        heads = ("What", "Asked", "Carried", "More")
        yield section(HEADING, Table(heads, tuple(map(_row, stack.rooms)), right=(1, 2, 3)))
        rows: list[tuple[str, str]] = []
        for room in stack.rooms:
            label = said(room.statement)
            rows.append(("" if rows and any(label == before for before, _ in rows) else label, room.text))
        yield section(SENTENCES, Listing(tuple(rows)))


def _row(room: Room) -> tuple[str, ...]:
    if room.figure == "poe_class":
        return room.words, f"class {figure(room.asked)}", f"class {figure(room.most)}", ""
    amounts = (room.asked, room.most, room.most - room.asked)
    return room.words, *(f"{figure(amount)} {room.unit}".rstrip() for amount in amounts)


# --- forms --------------------------------------------------------------------------------------------


def as_table(one: Capacity, style: Style = PLAIN) -> str:
    """For a terminal."""
    return as_text(contents(one), style)


def markdown(one: Capacity) -> str:
    """For a document."""
    return as_markdown("What the bill carries", contents(one))


def as_json(one: Capacity) -> str:
    """For programs, keys in the models' order."""
    return one.model_dump_json(by_alias=True, indent=2) + "\n"


def as_csv(one: Capacity) -> str:
    """For spreadsheets: a line a figure; RFC 4180, text that could run as a formula is neutralised."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(("stack", "copies", "statement", "what", "unit", "asked", "carried", "next", "text"))
    for stack in one.stacks:
        for room in stack.rooms:
            after = "" if room.next is None else f"{room.next:f}"
            head = (cell(stack.name), stack.copies, room.statement.key, cell(room.words), room.unit)
            writer.writerow((*head, f"{room.asked:f}", f"{room.most:f}", after, cell(room.text)))
    return out.getvalue()


FORMS = {"table": as_table, "json": as_json, "csv": as_csv, "markdown": markdown}


def schema() -> str:
    """JSON Schema (draft 2020-12) of what a bill carries."""
    body = Capacity.model_json_schema(by_alias=True, mode="serialization")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"Capacity, schema {CAPACITY_VERSION}"}
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema())
