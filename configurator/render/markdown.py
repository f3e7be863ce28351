"""The answer as Markdown, for documents: all that a terminal shows, and the ids behind its counts."""

from __future__ import annotations

from configurator.answer import Answer
from configurator.render.contents import contents
from configurator.render.proof import not_applicable
from configurator.render.sections import as_markdown


def render(answer: Answer) -> str:
    """The whole answer."""
    return as_markdown("Answer", [*contents(answer), *not_applicable(answer)])
