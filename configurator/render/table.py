"""The answer for a terminal: plain text, nothing cut, nothing told by colour."""

from __future__ import annotations

from configurator.answer import Answer
from configurator.render.contents import contents
from configurator.render.sections import as_text
from configurator.render.style import PLAIN, Style


def render(answer: Answer, style: Style = PLAIN) -> str:
    """The whole answer."""
    return as_text(contents(answer), style)
