"""A demand file with one stack's statements given up or eased: plain data in, plain data out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import deepcopy
from typing import Any

from configurator.reading.asks import WISHES

SERVED = ("ports", "devices", "uplinks")


def changed(data: Mapping[str, Any], place: int, aside: Iterable[str], eased: Mapping[str, tuple[str, str]]) -> Any:
    """The file's data with statements of one stack left out, and figures of others moved.

    data  -- as it was read, references included;
    place -- of the stack in the file, from 0;
    aside -- keys of statements: airflow, devices[0] …;
    eased -- by the key of a statement, one of its fields and the new value.
    """
    out = deepcopy(dict(data))
    stacks, stack = out["stacks"], out["stacks"][place]
    for key, (field, value) in eased.items():
        name, _, index = key.rstrip("]").partition("[")
        if name in SERVED:
            stack[name][int(index)][field] = value
        else:
            _own(out, key)
            stack[key] = _with_value(stack.get(key), value)
    for key in aside:
        if not key.startswith(SERVED) and key in WISHES:
            _own(out, key)
            stack.pop(key, None)
    for name in SERVED:
        gone = {key for key in aside if key.startswith(f"{name}[")}
        kept = [said for n, said in enumerate(stack.get(name) or ()) if f"{name}[{n}]" not in gone]
        if gone and kept:
            stack[name] = kept
        elif gone:
            del stack[name]
    if not any(stack.get(name) for name in SERVED):
        del stacks[place]
    return out


def _own(out: dict[str, Any], key: str) -> None:
    """Makes a wish of the whole order one of each stack, so that one of them can differ."""
    defaults = out.get("defaults") or {}
    if key not in defaults:
        return
    said = defaults.pop(key)
    for stack in out["stacks"]:
        stack.setdefault(key, deepcopy(said))


def _with_value(said: Any, value: str) -> Any:
    """The value, with the reference that the old one had; of a list of one figure the figure."""
    if isinstance(said, dict) and "value" in said:
        return {**said, "value": _with_value(said["value"], value)}
    return [value] if isinstance(said, list) else value
