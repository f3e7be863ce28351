"""What text forms are made of: tables, listings, bullets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tabulate import tabulate


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], right: Iterable[int] = ()) -> str:
    """Rows under heads; columns of figures to the right."""
    align = ["right" if column in set(right) else "left" for column in range(len(heads))]
    return tabulate(list(rows), headers=list(heads), tablefmt="simple", disable_numparse=True, colalign=align)


def listing(rows: Iterable[tuple[str, str]], indent: str = "  ") -> str:
    """Label and text, one a line."""
    text = tabulate([list(row) for row in rows], tablefmt="plain", disable_numparse=True)
    return "\n".join(indent + line.rstrip() for line in text.splitlines())


def bullets(texts: Iterable[str]) -> str:
    """One text a line."""
    return "\n".join(f"  - {text}" for text in texts)
