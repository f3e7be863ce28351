"""What each field of a file's model is, in plain words: for the pages about formats and for new demand files.

The meaning of a field is the comment behind it in the model's source (or the text below it), so that it
stands where the field is written.  `none: …` or `empty: …` in it tells how it is taken where nobody says.
"""

from __future__ import annotations

import ast
import inspect
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from configurator.reading.words import figure

UNITS = {
    "_mbps": "Mb/s",
    "_w": "W",
    "_m": "m",
    "_km": "km",
    "_mm": "mm",
    "_kg": "kg",
    "percent": "%",
    "_a": "A",
    "amps": "A",
    "_v": "V",
    "_va": "VA",
    "volt_amperes": "VA",
    "_db": "dB",
    "_c": "°C",
    "_ohm": "ohm",
    "_months": "months",
    "_days": "days",
    "_minor": "minor unit of the currency",
    "_btu_h": "BTU/h",
}
"""Units by the end of a field's name."""

_PATTERNS = {"^[A-Z]{2}$": "two capital letters", "^[A-Z]{3}$": "three capital letters"}
_OPEN = ("none: ", "empty: ")


@dataclass(frozen=True)
class Fact:
    """One field of a model."""

    key: str
    kind: str  # in plain words: whole number, one of a, b …
    unit: str  # empty: it has none
    limits: str  # 1 to 64; empty: it has none
    required: bool  # it has to be stated
    default: str  # its value where nobody says; empty: nothing
    otherwise: str  # how nothing is taken, in words; empty: as nothing
    meaning: str
    model: str | None  # name of the model that it holds; none: it holds no mapping


@cache
def facts(model: type[BaseModel], mode: Literal["validation", "serialization"] = "validation") -> tuple[Fact, ...]:
    """Every field of the model, in the order that it is written in."""
    schema = model.model_json_schema(by_alias=True, mode=mode)
    said = _said(model)
    return tuple(
        _fact(field.alias or key, schema["properties"][field.alias or key], said.get(key, ""), field)
        for key, field in model.model_fields.items()
    )


def held_by(model: type[BaseModel]) -> Iterator[tuple[str, type[BaseModel]]]:
    """The models that a model's fields hold, each with the field's key."""
    for key, field in model.model_fields.items():
        for held in _models(field.annotation):
            yield field.alias or key, held


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in getattr(annotation, "__args__", ()):
        yield from _models(part)


def _stated(field: FieldInfo) -> str:
    """The default as a file would state it; empty where that is nothing."""
    value = None if field.is_required() else field.get_default()
    return "" if value is None or isinstance(value, BaseModel) else written(value)


def written(value: Any) -> str:
    """A value as a file would have it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(map(written, value))
    return str(value) if isinstance(value, str) else figure(value)


def _fact(key: str, schema: dict[str, Any], said: str, field: FieldInfo) -> Fact:
    own = [part for part in said.split("; ") if not part.startswith(_OPEN)]
    taken = [part.split(": ", 1)[1] for part in said.split("; ") if part.startswith(_OPEN)]
    unit = next((unit for end, unit in sorted(UNITS.items(), key=_longest) if key.endswith(end)), "")
    kind, limits, model = _kind(schema)
    return Fact(key, kind, unit, limits, field.is_required(), _stated(field), "; ".join(taken), "; ".join(own), model)


def _longest(entry: tuple[str, str]) -> int:
    return -len(entry[0])


def _kind(schema: dict[str, Any]) -> tuple[str, str, str | None]:
    """What is written there, its limits, and the model that it holds."""
    if "anyOf" in schema:  # a decimal is a number or its text; what may be left out is itself or nothing
        return _kind(next(one for one in schema["anyOf"] if one.get("type") != "null"))
    if "$ref" in schema:
        return "mapping", "", schema["$ref"].rsplit("/", 1)[-1]
    if "prefixItems" in schema:
        kind, limits, model = _kind(schema["prefixItems"][0])
        return f"list of {len(schema['prefixItems'])}: {kind}", limits, model
    if schema.get("type") == "array":
        kind, limits, model = _kind(schema["items"])
        least = schema.get("minItems", 0)
        return f"list: {kind}", "; ".join(part for part in (limits, f"{least} or more" if least else "") if part), model
    if "enum" in schema or "const" in schema:
        return "one of " + ", ".join(map(str, schema.get("enum", [schema.get("const")]))), "", None
    return _scalar(schema), _limits(schema), None


def _scalar(schema: dict[str, Any]) -> str:
    if schema.get("type") == "string":
        if schema.get("format") == "date":
            return "date, year-month-day"
        return _PATTERNS.get(schema.get("pattern", ""), "name" if "pattern" in schema else "text")
    return {"integer": "whole number", "number": "figure", "boolean": "yes or no"}[schema["type"]]


def _limits(schema: dict[str, Any]) -> str:
    low, high = schema.get("minimum"), schema.get("maximum")
    above = schema.get("exclusiveMinimum")
    least = f"more than {_number(above)}" if above is not None else "" if low is None else _number(low)
    if high is None:
        return least and (least if above is not None else f"{least} or more")
    return f"{least}, at most {_number(high)}" if above is not None else f"{least} to {_number(high)}".strip()


def _number(value: float) -> str:
    return f"{value:,.15g}"


def _said(model: type[BaseModel]) -> dict[str, str]:
    """Comments by field, those of the models that it is made from first."""
    said: dict[str, str] = {}
    for base in reversed(model.__mro__):
        if issubclass(base, BaseModel) and base.__module__ != BaseModel.__module__:
            said.update(_comments(base.__module__).get(base.__name__, {}))
    return said


@cache
def _comments(module: str) -> dict[str, dict[str, str]]:
    """What stands behind or below each field, by class."""
    source = inspect.getsource(sys.modules[module])
    lines = source.splitlines()
    found: dict[str, dict[str, str]] = {}
    for node in ast.parse(source).body:
        if not isinstance(node, ast.ClassDef):
            continue
        own = found.setdefault(node.name, {})
        for field, below in zip(node.body, [*node.body[1:], None], strict=True):
            if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name):
                behind = lines[(field.end_lineno or 0) - 1].encode()[field.end_col_offset or 0 :].decode()
                own[field.target.id] = _text(behind, below)
    return found


def _text(behind: str, below: ast.stmt | None) -> str:
    if "#" in behind:
        return behind.split("#", 1)[1].strip()
    if isinstance(below, ast.Expr) and isinstance(below.value, ast.Constant) and isinstance(below.value.value, str):
        text = " ".join(below.value.value.split()).removesuffix(".")
        return text if text[1:2].isupper() else text[:1].lower() + text[1:]
    return ""
