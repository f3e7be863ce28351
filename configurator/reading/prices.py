"""The price list: CSV by RFC 4180, one row a part, amounts read as integers of the minor unit."""

from __future__ import annotations

import csv
import re
from dataclasses import replace
from datetime import date
from pathlib import Path as FilePath
from typing import Literal, cast

from iso4217 import Currency

from configurator.catalog import PriceList, PriceRow
from configurator.errors import BadInput, Problem
from configurator.reading.files import read_source
from configurator.reading.rows import MOST_PROBLEMS, Record, Rows
from configurator.reading.shapes import iso_date
from configurator.reading.words import did_you_mean, shown

PRICES_LIMIT = 16 * 1024 * 1024  # bytes
LONGEST_LEAD_DAYS = 3650
LARGEST_QUANTITY = 100_000  # of a pack, or to begin with
LONGEST_PART = 64  # characters
COLUMNS = ("part", "price", "currency", "status", "lead_time_days", "issued", "valid_until")
OPTIONAL = ("pack_size", "least_quantity")
STATUSES = ("active", "withdrawn")

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
    reader = _Reader(source.name, source.text)
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


class _Reader(Rows):
    what, known, optional = "price lists", COLUMNS, OPTIONAL

    def __init__(self, name: str, text: str) -> None:
        super().__init__(name, text)
        self.first: Record | None = None
        self.part_lines: dict[str, int] = {}

    def read(self, text: str) -> PriceList | None:
        records = self.records(text)
        self.header(next(records, Record(1, [])))
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

    def row(self, record: Record) -> PriceRow | None:
        before = len(self.problems)
        cells = self.cells(record)
        if cells is None:
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

    def check_part(self, record: Record, part: str) -> None:
        if not part:
            self.wrong(record, "part", "the part number is missing", "write it, or take the row out")
        elif len(part) > LONGEST_PART:
            self.wrong(record, "part", f"{shown(part)} is too long", f"use at most {LONGEST_PART} characters")
        elif part in self.part_lines:
            text = f"part {shown(part)} is there twice, first on line {self.part_lines[part]}"
            self.wrong(record, "part", text, "keep the row that holds")
        self.part_lines.setdefault(part, record.line)

    def check_same(self, record: Record, cells: dict[str, str]) -> None:
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

    def price(self, record: Record, text: str, currency: str) -> int:
        """The amount in the minor unit; 0 where it was refused."""
        return self.amount(record, "price", text, currency, minor_decimals(currency))

    def days(self, record: Record, text: str) -> int:
        if _WHOLE.fullmatch(text) and int(text) <= LONGEST_LEAD_DAYS:
            return int(text)
        hint = f"write whole days from 0 to {LONGEST_LEAD_DAYS}"
        self.wrong(record, "lead_time_days", f"{shown(text)} is no lead time", hint)
        return 0

    def quantity(self, record: Record, column: str, text: str) -> int:
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
