"""The shape that a model expects, and data brought into it before validation.

Scalars come as text.  Pydantic reads numbers, decimals and truth values from text; what it
doesn't read as people mean it is turned here: numbers in a choice, a single value where a list
is meant, and dates, which it would also read from seconds since 1970.
"""

from __future__ import annotations

import re
from datetime import date
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from configurator.errors import Problem
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, shown

ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")  # ISO 8601, extended calendar date


@cache
def core(annotation: Any) -> Any:
    """The annotation without `Annotated` and `| None`."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return core(get_args(annotation)[0])
    if origin in (Union, UnionType):
        return core(next(arg for arg in get_args(annotation) if arg is not NoneType))
    return annotation


def is_model(annotation: Any) -> bool:
    """Whether a mapping with keys of its own is expected."""
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def item(annotation: Any, index: int) -> Any:
    """What a tuple holds at an index."""
    kinds = get_args(annotation)
    return core(kinds[0] if len(kinds) == 2 and kinds[1] is Ellipsis else kinds[min(index, len(kinds) - 1)])


def annotation_at(model: type[BaseModel], path: Path) -> Any:
    """What the model expects there; None where it expects nothing."""
    found: Any = model
    for step in path:
        if isinstance(step, int):
            found = item(found, step) if get_origin(found) is tuple else None
        elif is_model(found) and step in found.model_fields:
            found = core(found.model_fields[step].annotation)
        else:
            return None
    return found


def shape(sheet: Sheet, model: type[BaseModel]) -> dict[Path, Problem]:
    """Brings the sheet's data into the model's shape; returns what is no date, by path."""
    wrong: dict[Path, Problem] = {}
    sheet.data = _shaped(sheet, (), sheet.data, model, wrong)
    return wrong


def _shaped(sheet: Sheet, path: Path, value: Any, annotation: Any, wrong: dict[Path, Problem]) -> Any:
    if is_model(annotation) and isinstance(value, dict):
        fields = {key: field.annotation for key, field in annotation.model_fields.items()}
        return {
            key: _shaped(sheet, (*path, key), part, core(fields[key]), wrong) if key in fields else part
            for key, part in value.items()
        }
    if get_origin(annotation) is tuple:
        if isinstance(value, str) and not is_model(item(annotation, 0)):
            value = [value]
        if isinstance(value, list):
            return [_shaped(sheet, (*path, n), part, item(annotation, n), wrong) for n, part in enumerate(value)]
    if get_origin(annotation) is Literal:
        return next((choice for choice in get_args(annotation) if str(choice) == value), value)
    if annotation is date and isinstance(value, str):
        day, reason = iso_date(value)
        if reason:
            wrong[path] = sheet.problem(path, *reason)
        return day
    return value


def iso_date(text: str) -> tuple[date | None, tuple[str, str] | None]:
    """A date, or what is wrong with it and a way out."""
    if not ISO_DATE.fullmatch(text):
        return None, (f"{shown(text)} is not a date", "write year-month-day: 2027-03-31")
    try:
        return date.fromisoformat(text), None
    except ValueError as error:
        return None, (f"{shown(text)} is not a day of any calendar: {error}", "write a day that exists: 2027-02-28")
