"""Demands as files: one line as the file that it stands for, and data as text."""

from __future__ import annotations

import json
import re
import shlex
from typing import Any

from configurator.reading.line import Line

_PLAIN = re.compile(r"[A-Za-z0-9]([A-Za-z0-9 ._/+%-]*[A-Za-z0-9._/+%-])?")
_NULL = ("null", "Null", "NULL")


def scalar(text: str) -> str:
    """A scalar of YAML that is read as this text."""
    return text if _PLAIN.fullmatch(text) and text not in _NULL else json.dumps(text, ensure_ascii=False)


def flow(value: Any) -> str:
    """A value on one line."""
    if value is None:
        return "null"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {flow(part)}' for key, part in value.items())}}}"
    return f"[{', '.join(map(flow, value))}]" if isinstance(value, list) else scalar(value)


def render(line: Line) -> str:
    """The demand file, with the line that it stands for and what was assumed."""
    command = shlex.join(["configurator", "solve", *(word for where in line.said for word in where)])
    out = [f"# {command}", *(f"# Assumed, since the line doesn't say: {one.text}." for one in line.assumed)]
    return "\n".join(out) + "\n" + text_of(line.sheet.data)


def text_of(data: Any) -> str:
    """A demand's data as a file."""
    out = [f"{key}: {flow(value)}" for key, value in data.items() if key not in ("defaults", "stacks")]
    if data.get("defaults"):
        out += ["defaults:", *(f"  {key}: {flow(value)}" for key, value in data["defaults"].items())]
    out.append("stacks:")
    for stack in data["stacks"]:
        dash = "  - "
        for key, value in stack.items():
            if isinstance(value, list) and any(isinstance(part, dict) for part in value):
                out += [f"{dash}{key}:", *(f"      - {flow(part)}" for part in value)]
            else:
                out.append(f"{dash}{key}: {flow(value)}")
            dash = "    "
    return "\n".join(out) + "\n"
