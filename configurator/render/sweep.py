"""A sweep as text for a terminal, as Markdown, CSV and JSON with its schema.

`python -m configurator.render.sweep` prints the schema; it is kept in `configurator/schema/`.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Iterable, Iterator

from configurator.money import grouped, plain
from configurator.render.csv import text as cell
from configurator.render.sections import Listing, Section, Table, as_markdown, as_text, lines, section
from configurator.render.style import PLAIN, Style
from configurator.varying.sweep import SWEEP_VERSION, PartCount, Sweep, SweepPoint

NO_PRICE = {"cannot be met": "cannot be met", "not decided": "not decided"}
MOST_TYPES = 4  # of units that a line of the table lists
STEPS = "Where something is added"
REFUSED = "What cannot be met, with the first reason found"


def contents(one: Sweep) -> Iterator[Section]:
    """What is told, for every text form alike."""
    yield section("", lines(*(f"Note: {note}" for note in one.notes), title(one)))
    yield section("", _grid(one) if len(one.varied) > 1 else _table(one))
    added = tuple((_at(point), _step(point, one)) for point in one.points if point.added)
    if added:
        yield section(STEPS, Listing(added))
    refused = _once(_refused(one.points))
    if refused:
        yield section(REFUSED, Listing(refused))


def title(one: Sweep) -> str:
    """What is priced, and what varies."""
    what = "the order" if one.stack is None else one.stack
    figures = " and ".join(f"{each.name} ({each.words})" for each in one.varied)
    return f"The cheapest price of {what} for each value of {figures}; all else as stated."


def _at(point: SweepPoint) -> str:
    return ", ".join(point.words)


def price_words(point: SweepPoint, one: Sweep) -> str:
    """The price, or why there is none; a price that is not proved cheapest says so."""
    if point.price_minor is None:
        return NO_PRICE.get(point.status, "none")
    money = grouped(point.price_minor, one.decimals)
    return money if point.status == "cheapest" else f"{money} (not proved cheapest)"


def _table(one: Sweep) -> Table:
    heads = (one.varied[0].words, f"Price {one.currency}", f"Difference {one.currency}", "Units", "Supplies", "Modules")
    rows = tuple(
        (
            point.words[0],
            price_words(point, one),
            "" if point.difference_minor is None else grouped(point.difference_minor, one.decimals),
            _units(point.units),
            _total(point.supplies),
            _total(point.modules),
        )
        for point in one.points
    )
    stacks = [str(point.stacks or "") for point in one.points]
    if len(set(filter(None, stacks))) < 2:
        return Table(heads, rows, right=(0, 1, 2, 4, 5))
    told = tuple((*row, count) for row, count in zip(rows, stacks, strict=True))
    return Table((*heads, "Stacks"), told, right=(0, 1, 2, 4, 5, 6))


def _units(units: tuple[PartCount, ...]) -> str:
    """Units by type; of many types their number, since CSV and JSON have them all."""
    return parts_words(units) if len(units) <= MOST_TYPES else f"{_total(units)} of {len(units)} types"


def _total(parts: Iterable[PartCount]) -> str:
    return str(sum(part.count for part in parts) or "")


def parts_words(parts: Iterable[PartCount]) -> str:
    """`2 x pond.8t, 1 x pond.8p4`."""
    return ", ".join(f"{part.count} x {part.part}" for part in parts)


def _grid(one: Sweep) -> Table:
    """The first figure downwards, the second to the right."""
    across = one.series()
    heads = (f"{one.varied[0].words} / {one.varied[1].words}", *(series[0].words[1] for series in across))
    rows = tuple(
        (points[0].words[0], *(price_words(point, one) for point in points)) for points in zip(*across, strict=True)
    )
    return Table(heads, rows, right=tuple(range(len(heads))))


def _step(point: SweepPoint, one: Sweep) -> str:
    more = point.difference_minor or 0
    money = f"{grouped(abs(more), one.decimals)} {one.currency}"
    said = f"{money} {'more' if more > 0 else 'less'}" if more else "as much"
    return f"{point.text}: {said}"


def _refused(points: Iterable[SweepPoint]) -> Iterator[tuple[str, str]]:
    """Points without a price; those in a row with the same statements at odds are told by the first and the last."""
    run: list[SweepPoint] = []
    for point in (*points, None):
        if run and (point is None or _cause(point) != _cause(run[0])):
            first, last = run[0], run[-1]
            at = _at(first) if first is last else f"{_at(first)} to {_at(last)}"
            named = f"{first.refused}: " if first.refused is not None else ""
            yield at, f"{named}{first.text or first.status}"
            run = []
        if point is not None and point.price_minor is None:
            run.append(point)


def _once(rows: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """A reason that holds at several places of a grid is told once."""
    found: dict[str, list[str]] = {}
    for at, text in rows:
        found.setdefault(text, []).append(at)
    return tuple(
        (where[0] + (f" and {len(where) - 1} more" if len(where) > 1 else ""), text) for text, where in found.items()
    )


def _cause(point: SweepPoint) -> object:
    keys = () if point.conflict is None else tuple(one.key for one in point.conflict.statements)
    return point.price_minor is None, point.status, point.refused, keys, point.words[1:]


# --- forms --------------------------------------------------------------------------------------------


def as_table(one: Sweep, style: Style = PLAIN) -> str:
    """For a terminal."""
    return as_text(contents(one), style)


def markdown(one: Sweep) -> str:
    """For a document."""
    return as_markdown("Price as the demand varies", contents(one))


def as_json(one: Sweep) -> str:
    """For programs, keys in the models' order."""
    return one.model_dump_json(by_alias=True, indent=2) + "\n"


def as_csv(one: Sweep) -> str:
    """For spreadsheets: a line a point; RFC 4180, text that could run as a formula is neutralised."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    figures = [cell(f"{each.name} ({each.unit})" if each.unit else each.name) for each in one.varied]
    writer.writerow([*figures, "status", "price", "difference", "currency", "stacks", *("units", "supplies", "modules"),
                     "added", "cannot_be_met"])  # fmt: skip
    for point in one.points:
        writer.writerow(
            (
                *(f"{value:f}" for value in point.at),
                point.status,
                *(
                    "" if minor is None else plain(minor, one.decimals)
                    for minor in (point.price_minor, point.difference_minor)
                ),
                one.currency,
                point.stacks,
                *(cell(parts_words(parts)) for parts in (point.units, point.supplies, point.modules)),
                cell(point.text if point.price_minor is not None else ""),
                cell(f"{point.refused}: {point.text}" if point.refused else point.text) if _unmet(point) else "",
            )
        )
    return out.getvalue()


def _unmet(point: SweepPoint) -> bool:
    return point.price_minor is None


FORMS = {"table": as_table, "json": as_json, "csv": as_csv, "markdown": markdown}


def schema() -> str:
    """JSON Schema (draft 2020-12) of a sweep."""
    body = Sweep.model_json_schema(by_alias=True, mode="serialization")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"Sweep, schema {SWEEP_VERSION}"}
    return json.dumps({**body, **head}, indent=2, sort_keys=True) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema())
