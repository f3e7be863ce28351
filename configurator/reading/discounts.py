"""Discounts: CSV by RFC 4180, one row a discount, percents read as whole hundredths."""

from __future__ import annotations

import csv
import re
from datetime import date
from pathlib import Path as FilePath

from configurator.catalog import PriceList
from configurator.discounts import WHOLE, Discount, Discounts
from configurator.errors import BadInput, Problem
from configurator.groups import CATEGORIES
from configurator.reading.files import read_source
from configurator.reading.prices import LONGEST_PART, PRICES_LIMIT
from configurator.reading.rows import MOST_PROBLEMS, Record, Rows
from configurator.reading.shapes import iso_date
from configurator.reading.words import did_you_mean, shown

COLUMNS = ("part", "category", "percent")
OPTIONAL = ("from", "until", "order_from")
MOST_THRESHOLDS = 20  # values of an order from which discounts hold: each may be solved for

_PERCENT = re.compile(r"[0-9]{1,3}(\.[0-9]{1,2})?")
_ANY_PERCENT = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def load_discounts(path: FilePath, prices: PriceList, on: date) -> Discounts:
    """Discounts on a price list as they are on a day; BadInput tells everything that is wrong."""
    source = read_source(path, PRICES_LIMIT, "CSV")
    reader = _Reader(source.name, source.text, prices)
    rows: tuple[Discount, ...] = ()
    try:
        rows = reader.read(source.text)
    except csv.Error as error:
        reader.problems.append(reader.broken(error))
    if reader.problems:
        raise BadInput(reader.problems)
    return Discounts(rows, on, source.name, source.sha256)


class _Reader(Rows):
    what, known, optional = "discounts", COLUMNS, OPTIONAL

    def __init__(self, name: str, text: str, prices: PriceList) -> None:
        super().__init__(name, text)
        self.prices = prices
        self.thresholds: set[int] = set()

    def read(self, text: str) -> tuple[Discount, ...]:
        records = self.records(text)
        self.header(next(records, Record(1, [])))
        if self.problems:
            return ()
        rows, seen = [], 0
        for record in records:
            seen += 1
            row = self.row(record)
            if row is not None:
                rows.append(row)
            if len(self.problems) >= MOST_PROBLEMS:
                break
        if not seen:
            hint = "add a row for each discount, or leave --discounts out"
            self.problems.append(Problem(self.name, 1, 1, "", None, "the file has no discounts", hint))
        return tuple(rows)

    def row(self, record: Record) -> Discount | None:
        before = len(self.problems)
        found = self.cells(record)
        if found is None:
            return None
        cells = {**dict.fromkeys(OPTIONAL, ""), **found}
        part, category = cells["part"], cells["category"]
        self.check_scope(record, part, category)
        hundredths = self.percent(record, cells["percent"])
        first, last = self.day(record, "from", cells["from"]), self.day(record, "until", cells["until"])
        if first and last and last < first:
            self.wrong(record, "until", f"{shown(cells['until'])} is before {first}", "correct one of the two dates")
        value = self.order_from(record, cells["order_from"])
        if len(self.problems) > before:
            return None
        return Discount(record.line, hundredths, part or None, category or None, first, last, value)

    def check_scope(self, record: Record, part: str, category: str) -> None:
        """On a part, on a category, or on everything."""
        if part and category:
            text = f"a discount is on one part or on one category, here on both: {shown(part)} and {shown(category)}"
            hint = "leave one of the two empty; with both empty it is on everything"
            self.wrong(record, "category", text, hint)
        elif len(part) > LONGEST_PART:
            self.wrong(record, "part", f"{shown(part)} is too long", f"use at most {LONGEST_PART} characters")
        elif category and category not in CATEGORIES:
            hint = did_you_mean(category, CATEGORIES, f"write one of {', '.join(CATEGORIES)}")
            self.wrong(record, "category", f"{shown(category)} is not a category", hint)

    def percent(self, record: Record, text: str) -> int:
        """Hundredths of a percent; 0 where it was refused."""
        hint = "write a number above 0 and up to 100, with no more than two decimals and without a sign: 12.5"
        if not text:
            self.wrong(record, "percent", "the percent is missing", hint)
        elif not _ANY_PERCENT.fullmatch(text):
            self.wrong(record, "percent", f"{shown(text)} is no percent", hint)
        elif len(text.partition(".")[2]) > 2:
            self.wrong(record, "percent", f"{shown(text)} has more than two decimals", hint)
        else:
            whole, _, fraction = text.partition(".")
            found = int(whole + fraction.ljust(2, "0")) if _PERCENT.fullmatch(text) else -1
            if 0 < found <= WHOLE:
                return found
            self.wrong(record, "percent", f"percent out of range: {shown(text)}", hint)
        return 0

    def day(self, record: Record, column: str, text: str) -> date | None:
        """A day, where one is stated."""
        found, wrong = iso_date(text) if text else (None, None)
        if wrong:
            self.wrong(record, column, *wrong)
        return found

    def order_from(self, record: Record, text: str) -> int:
        """The value of an order in the minor unit; 0 where none is stated, or it was refused."""
        if not text:
            return 0
        before = len(self.problems)
        value = self.amount(record, "order_from", text, self.prices.currency, self.prices.decimals)
        if not value and len(self.problems) == before:
            hint = "leave it empty for a discount that every order has"
            self.wrong(record, "order_from", f"{shown(text)} is reached by every order", hint)
        if value:
            self.thresholds.add(value)
        if len(self.thresholds) > MOST_THRESHOLDS:
            self.thresholds.discard(value)
            hint = f"use at most {MOST_THRESHOLDS} of them in one file"
            self.wrong(record, "order_from", f"{shown(text)} is one more value of an order than can be compared", hint)
        return value
