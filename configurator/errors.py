"""What is wrong with the files a user handed in, told so that it can be put right.

BadInput
    something outside is wrong; the command line prints it and exits with 2
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

MOST_SHOWN = 20
WIDEST = 100  # characters of an offending line that are shown


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong, where it stands, and a way out."""

    file: str
    line: int | None  # from 1; none: the file as a whole
    column: int | None  # from 1, in characters
    key: str  # stacks[0].uplinks[1].count; empty: the file as a whole
    value: str | None
    text: str
    hint: str
    source: str | None = None  # the offending line itself

    def __str__(self) -> str:
        """Place, what is wrong, the line with a caret, and after a blank line the hint."""
        place = ":".join([self.file, *(str(n) for n in (self.line, self.column) if n is not None)])
        head = ": ".join(part for part in (place, self.key, self.text) if part)
        parts = [head]
        if self.source is not None and self.source.strip() and self.line is not None and self.column is not None:
            parts += _quoted(self.source, self.line, self.column)
        if self.hint:
            parts += ["", f"hint: {self.hint}"]
        return "\n".join(parts)


class BadInput(Exception):
    """Input from outside that cannot be used, with everything that is wrong with it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        """Every problem, or the first ones and how many more there are."""
        shown = [str(problem) for problem in self.problems[:MOST_SHOWN]]
        rest = len(self.problems) - len(shown)
        if rest:
            shown.append(f"… and {rest} more of the same files; put these right first.")
        elif len(shown) > 1:
            shown.append(f"{len(shown)} problems.")
        return "\n\n".join(shown)


def _quoted(source: str, line: int, column: int) -> list[str]:
    """The offending line under its number, and a caret below the column."""
    start = max(0, column - 1 - WIDEST // 2) if len(source) > WIDEST else 0
    window = source[start : start + WIDEST]
    clean = "".join(c if c.isprintable() else " " if c == "\t" else "·" for c in window)
    before = ("… " if start else "") + clean[: column - 1 - start]
    after = clean[column - 1 - start :] + (" …" if start + WIDEST < len(source) else "")
    margin = f"{line:>6} | "
    return [f"{margin}{before}{after}", f"{' ' * 6} | {' ' * _width(before)}^"]


def _width(text: str) -> int:
    """Columns that a terminal gives the text: wide letters take two, combining ones none."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in ("W", "F") else 1 for c in text
    )
