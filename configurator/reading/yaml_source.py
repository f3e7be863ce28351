"""YAML to plain data: every scalar is text, every value knows where it stands.

Only what a person would write is accepted: one document, a mapping, no aliases, tags or merge
keys.  The tree is built from parser events, so that depth is bounded before anything recurses.
"""

from __future__ import annotations

from pathlib import Path as FilePath
from typing import Any

import yaml
from yaml import CBaseLoader

from configurator.errors import BadInput, Problem
from configurator.reading.files import LINE_BREAK, read_source
from configurator.reading.sheet import Sheet, Spot
from configurator.reading.words import Path, key_of, shown

DEMAND_LIMIT = 2 * 1024 * 1024  # bytes
CATALOG_LIMIT = 8 * 1024 * 1024  # bytes a file
DEEPEST = 32  # nested lists and mappings; a demand or a catalog needs fewer than ten

_NULLS = ("", "~", "null", "Null", "NULL")  # YAML 1.1, type `null`
_HINTS = (
    ("that cannot start any token", "indent with blanks, and quote text that starts with a special character"),
    ("mapping values are not allowed", "put quotes around text that holds a colon, or check the indentation"),
    ("could not find expected ':'", "a colon and a blank belong between key and value"),
    ("found unexpected end of stream", "a quote or bracket that was opened is never closed"),
    ("did not find expected ',' or", "a bracket that was opened is not closed, or a comma is missing"),
    ("duplicate %", "leave lines that begin with % out"),
)


def read_yaml(source: FilePath | str, limit: int) -> Sheet:
    """The one mapping in a YAML file, or on standard input for `-`."""
    found = read_source(source, limit, "YAML")
    sheet = parse(found.name, found.text)
    sheet.sources = (found,)
    return sheet


def parse(name: str, text: str) -> Sheet:
    """The one mapping in a YAML text."""
    lines = tuple(LINE_BREAK.split(text))
    reader = _Reader(name, lines)
    try:
        for event in yaml.parse(text, CBaseLoader):
            reader.take(event)
    except yaml.YAMLError as error:
        reader.problems.append(_broken(name, lines, error))
    except _StopReading:
        pass
    if reader.problems:
        raise BadInput(reader.problems)
    return Sheet(name, reader.data, reader.spots, {name: lines})


class _StopReading(Exception):
    """Nothing after this can be understood."""


class _Open:
    """A list or mapping that is being read."""

    def __init__(self, path: Path, value: Any) -> None:
        self.path = path
        self.value = value
        self.key: str | None = None  # read, its value is still to come
        self.key_place = (0, 0)
        self.key_lines: dict[str, int] = {}


class _Reader:
    """Builds the data from events; whatever is refused becomes a problem."""

    def __init__(self, name: str, lines: tuple[str, ...]) -> None:
        self.name = name
        self.lines = lines
        self.data: Any = None
        self.spots: dict[Path, Spot] = {}
        self.problems: list[Problem] = []
        self.open: list[_Open] = []
        self.documents = 0

    def take(self, event: Any) -> None:
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                self.refuse(event, None, "a second document starts here", "keep one document a file: no second ---")
                raise _StopReading
        elif isinstance(event, yaml.ScalarEvent):
            self.scalar(event)
        elif isinstance(event, yaml.AliasEvent):
            text, hint = "aliases are not accepted here", "write the value out, or put it in quotes if it is text"
            self.refuse(event, f"*{event.anchor}", f"{shown(f'*{event.anchor}')}: {text}", hint)
            if self.awaits_key():
                raise _StopReading
            self.place(event, None)
        elif isinstance(event, yaml.CollectionStartEvent):
            self.start(event)
        elif isinstance(event, yaml.CollectionEndEvent):
            self.open.pop()
        elif isinstance(event, yaml.StreamEndEvent) and not self.documents:
            self.refuse(event, None, "the file holds nothing but comments", "fill it, or name another file")

    def scalar(self, event: Any) -> None:
        self.plain_words(event)
        plain = event.implicit[0] and not event.style
        if self.awaits_key():
            self.key(event, plain=plain)
            return
        self.place(event, None if plain and event.value in _NULLS else event.value)
        if not self.open:
            self.not_a_mapping(event, shown(event.value))

    def start(self, event: Any) -> None:
        self.plain_words(event)
        if self.awaits_key():
            self.refuse(event, None, "a list or mapping stands where a key is expected", "a key is one word or text")
            raise _StopReading
        value: Any = {} if isinstance(event, yaml.MappingStartEvent) else []
        if not self.open and not isinstance(value, dict):
            self.not_a_mapping(event, "a list")
            raise _StopReading
        path = self.place(event, value)
        self.open.append(_Open(path, value))
        if len(self.open) > DEEPEST:
            self.refuse(event, None, f"nested deeper than {DEEPEST} levels", "no list or mapping needs to be so deep")
            raise _StopReading

    def awaits_key(self) -> bool:
        return bool(self.open) and isinstance(self.open[-1].value, dict) and self.open[-1].key is None

    def key(self, event: Any, *, plain: bool) -> None:
        top = self.open[-1]
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        if plain and event.value == "<<":
            self.refuse(event, "<<", '"<<": merge keys are not accepted here', "write the keys out")
        elif not event.value:
            self.refuse(event, "", "a key is missing before the colon", "write a key, or leave the line out")
        elif event.value in top.key_lines:
            before = top.key_lines[event.value]
            text = f"{shown(event.value)} is stated twice, first on line {before}"
            self.refuse(event, event.value, text, "keep one of the two")
        top.key_lines.setdefault(event.value, line)
        top.key, top.key_place = event.value, (line, column)

    def place(self, event: Any, value: Any) -> Path:
        """Puts a value where it belongs, and notes where it stands."""
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        key_line, key_column = line, column
        path: Path = ()
        if not self.open:
            self.data = value
        elif isinstance(self.open[-1].value, list):
            top = self.open[-1]
            path = (*top.path, len(top.value))
            top.value.append(value)
        else:
            top = self.open[-1]
            key = top.key or ""
            path = (*top.path, key)
            top.value[key] = value
            key_line, key_column = top.key_place
            top.key = None
        if value is None:
            line, column = key_line, key_column
        self.spots[path] = Spot(self.name, path, line, column, key_line, key_column)
        return path

    def plain_words(self, event: Any) -> None:
        """Anchors and tags are refused wherever they stand."""
        if event.anchor is not None:
            text = f"{shown(f'&{event.anchor}')}: anchors and aliases are not accepted here"
            self.refuse(event, f"&{event.anchor}", text, "write the value out, or put it in quotes if it is text")
        if event.tag is not None:
            text = f"{shown(event.tag)}: tags are not accepted here"
            self.refuse(event, event.tag, text, "leave the tag out; text that starts with ! belongs in quotes")

    def not_a_mapping(self, event: Any, what: str) -> None:
        self.refuse(event, None, f"{what} where the file's keys are expected", "begin with lines like `key: value`")

    def refuse(self, event: Any, value: str | None, text: str, hint: str) -> None:
        line, column = event.start_mark.line + 1, event.start_mark.column + 1
        self.problems.append(_problem(self.name, self.lines, line, column, self.here(), value, text, hint))

    def here(self) -> str:
        """The key that is being read."""
        if not self.open:
            return ""
        top = self.open[-1]
        step: Path = (len(top.value),) if isinstance(top.value, list) else (top.key,) if top.key is not None else ()
        return key_of(top.path + step)


def _broken(name: str, lines: tuple[str, ...], error: yaml.YAMLError) -> Problem:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    reason = str(getattr(error, "problem", None) or getattr(error, "reason", None) or "it cannot be parsed")
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    otherwise = "check quotes and indentation on this line and the one above"
    hint = next((hint for start, hint in _HINTS if start in reason), otherwise)
    if "nesting depth" in reason:
        return _problem(name, lines, line, column, "", None, f"nested deeper than {DEEPEST} levels", otherwise)
    context, place = getattr(error, "context", None), getattr(error, "context_mark", None)
    since = f" ({context} that starts on line {place.line + 1})" if context and place is not None else ""
    return _problem(name, lines, line, column, "", None, f"broken YAML: {reason}{since}", hint)


def _problem(
    name: str, lines: tuple[str, ...], line: int, column: int, key: str, value: str | None, text: str, hint: str
) -> Problem:
    source = lines[line - 1] if line <= len(lines) else None
    return Problem(name, line, column, key, value, text, hint, source)
