"""What is told, before it has a form: headings, tables, listings, bullets and lines, as text or as Markdown.

A page is made once, of these; so a terminal and a document can't say different things.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from configurator.render import blocks
from configurator.render.style import PLAIN, Style, escaped


@dataclass(frozen=True)
class Table:
    """Rows under heads."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()  # columns of figures


@dataclass(frozen=True)
class Listing:
    """Label and text; a row without a label goes on with the one above."""

    rows: tuple[tuple[str, str], ...]
    indent: str = "  "


@dataclass(frozen=True)
class Bullets:
    """Texts that don't hang together."""

    texts: tuple[str, ...]


@dataclass(frozen=True)
class Lines:
    """Sentences, each on its line."""

    texts: tuple[str, ...]
    indent: str = ""


Part = Table | Listing | Bullets | Lines


@dataclass(frozen=True)
class Section:
    """Parts under a heading."""

    heading: str  # empty: none
    parts: tuple[Part, ...] = ()
    title: bool = False  # over the sections that follow


def section(heading: str, *parts: Part) -> Section:
    """Parts under a heading."""
    return Section(heading, parts)


def title(heading: str) -> Section:
    """Over the sections that follow."""
    return Section(heading, title=True)


def lines(*texts: str) -> Lines:
    """Sentences, each on its line."""
    return Lines(texts)


# --- text ---------------------------------------------------------------------------------------------


def as_text(told: Iterable[Section], style: Style = PLAIN) -> str:
    """For a terminal."""
    return "\n\n".join(_text(one, style) for one in told) + "\n"


def _text(one: Section, style: Style) -> str:
    if one.title:
        return style.title(one.heading)
    return style.section(one.heading, "\n".join(map(_part_text, one.parts)))


def _part_text(part: Part) -> str:
    if isinstance(part, Table):
        return blocks.table(part.heads, part.rows, part.right)
    if isinstance(part, Listing):
        return blocks.listing(part.rows, part.indent)
    if isinstance(part, Bullets):
        return blocks.bullets(part.texts)
    return "\n".join(part.indent + text for text in part.texts)


# --- Markdown -----------------------------------------------------------------------------------------


def as_markdown(heading: str, told: Iterable[Section]) -> str:
    """For a document, with everything from outside escaped: it shows as it is and marks nothing up."""
    out = [f"# {escaped(heading)}"]
    for one in told:
        if one.heading:
            out.append(f"{'##' if one.title else '###'} {escaped(one.heading)}")
        out += [text for part in one.parts for text in _part_markdown(part)]
    return "\n\n".join(out) + "\n"


def _part_markdown(part: Part) -> Iterator[str]:
    if isinstance(part, Table):
        yield _table(part.heads, part.rows, part.right)
    elif isinstance(part, Listing):
        if part.rows:
            yield _table(("", ""), part.rows, ())
    elif isinstance(part, Bullets):
        yield "\n".join(f"- {escaped(text)}" for text in part.texts)
    else:
        yield "\n\n".join(escaped(text) for text in part.texts if text)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]], right: tuple[int, ...]) -> str:
    marks = "|".join("---:" if column in right else "---" for column in range(len(heads)))
    told = [f"| {' | '.join(map(escaped, row))} |" for row in (heads, *rows)]
    return "\n".join([told[0], f"|{marks}|", *told[1:]])
