"""Files of rows: CSV by RFC 4180 with a header, every fault told by line, column, key and value."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from configurator.errors import Problem
from configurator.reading.files import LINE_BREAK
from configurator.reading.words import did_you_mean, shown

MOST_PROBLEMS = 1000  # a file of another kind is not told line by line
HIGHEST = 1_000_000_000  # amount of money, in the currency

_AMOUNT = re.compile(r"[0-9]+(\.[0-9]+)?")


@dataclass(frozen=True)
class Record:
    """One row of the file and the line it begins on."""

    line: int
    cells: list[str]


class Rows:
    """Reads the rows of one file and gathers what is wrong with them."""

    what = ""  # the files are called so
    known: tuple[str, ...] = ()  # columns that have to be there
    optional: tuple[str, ...] = ()  # columns that may be there

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.lines = tuple(LINE_BREAK.split(text))
        self.problems: list[Problem] = []
        self.columns: list[str] = []
        self.line = 1

    def records(self, text: str) -> Iterator[Record]:
        """Rows of the file; blank lines are left out."""
        reader = csv.reader(io.StringIO(text, newline=""), strict=True)
        for cells in reader:
            if cells:
                yield Record(self.line, cells)
            self.line = reader.line_num + 1

    def broken(self, error: csv.Error) -> Problem:
        """What the CSV reader could not read."""
        hint = 'a quote inside a quoted text is written twice (""); a quoted text ends before a comma'
        return self.problem(Record(self.line, []), 0, f"broken CSV: {error}", hint, key="")

    def header(self, record: Record) -> None:
        """Takes the names of the columns."""
        self.columns = record.cells
        known, some = ",".join(self.known), self.known + self.optional
        if len(record.cells) == 1 and record.cells[0].count(";") + record.cells[0].count("\t"):
            self.add(record, 0, "the columns are not separated by commas", "save the list as CSV with commas", key="")
            return
        for index, column in enumerate(record.cells):
            if column not in some:
                otherwise = f"the header is, in any order: {known}, and as needed {','.join(self.optional)}"
                hint = did_you_mean(column, some, otherwise)
                self.add(record, index, f"{shown(column)} is not a column of {self.what}", hint, key="header")
            elif column in record.cells[:index]:
                self.add(record, index, f"column {shown(column)} is there twice", "keep one of the two", key="header")
        missing = [column for column in self.known if column not in record.cells]
        if missing and not self.problems:
            text = f"the header lacks {', '.join(missing)}"
            self.add(record, 0, text, f"the first line is, in any order: {known}", key="header")

    def cells(self, record: Record) -> dict[str, str] | None:
        """The values of a row by column; none where they don't fit the columns or have blanks around them."""
        before = len(self.problems)
        if len(record.cells) != len(self.columns):
            text = f"{len(record.cells)} values in {len(self.columns)} columns"
            self.add(record, 0, text, "write one value a column; put quotes around text with a comma", key="row")
            return None
        cells = dict(zip(self.columns, record.cells, strict=True))
        for column, value in cells.items():
            if value != value.strip():
                self.wrong(record, column, f"{shown(value)} has blanks around it", f"write {shown(value.strip())}")
        return None if len(self.problems) > before else cells

    def cell(self, record: Record, column: str) -> str:
        """One value of a row."""
        return record.cells[self.columns.index(column)]

    def amount(self, record: Record, column: str, text: str, currency: str, decimals: int | None) -> int:
        """Money in the minor unit; 0 where it was refused.

        decimals -- of the currency; none: what is wrong with it is told already
        """
        if text.startswith("-") and _AMOUNT.fullmatch(text[1:]):
            self.wrong(record, column, f"{shown(text)} is negative", f"{column} out of range: write 0 to {HIGHEST:,}")
        elif not _AMOUNT.fullmatch(text):
            hint = "write digits with a dot and nothing else: 1234.50"
            named = "a price" if column == "price" else "an amount of money"
            self.wrong(record, column, f"{shown(text)} is not {named}", hint)
        elif text.find(".") > 20 or len(text) > 40 or Decimal(text) > HIGHEST:
            self.wrong(record, column, f"{column} out of range: {shown(text)}", f"write 0 to {HIGHEST:,}")
        elif decimals is not None:
            whole, _, fraction = text.partition(".")
            if len(fraction) <= decimals:
                return int(whole + fraction.ljust(decimals, "0"))
            hint = f"{currency} has {decimals} decimals by ISO 4217: write no more"
            self.wrong(record, column, f"{shown(text)} has {len(fraction)} decimals", hint)
        return 0

    def wrong(self, record: Record, column: str, text: str, hint: str) -> None:
        """A problem with one value of a row."""
        self.add(record, self.columns.index(column), text, hint, key=column)

    def add(self, record: Record, index: int, text: str, hint: str, *, key: str) -> None:
        """A problem with a row, at one of its values."""
        self.problems.append(self.problem(record, index, text, hint, key=key))

    def problem(self, record: Record, index: int, text: str, hint: str, *, key: str) -> Problem:
        """A fault with all that is known of its place."""
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
