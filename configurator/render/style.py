"""How headings look: plain, or bold on a terminal.  Colour is never used."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TextIO

BOLD, NORMAL = "\x1b[1m", "\x1b[0m"
_MARKS = re.compile(
    r"[\\`*_{}\[\]<>()#+!|~&$@=-]|:(?=//)|(?<=\bwww)\.|(?<=^\d)\.(?= )|(?<=^\d\d)\.(?= )", re.IGNORECASE
)
"""What marks text up, makes links of it, or numbers a list."""


@dataclass(frozen=True)
class Style:
    """Bold headings or none."""

    bold: bool = False

    def section(self, heading: str, body: str) -> str:
        """A part of the answer, under its heading where it has one."""
        return "\n".join([self._strong(heading)] * bool(heading) + [printable(body)] * bool(body))

    def title(self, text: str) -> str:
        """Over a stack or the order: underlined, so that it stands out in plain text too."""
        return f"{self._strong(text)}\n{'=' * len(text)}"

    def _strong(self, text: str) -> str:
        return f"{BOLD}{printable(text)}{NORMAL}" if self.bold else printable(text)


PLAIN = Style()


def printable(text: str) -> str:
    """What others wrote can't steer the terminal: control characters are shown as dots."""
    return "".join(c if c.isprintable() or c == "\n" else "·" for c in text)


def escaped(text: str) -> str:
    """Markdown that shows the text as it is: one line, no markup and no table cells of its own."""
    shown = " ".join(printable(text).split("\n"))
    return _MARKS.sub(r"\\\g<0>", shown)


def style_for(stream: TextIO | None, environment: Mapping[str, str] = os.environ) -> Style:
    """Bold on a terminal, unless NO_COLOR is set or the terminal is a dumb one; no stream: it is closed."""
    plain = bool(environment.get("NO_COLOR")) or environment.get("TERM") == "dumb"
    return Style(bold=stream is not None and stream.isatty() and not plain)
