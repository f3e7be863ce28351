"""A sheet to a model; everything that doesn't fit told in plain words, where it stands."""

from __future__ import annotations

import re
from typing import Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from configurator.errors import BadInput, Problem
from configurator.reading.shapes import annotation_at, is_model, shape
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, did_you_mean, listed, shown

M = TypeVar("M", bound=BaseModel)

_PATTERNS = {
    "^[A-Z]{2}$": ("a country's two capital letters", "write the code of ISO 3166: NO for Norway, GB for Britain"),
    "^[A-Z]{3}$": ("a currency's three capital letters", "write the code of ISO 4217: EUR, USD, JPY"),
}
_NAME = ("a name or number as used here", "use letters, digits, blanks and . _ / + - and begin with a letter or digit")
_SPEED = ("a speed", "write 10G, 2.5G, 100M, or a whole number of Mb/s")
_LIMITS = {
    "greater_than_equal": ("{value} is too small", "write {ge} or more"),
    "greater_than": ("{value} is too small", "write more than {gt}"),
    "less_than_equal": ("{value} is too large", "write {le} or less"),
    "less_than": ("{value} is too large", "write less than {lt}"),
    "int_parsing_size": ("{value} is too large", "write a number that can be counted"),
    "decimal_max_places": ("{value} is finer than it can be", "write at most {decimal_places} digits after the dot"),
    "string_too_long": ("{value} is too long", "use at most {max_length} characters"),
    "string_too_short": ("the text is empty", "write something, or leave the line out"),
    "too_short": ("the list is too short: {actual_length}", "state {min_length} or more"),
    "too_long": ("the list is too long: {actual_length}", "state at most {max_length}"),
}
_FIGURES = ("a whole number", "a figure")
_EXPECTED = {  # by the first word of the error's type
    "int": ("a whole number", "write digits alone: 48"),
    "decimal": ("a figure", "write digits with a dot: 15.4"),
    "finite": ("a figure", "write digits with a dot: 15.4"),
    "bool": ("yes or no", "write yes or no"),
    "string": ("text", "write one word or text in quotes"),
    "date": ("a date", "write year-month-day: 2027-03-31"),
    "literal": ("one word", "write one of the words that are known here"),
    "tuple": ("a list", "write [a, b], or one item a line after a dash"),
    "model": ("a mapping", "write lines like `key: value` below it, indented"),
}


def validated(sheet: Sheet, model: type[M]) -> M:
    """The sheet as a model; BadInput tells everything that is wrong with it."""
    problems = shape(sheet, model)
    try:
        found = model.model_validate(sheet.data)
    except ValidationError as error:
        for details in error.errors(include_url=False):
            if details["type"] == "too_short" and details["input"]:
                least = details.get("ctx", {}).get("min_length", 0)
                if len(details["input"]) >= least:
                    continue  # it is only short of the items that are refused themselves
            problems.setdefault(details["loc"], _problem(sheet, model, details))
    else:
        if not problems:
            return found
    raise BadInput(sorted(problems.values(), key=lambda p: (p.file, p.line or 0, p.column or 0)))


def _problem(sheet: Sheet, model: type[BaseModel], error: ErrorDetails) -> Problem:
    path: Path = error["loc"]
    if error["type"] == "extra_forbidden":
        known = annotation_at(model, path[:-1]).model_fields
        name = str(path[-1])
        hint = did_you_mean(name, known, f"known here: {listed(known, 40)}")
        return sheet.problem(path, f"{shown(name)} is not a key that is known here", hint, on_key=True)
    if error["type"] == "missing":
        last = path[-1]
        if isinstance(last, int):
            return sheet.problem(path, "one more item is missing", "this list has a fixed length; complete it")
        return sheet.problem(path, f"{shown(last)} is missing", f"add a line `{last}: …` here")
    text, hint = _words(error, path, model)
    return sheet.problem(path, text, hint)


def _is_needed(model: type[BaseModel], path: Path) -> bool:
    """Whether the line can't be left out."""
    around, last = annotation_at(model, path[:-1]), path[-1]
    return is_model(around) and bool(around.model_fields[last].is_required())


def _words(error: ErrorDetails, path: Path, model: type[BaseModel]) -> tuple[str, str]:
    """What is wrong with a value that has a place, and a way out."""
    annotation = annotation_at(model, path)
    kind, given, limits = error["type"], error["input"], error.get("ctx", {})
    value = shown(given)
    if kind == "literal_error" and isinstance(given, str) and get_origin(annotation) is Literal:
        options = [str(option) for option in get_args(annotation)]
        return f"{value} is not known here", did_you_mean(given, options, f"write one of: {listed(options)}")
    if kind == "string_pattern_mismatch":
        return _wrong_letters(str(given), str(limits["pattern"]))
    if kind in _LIMITS:
        text, hint = _LIMITS[kind]
        return text.format(value=value, **limits), hint.format(**limits)
    what, way = _EXPECTED.get(kind.split("_")[0], ("what is expected here", "see the description of this key"))
    if what in _FIGURES and isinstance(given, str):
        way = _figure_hint(given) or way
    if _key(path).endswith("_mbps"):
        what, way = _SPEED
    if given is None:
        needed = _is_needed(model, path)
        return f"nothing is stated; {what} is expected", way if needed else f"{way}, or leave the line out"
    return f"{value} is not {what}", way


def _wrong_letters(given: str, pattern: str) -> tuple[str, str]:
    what, way = _PATTERNS.get(pattern, _NAME)
    capitals = given.upper()
    meant = pattern in _PATTERNS and re.match(pattern, capitals)
    return f"{shown(given)} is not {what}", f'did you mean "{capitals}"?' if meant else way


def _key(path: Path) -> str:
    return str(next((step for step in reversed(path) if isinstance(step, str)), ""))


def _figure_hint(given: str) -> str | None:
    """What to write where a figure has a unit, a comma or a percent sign beside it."""
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+", given):
        return f"write a dot: {given.replace(',', '.')}"
    found = re.fullmatch(r"([0-9.]+)\s*(%|[A-Za-z]+(/[a-z])?)", given)
    return f"write the figure alone: {found[1]}" if found else None
