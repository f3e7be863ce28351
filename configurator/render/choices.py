"""Builds to choose from as text for a terminal, as Markdown, CSV and JSON with its schema.

`python -m configurator.render.choices alternatives` (or `frontier`) prints the schema; both are kept in
`configurator/schema/`.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import cast

from configurator import messages
from configurator.answer import Answer
from configurator.choices.choice import (
    CHOICES_VERSION,
    Alternatives,
    Choice,
    PartCount,
    PriceFrontier,
    StackAlternatives,
    StackFrontier,
)
from configurator.messages import counted, number
from configurator.money import grouped, plain, with_code
from configurator.render import refusal
from configurator.render.csv import text
from configurator.render.sections import Listing, Section, Table, as_markdown, as_text, lines, section, title
from configurator.render.style import PLAIN, Style

Found = Alternatives | PriceFrontier
STATED = {
    "spare-ports": "spare ports",
    "watts-left": "watts left",
    "rack-units": "rack units",
    "support-years": "years of support",
}
BETTER = {
    "spare-ports": "has more spare ports",
    "watts-left": "has more watts left",
    "rack-units": "takes fewer rack units",
    "support-years": "has longer support",
}
COLUMN_OF = {"spare-ports": 2, "watts-left": 3, "rack-units": 1, "support-years": 6}
"""Which of the figures below a frontier tells first."""
HEADS = ("Units", "Rack units", "Spare ports", "Watts left", "Heat W", "Days", "Support months")
DIFFERS = "Lines that differ from the cheapest"


# --- what is told ---------------------------------------------------------------------------------------


def contents(found: Found) -> Iterator[Section]:
    """What is told, for every text form alike."""
    notes = [f"Note: {note}" for note in found.notes]
    if notes:
        yield section("", lines(*notes))
    stacks: tuple[StackAlternatives | StackFrontier, ...] = found.stacks
    for place, one in enumerate(stacks, start=1):
        yield title(f"Stack {place} of {len(stacks)}: {one.stack.name}")
        told = cast("Answer", found)  # of an answer only the currency is looked at
        if one.stack.build is None:
            yield section("", lines(messages.status(one.stack, told)))
            for why in refusal.sections(one.stack, told) if one.stack.status == "cannot be met" else ():
                yield section(why.heading, *([Listing(why.rows)] if why.rows else []), lines(*why.texts))
            continue
        yield section("", lines(*_verdict(one, found), *_alike(one)))
        choices = _choices(one)
        yield section("", _table(one, choices, found))
        for number_, choice in enumerate(choices, start=1):
            yield _choice(number_, choice, found)
        if one.notes:
            yield section("", lines(*one.notes))


def _choices(one: StackAlternatives | StackFrontier) -> tuple[Choice, ...]:
    return one.builds if isinstance(one, StackAlternatives) else tuple(point.choice for point in one.points)


def _verdict(one: StackAlternatives | StackFrontier, found: Found) -> Iterator[str]:
    if isinstance(one, StackAlternatives):
        builds = counted(len(one.builds), "build", "builds")
        yield f"The {builds} that cost least, of those that differ in unit types, supplies or modules in service."
        if one.every:
            yield "There are no others." if len(one.builds) > 1 else "There is no other."
        elif one.next_minor is not None:
            yield f"The next one costs {with_code(one.next_minor, found.decimals, found.currency)}."
        if not one.proved:
            yield "Time ran out: a build that is not listed may cost less than one that is."
        return
    assert isinstance(found, PriceFrontier)
    better = BETTER[found.against]
    yield f"Price against {STATED[found.against]}: for the price of each build listed, or less, no other {better}."
    if one.cut_off:
        yield f"Cut off after {counted(len(one.points), 'build', 'builds')}: dearer ones follow; see --most."
    elif one.proved:
        yield f"At no price any build {better} than the last."
    if not one.proved:
        yield "Time ran out: there may be others."


def _alike(one: StackAlternatives | StackFrontier) -> Iterator[str]:
    if one.alike:
        yield f"The same holds of: {', '.join(one.alike)}."


def _table(one: StackAlternatives | StackFrontier, choices: Sequence[Choice], found: Found) -> Table:
    values: list[tuple[str, ...]] = [()] * len(choices)
    heads, told_first = ["", f"Price {found.currency}", "More"], None
    if isinstance(one, StackFrontier) and isinstance(found, PriceFrontier):
        heads.insert(1, STATED[found.against].capitalize())
        values = [(_value(point.value, found),) for point in one.points]
        told_first = COLUMN_OF[found.against]
    rows = tuple(
        (
            str(place),
            *value,
            grouped(choice.price_minor, found.decimals),
            grouped(choice.difference_minor, found.decimals),
            *(figure for column, figure in enumerate(_figures(choice)) if column != told_first),
        )
        for place, (value, choice) in enumerate(zip(values, choices, strict=True), start=1)
    )
    every = (*heads, *(head for column, head in enumerate(HEADS) if column != told_first))
    return Table(every, rows, right=tuple(range(len(every))))


def _value(value: Decimal, found: PriceFrontier) -> str:
    if found.against != "support-years":
        return number(value)
    years, months = divmod(int(value), 12)
    said = [counted(years, "year", "years")] if years else []
    return " ".join([*said, counted(months, "month", "months")] if months else said) or "none"


def _figures(choice: Choice) -> tuple[str, ...]:
    figures = choice.figures
    left = "" if figures.watts_left_w is None else number(figures.watts_left_w)
    days = "" if figures.delivery_days is None else str(figures.delivery_days)
    whole = (figures.units, figures.rack_units, figures.spare_ports)
    return *map(str, whole), left, number(figures.heat_w), days, str(figures.support_months)


def _choice(place: int, choice: Choice, found: Found) -> Section:
    more = with_code(abs(choice.difference_minor), found.decimals, found.currency)
    dearer = "more than" if choice.difference_minor > 0 else "less than"
    heading = f"{place}. {more} {dearer} the cheapest" if choice.difference_minor else f"{place}. At the cheapest price"
    rows = [("units", _listed(choice.units)), ("supplies", _listed(choice.supplies))]
    rows += [("modules", _listed(choice.modules)), ("gains", ", ".join(choice.gains))]
    rows.append(("gives up", ", ".join(choice.loses)))
    parts: list[Listing | Table] = [Listing(tuple(row for row in rows if row[1]))]
    if choice.changes and isinstance(found, Alternatives):
        changed = tuple(
            (
                change.part,
                change.description,
                str(change.before),
                str(change.after),
                grouped(change.difference_minor, found.decimals),
            )
            for change in choice.changes
        )
        heads = (DIFFERS, "Description", "Cheapest", "This", f"Difference {found.currency}")
        parts.append(Table(heads, changed, right=(2, 3, 4)))
    return section(heading, *parts)


def _listed(counts: Sequence[PartCount]) -> str:
    return ", ".join(f"{one.count} x {one.part}" for one in counts)


# --- forms --------------------------------------------------------------------------------------------


def as_table(found: Found, style: Style = PLAIN) -> str:
    """For a terminal."""
    return as_text(contents(found), style)


def markdown(found: Found) -> str:
    """For a document."""
    return as_markdown("Alternatives" if isinstance(found, Alternatives) else "Price frontier", contents(found))


def as_json(found: Found) -> str:
    """For programs, keys in the models' order."""
    return found.model_dump_json(by_alias=True, indent=2) + "\n"


COLUMNS = (
    "stack",
    "status",
    "place",
    "against",  # what the price is set against; empty: alternatives
    "value",  # of that, of support in months
    "price",
    "more",  # than the cheapest
    "currency",
    "units",
    "rack_units",
    "spare_ports",
    "watts_left",
    "heat_w",
    "delivery_days",
    "support_months",
    "unit_types",
    "supplies",
    "modules",
)


def as_csv(found: Found) -> str:
    """A line a build (RFC 4180); a stack without a build has one without figures."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    stacks: tuple[StackAlternatives | StackFrontier, ...] = found.stacks
    for one in stacks:
        head = (text(one.stack.name), one.stack.status)
        if not _choices(one):
            writer.writerow((*head, *[""] * (len(COLUMNS) - len(head))))
        for place, choice in enumerate(_choices(one), start=1):
            against = found.against if isinstance(found, PriceFrontier) else ""
            value = number(one.points[place - 1].value) if isinstance(one, StackFrontier) else ""
            money = (plain(choice.price_minor, found.decimals), plain(choice.difference_minor, found.decimals))
            parts = (text(_listed(some)) for some in (choice.units, choice.supplies, choice.modules))
            writer.writerow((*head, place, against, value, *money, found.currency, *_figures(choice), *parts))
    return out.getvalue()


FORMS = {"table": as_table, "json": as_json, "markdown": markdown, "csv": as_csv}
SCHEMAS: dict[str, type[Alternatives | PriceFrontier]] = {"alternatives": Alternatives, "frontier": PriceFrontier}


def schema(name: str) -> str:
    """JSON Schema (draft 2020-12) of alternatives, or of a frontier."""
    body = SCHEMAS[name].model_json_schema(by_alias=True, mode="serialization")
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"{name.capitalize()}, schema {CHOICES_VERSION}",
    }
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema(sys.argv[1]))
