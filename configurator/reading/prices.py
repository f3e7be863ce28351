"""The price list: CSV by RFC 4180, one row a part, amounts read as integers of the minor unit."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path as FilePath
from typing import Literal, cast

from iso4217 import Currency

from configurator.catalog import PriceList, PriceRow
from configurator.errors import BadInput, Problem
from configurator.reading.files import LINE_BREAK, read_source
from configurator.reading.shapes import iso_date
from configurator.reading.words import did_you_mean, shown

PRICES_LIMIT = 16 * 1024 * 1024  # bytes
HIGHEST = 1_000_000_000  # of the currency, for one part
LONGEST_LEAD_DAYS = 3650
LARGEST_QUANTITY = 100_000  # of a pack, or to begin with
MOST_PROBLEMS = 1000  # a file of another kind is not told line by line
LONGEST_PART = 64  # characters
COLUMNS = ("part", "price", "currency", "status", "lead_time_days", "issued", "valid_until")
OPTIONAL = ("pack_size", "least_quantity")
STATUSES = ("active", "withdrawn")

_PRICE = re.compile(r"[0-9]+(\.[0-9]+)?")
_WHOLE = re.compile(r"[0-9]{1,6}")


def minor_decimals(currency: str) -> int | None:
    """Decimals of a currency by ISO 4217; None where it is no currency that prices are in."""
    try:
        exponent: int | None = Currency(currency).exponent
    except ValueError:
        return None
    return exponent


def load_prices(path: FilePath, on: date | None = None) -> PriceList:
    """A price list; with a day, one that is valid on it.  BadInput tells everything that is wrong."""
    source = read_source(path, PRICES_LIMIT, "CSV")
    reader = _Reader(source.name, tuple(LINE_BREAK.split(source.text)))
    try:
        found = reader.read(source.text)
    except csv.Error as error:
        reader.problems.append(reader.broken(error))
        found = None
    if found is not None and on is not None and not reader.problems:
        reader.check_day(found, on)
    if found is None or reader.problems:
        raise BadInput(reader.problems)
    return replace(found, sha256=source.sha256)


@dataclass(frozen=True)
class _Record:
    """One row of the file and the line it begins on."""

    line: int
    cells: list[str]


class _Reader:
    def __init__(self, name: str, lines: tuple[str, ...]) -> None:
        self.name = name
        self.lines = lines
        self.problems: list[Problem] = []
        self.columns: list[str] = []
        self.line = 1
        self.first: _Record | None = None
        self.part_lines: dict[str, int] = {}

    def read(self, text: str) -> PriceList | None:
        records = self.records(text)
        self.header(next(records, _Record(1, [])))
        if self.problems:
            return None
        rows: dict[str, PriceRow] = {}
        for record in records:
            row = self.row(record)
            if row is not None:
                rows[row.part] = row
            if len(self.problems) >= MOST_PROBLEMS:
                return None
        if self.first is None:
            hint = "add a row for each part, or name another file"
            self.problems.append(Problem(self.name, 1, 1, "", None, "the price list has no rows", hint))
        if self.problems or self.first is None:
            return None
        currency = self.cell(self.first, "currency")
        issued, valid = (date.fromisoformat(self.cell(self.first, key)) for key in ("issued", "valid_until"))
        return PriceList(currency, minor_decimals(currency) or 0, issued, valid, rows, self.name)

    def records(self, text: str) -> Iterator[_Record]:
        """Rows of the file; blank lines are left out."""
        reader = csv.reader(io.StringIO(text, newline=""), strict=True)
        for cells in reader:
            if cells:
                yield _Record(self.line, cells)
            self.line = reader.line_num + 1

    def broken(self, error: csv.Error) -> Problem:
        hint = 'a quote inside a quoted text is written twice (""); a quoted text ends before a comma'
        return self.problem(_Record(self.line, []), 0, f"broken CSV: {error}", hint, key="")

    def header(self, record: _Record) -> None:
        self.columns = record.cells
        known = ",".join(COLUMNS)
        if len(record.cells) == 1 and record.cells[0].count(";") + record.cells[0].count("\t"):
            self.add(record, 0, "the columns are not separated by commas", "save the list as CSV with commas", key="")
            return
        for index, column in enumerate(record.cells):
            if column not in COLUMNS + OPTIONAL:
                otherwise = f"the header is, in any order: {known}, and as needed {','.join(OPTIONAL)}"
                hint = did_you_mean(column, COLUMNS + OPTIONAL, otherwise)
                self.add(record, index, f"{shown(column)} is not a column of price lists", hint, key="header")
            elif column in record.cells[:index]:
                self.add(record, index, f"column {shown(column)} is there twice", "keep one of the two", key="header")
        missing = [column for column in COLUMNS if column not in record.cells]
        if missing and not self.problems:
            text = f"the header lacks {', '.join(missing)}"
            self.add(record, 0, text, f"the first line is, in any order: {known}", key="header")

    def cell(self, record: _Record, column: str) -> str:
        return record.cells[self.columns.index(column)]

    def row(self, record: _Record) -> PriceRow | None:
        before = len(self.problems)
        if len(record.cells) != len(self.columns):
            text = f"{len(record.cells)} values in {len(self.columns)} columns"
            self.add(record, 0, text, "write one value a column; put quotes around text with a comma", key="row")
            return None
        cells = dict(zip(self.columns, record.cells, strict=True))
        for column, value in cells.items():
            if value != value.strip():
                self.wrong(record, column, f"{shown(value)} has blanks around it", f"write {shown(value.strip())}")
        if len(self.problems) > before:
            return None
        self.check_part(record, cells["part"])
        self.check_same(record, cells)
        price = self.price(record, cells["price"], cells["currency"])
        days = self.days(record, cells["lead_time_days"])
        quantities = {column: self.quantity(record, column, cells.get(column, "")) for column in OPTIONAL}
        if cells["status"] not in STATUSES:
            hint = did_you_mean(cells["status"], STATUSES, "write active or withdrawn")
            self.wrong(record, "status", f"{shown(cells['status'])} is not a status", hint)
        if len(self.problems) > before:
            return None
        status = cast(Literal["active", "withdrawn"], cells["status"])
        return PriceRow(part=cells["part"], price_minor=price, status=status, lead_time_days=days, **quantities)

    def check_part(self, record: _Record, part: str) -> None:
        if not part:
            self.wrong(record, "part", "the part number is missing", "write it, or take the row out")
        elif len(part) > LONGEST_PART:
            self.wrong(record, "part", f"{shown(part)} is too long", f"use at most {LONGEST_PART} characters")
        elif part in self.part_lines:
            text = f"part {shown(part)} is there twice, first on line {self.part_lines[part]}"
            self.wrong(record, "part", text, "keep the row that holds")
        self.part_lines.setdefault(part, record.line)

    def check_same(self, record: _Record, cells: dict[str, str]) -> None:
        """Currency and dates are the whole list's: they are checked once, and are equal in every row."""
        if self.first is not None:
            for column in ("currency", "issued", "valid_until"):
                there = self.cell(self.first, column)
                if cells[column] != there:
                    text = f"{shown(cells[column])} differs from {shown(there)} on line {self.first.line}"
                    self.wrong(record, column, text, f"a price list has one {column}: split it, or correct the row")
            return
        self.first = record
        if minor_decimals(cells["currency"]) is None:
            text = f"{shown(cells['currency'])} is no currency of ISO 4217"
            usable = (one.code for one in Currency if one.exponent is not None)
            hint = did_you_mean(cells["currency"], usable, "write its code: EUR, USD, JPY")
            self.wrong(record, "currency", text, hint)
        days = {}
        for column in ("issued", "valid_until"):
            days[column], wrong = iso_date(cells[column])
            if wrong:
                self.wrong(record, column, *wrong)
        issued, until = days["issued"], days["valid_until"]
        if issued and until and until < issued:
            text = f"{shown(cells['valid_until'])} is before the list was issued, {issued}"
            self.wrong(record, "valid_until", text, "correct one of the two dates")

    def price(self, record: _Record, text: str, currency: str) -> int:
        """The amount in the minor unit; 0 where it was refused."""
        if text.startswith("-") and _PRICE.fullmatch(text[1:]):
            self.wrong(record, "price", f"{shown(text)} is negative", f"price out of range: write 0 to {HIGHEST:,}")
        elif not _PRICE.fullmatch(text):
            hint = "write digits with a dot and nothing else: 1234.50"
            self.wrong(record, "price", f"{shown(text)} is not a price", hint)
        elif text.find(".") > 20 or len(text) > 40 or Decimal(text) > HIGHEST:
            self.wrong(record, "price", f"price out of range: {shown(text)}", f"write 0 to {HIGHEST:,}")
        else:
            decimals = minor_decimals(currency)
            if decimals is None:
                return 0  # told by the currency already
            whole, _, fraction = text.partition(".")
            if len(fraction) <= decimals:
                return int(whole + fraction.ljust(decimals, "0"))
            hint = f"{currency} has {decimals} decimals by ISO 4217: write no more"
            self.wrong(record, "price", f"{shown(text)} has {len(fraction)} decimals", hint)
        return 0

    def days(self, record: _Record, text: str) -> int:
        if _WHOLE.fullmatch(text) and int(text) <= LONGEST_LEAD_DAYS:
            return int(text)
        hint = f"write whole days from 0 to {LONGEST_LEAD_DAYS}"
        self.wrong(record, "lead_time_days", f"{shown(text)} is no lead time", hint)
        return 0

    def quantity(self, record: _Record, column: str, text: str) -> int:
        """Of a pack, or the least that is sold; 1 where nothing is stated."""
        if not text:
            return 1
        if _WHOLE.fullmatch(text) and 1 <= int(text) <= LARGEST_QUANTITY:
            return int(text)
        hint = f"write a whole number from 1 to {LARGEST_QUANTITY:,}, or nothing for 1"
        self.wrong(record, column, f"{shown(text)} is no {column.replace('_', ' ')}", hint)
        return 1

    def check_day(self, prices: PriceList, on: date) -> None:
        """Whether the list is in force on a day."""
        if self.first is not None and prices.valid_until < on:
            text = f'the price list expired: it was valid until "{prices.valid_until}", and the order date is {on}'
            hint = f"use a newer list, or another order date with --on {prices.valid_until}"
            self.wrong(self.first, "valid_until", text, hint)
        elif self.first is not None and prices.issued > on:
            text = f'the price list is issued on "{prices.issued}", after the order date, {on}'
            hint = f"use an older list, or another order date with --on {prices.issued}"
            self.wrong(self.first, "issued", text, hint)

    def wrong(self, record: _Record, column: str, text: str, hint: str) -> None:
        """A problem with one value of a row."""
        self.add(record, self.columns.index(column), text, hint, key=column)

    def add(self, record: _Record, index: int, text: str, hint: str, *, key: str) -> None:
        self.problems.append(self.problem(record, index, text, hint, key=key))

    def problem(self, record: _Record, index: int, text: str, hint: str, *, key: str) -> Problem:
        source = self.lines[record.line - 1] if record.line <= len(self.lines) else None
        column = _starts(source or "", index)
        value = shown(record.cells[index]) if index < len(record.cells) else None
        return Problem(self.name, record.line, column, key, value, text, hint, source)


def _starts(line: str, index: int) -> int:
    """The character, from 1, at which a value of a row begins."""
    quoted = False
    for place, character in enumerate(line):
        if index == 0:
            return place + 1
        if character == '"':
            quoted = not quoted
        elif character == "," and not quoted:
            index -= 1
    return len(line) + 1 if index == 0 else 1
