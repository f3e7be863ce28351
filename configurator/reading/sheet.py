"""Plain data read from a file, and where each value stands in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from configurator.errors import Problem
from configurator.reading.files import Source
from configurator.reading.words import Path, key_of, shown


class Spot(NamedTuple):
    """Where a value stands, and its key; lines and columns from 1."""

    file: str
    path: Path  # in its own file
    line: int
    column: int
    key_line: int
    key_column: int


@dataclass
class Sheet:
    """One file, or several put together; scalars are text or None."""

    name: str
    data: Any
    spots: dict[Path, Spot]
    lines: Mapping[str, tuple[str, ...]]  # of each file
    sources: tuple[Source, ...] = ()  # the files as they were read

    def spot(self, path: Path) -> Spot:
        """Where the value stands, or the nearest one around it."""
        while path and path not in self.spots:
            path = path[:-1]
        return self.spots[path]

    def at(self, path: Path) -> Any:
        """The value there; None where there is none."""
        value = self.data
        for step in path:
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def where(self, path: Path) -> str:
        """`file:line` of the key."""
        spot = self.spot(path)
        return f"{spot.file}:{spot.key_line}"

    def problem(self, path: Path, text: str, hint: str, *, on_key: bool = False) -> Problem:
        """What is wrong with the value there, or with its key."""
        spot = self.spot(path)
        known = next((n for n in range(len(path), -1, -1) if path[:n] in self.spots), 0)
        within = tuple(step for step in path[known:] if isinstance(step, str))  # a lone value has no [0] in the file
        key = key_of(spot.path + within)
        line, column = (spot.key_line, spot.key_column) if on_key else (spot.line, spot.column)
        value = self.at(path)
        lines = self.lines[spot.file]
        source = lines[line - 1] if line <= len(lines) else None
        return Problem(spot.file, line, column, key, None if value is None else shown(value), text, hint, source)
