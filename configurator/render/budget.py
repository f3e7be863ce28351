"""What a budget buys as text for a terminal, as Markdown, CSV and JSON with its schema.

`python -m configurator.render.budget` prints the schema; it is kept in `configurator/schema/`.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Iterator
from decimal import Decimal

from configurator.money import grouped, plain, with_code
from configurator.reading.words import figure
from configurator.render.csv import text as cell
from configurator.render.sections import Listing, Section, Table, as_markdown, as_text, lines, section
from configurator.render.style import PLAIN, Style
from configurator.varying.budget import BUDGET_VERSION, Budget, Reach

HEADING = "The most of each by itself, all else as stated"
SENTENCES = "In words"
COLUMNS = (
    *("figure", "unit", "stated", "most", "price", "left", "next", "next_price", "currency"),
    *("proved", "text"),  # whether the most is proved; all of it in words
)


def contents(one: Budget) -> Iterator[Section]:
    """What is told, for every text form alike."""
    yield section("", lines(*(f"Note: {note}" for note in one.notes), *_verdict(one)))
    if one.reaches:
        heads = ("Figure", "Stated", "Most", f"Price {one.currency}", f"Left {one.currency}")
        table = Table(heads, tuple(_row(reach, one) for reach in one.reaches), right=(1, 2, 3, 4))
        yield section(HEADING, table)
        yield section(SENTENCES, Listing(tuple((reach.name, reach.text) for reach in one.reaches)))


def _verdict(one: Budget) -> Iterator[str]:
    amount = with_code(one.amount_minor, one.decimals, one.currency)
    whose = f" for one {one.stack}" if one.stack is not None else " for the order"
    yield f"Budget: {amount}{whose}."
    if one.price_minor is None or one.left_minor is None:
        yield f"As stated: {one.status}; what smaller figures would do is told below."
        return
    price = with_code(one.price_minor, one.decimals, one.currency)
    if one.left_minor < 0:
        lacking = with_code(-one.left_minor, one.decimals, one.currency)
        yield f"As stated it costs {price}, {lacking} more than that; what smaller figures would do is told below."
    else:
        yield f"As stated it costs {price}; {with_code(one.left_minor, one.decimals, one.currency)} are left."


def _row(reach: Reach, one: Budget) -> tuple[str, ...]:
    stated = "" if reach.stated is None else f"{figure(reach.stated)} {reach.unit}".rstrip()
    money = ("" if minor is None else grouped(minor, one.decimals) for minor in (reach.price_minor, reach.left_minor))
    most = reach.most_words or "none"
    return reach.name, stated, most if reach.proved else f"{most} or more", *money


# --- forms --------------------------------------------------------------------------------------------


def as_table(one: Budget, style: Style = PLAIN) -> str:
    """For a terminal."""
    return as_text(contents(one), style)


def markdown(one: Budget) -> str:
    """For a document."""
    return as_markdown("What the budget buys", contents(one))


def as_json(one: Budget) -> str:
    """For programs, keys in the models' order."""
    return one.model_dump_json(by_alias=True, indent=2) + "\n"


def as_csv(one: Budget) -> str:
    """For spreadsheets: a line a figure; RFC 4180, text that could run as a formula is neutralised."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(
        ("figure", "unit", "stated", "most", "price", "left", "next", "next_price", "currency", "proved", "text")
    )
    for reach in one.reaches:
        beyond = reach.next
        writer.writerow(
            (
                cell(reach.name),
                reach.unit,
                _plain(reach.stated),
                _plain(reach.most),
                _money(reach.price_minor, one),
                _money(reach.left_minor, one),
                _plain(None if beyond is None else beyond.figure),
                _money(None if beyond is None else beyond.price_minor, one),
                one.currency,
                "yes" if reach.proved else "no",
                cell(reach.text),
            )
        )
    return out.getvalue()


def _plain(value: Decimal | None) -> str:
    return "" if value is None else f"{value:f}"


def _money(minor: int | None, one: Budget) -> str:
    return "" if minor is None else plain(minor, one.decimals)


FORMS = {"table": as_table, "json": as_json, "csv": as_csv, "markdown": markdown}


def schema() -> str:
    """JSON Schema (draft 2020-12) of what a budget buys."""
    body = Budget.model_json_schema(by_alias=True, mode="serialization")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"Budget, schema {BUDGET_VERSION}"}
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema())
