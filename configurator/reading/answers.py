"""Answers and audits that this tool wrote, read again: files from outside like any other."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from configurator.answer import SCHEMA_VERSION, Answer
from configurator.errors import BadInput, Problem
from configurator.reading.files import Source, bad_file, read_source
from configurator.reading.words import shown
from configurator.review.audit import AUDIT_VERSION, Audit, audit_of

ANSWER_LIMIT = 256_000_000  # bytes
LONGEST_NUMBER = 18  # digits: no amount, count or weight of an answer comes near
DEEPEST = 60  # nested lists and mappings; an answer needs fewer than twenty
_HALF = re.compile("[\ud800-\udfff]")
M = TypeVar("M", bound=BaseModel)
_OTHERWISE = "name a file that `solve --format json` or `solve --audit` wrote"


def load_answer(file: Path | str) -> Answer:
    """An answer; BadInput where it is none."""
    source, data = _read(file)
    return _as_answer(source, data)


def load_audit(file: Path | str) -> Audit:
    """An audit, or an answer as one; BadInput where it is neither."""
    return load_either(file)[0]


def load_either(file: Path | str) -> tuple[Audit, Answer | None]:
    """An audit, or an answer with its audit; BadInput where it is neither."""
    source, data = _read(file)
    if "audit" not in data:
        answer = _as_answer(source, data)
        return audit_of(answer), answer
    _same_version(source, "audit", data["audit"], AUDIT_VERSION)
    return _validated(source, Audit, data), None


def _as_answer(source: Source, data: dict[str, Any]) -> Answer:
    if "schema" not in data:
        raise bad_file(source.name, "this is no answer of this tool, and no audit", _OTHERWISE)
    _same_version(source, "schema", data["schema"], SCHEMA_VERSION)
    return _validated(source, Answer, data)


def _read(file: Path | str) -> tuple[Source, dict[str, Any]]:
    source = read_source(file, ANSWER_LIMIT, "JSON")
    try:
        data = json.loads(
            source.text,
            object_pairs_hook=_mapping,
            parse_int=_whole_number,
            parse_float=_figure,
            parse_constant=_no_number,
        )
        _check_shape(data)
    except json.JSONDecodeError as error:
        text = f"this is no JSON: {error.msg}"
        begins = source.text.lstrip()[:1] == "{"
        hint = "the file may be cut: have it written again" if begins else _OTHERWISE
        raise BadInput([Problem(source.name, error.lineno, error.colno, "", None, text, hint)]) from None
    except _NotOurs as error:
        raise bad_file(source.name, str(error), _OTHERWISE) from None
    except RecursionError:
        raise bad_file(source.name, "the JSON is nested too deep to be an answer", _OTHERWISE) from None
    if not isinstance(data, dict):
        raise bad_file(source.name, "this is JSON, but no answer", _OTHERWISE)
    return source, data


class _NotOurs(Exception):
    """JSON that this tool never writes."""


def _mapping(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for place, key in enumerate(keys) if key in keys[:place])
        raise _NotOurs(f"{shown(twice)} is stated twice in one mapping")
    return found


def _whole_number(text: str) -> int:
    if len(text) > LONGEST_NUMBER:
        raise _NotOurs(f"{shown(text)} is longer than any number of an answer")
    return int(text)


def _figure(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise _NotOurs(f"{shown(text)} is larger than any figure of an answer")
    return value


def _no_number(text: str) -> float:
    raise _NotOurs(f"{shown(text)} is no number")


def _check_shape(data: object) -> None:
    """Lists and mappings nested too deep, and text that is none, are refused before anything looks at them."""
    layer = [data]
    for _ in range(DEEPEST):
        if any(isinstance(one, str) and _HALF.search(one) for one in layer):
            raise _NotOurs("half of a surrogate pair is no text")
        layer = [part for one in layer for part in _parts(one)]
    if layer:
        raise _NotOurs("the JSON is nested too deep to be an answer")


def _parts(one: object) -> Iterable[object]:
    return (*one, *one.values()) if isinstance(one, dict) else one if isinstance(one, list) else ()


def _same_version(source: Source, key: str, value: object, ours: str) -> None:
    if value != ours:
        text = f"this file is of format {shown(value)}; this version of the tool reads {ours}"
        raise BadInput([Problem(source.name, None, None, key, shown(value), text, "solve the demand again")])


def _validated(source: Source, model: type[M], data: dict[str, Any]) -> M:
    try:
        return model.model_validate(data)
    except ValidationError as error:
        problems = []
        for one in error.errors(include_url=False):
            key = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in one["loc"]).lstrip(".")
            hint = "take it out" if one["type"] == "extra_forbidden" else "have the file written again by this tool"
            problems.append(Problem(source.name, None, None, key, shown(one["input"]), one["msg"], hint))
        raise BadInput(problems) from None
