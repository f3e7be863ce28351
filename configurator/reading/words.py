"""Words for messages: values as shown, keys as paths, and what may have been meant."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from difflib import get_close_matches

Path = tuple[str | int, ...]

_LONGEST = 60
_MOST_LISTED = 12


def shown(value: object) -> str:
    """A value in quotes, cut and made printable; what it is, where it isn't a scalar."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list | tuple):
        return "a list"
    text = "".join(c if c.isprintable() else "·" for c in str(value))
    return f'"{text}"' if len(text) <= _LONGEST else f'"{text[:_LONGEST]}…"'


def key_of(path: Path) -> str:
    """`stacks[0].uplinks[1].count`."""
    key = ""
    for step in path:
        key += f"[{step}]" if isinstance(step, int) else f".{step}" if key else step
    return key


def listed(names: Iterable[object], most: int = _MOST_LISTED) -> str:
    """Some names with commas; how many were left out, when there are many."""
    texts = [str(name) for name in names]
    rest = len(texts) - most
    return ", ".join(texts[:most]) + (f" and {rest} more" if rest > 0 else "")


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name most like this one, if any is."""
    names: dict[str, str] = {}
    for candidate in sorted(known):
        names.setdefault(candidate.casefold(), candidate)
    close = get_close_matches(name.casefold(), names, n=1, cutoff=0.6)
    return names[close[0]] if close else None


def did_you_mean(name: str, known: Iterable[str], otherwise: str) -> str:
    """A hint: the nearest known name, or another way out."""
    found = nearest(name, known)
    return f'did you mean "{found}"?' if found is not None else otherwise


def speed(mbps: int) -> str:
    """`2.5 Gb/s`, `100 Mb/s`."""
    return f"{figure(Decimal(mbps) / 1000)} Gb/s" if mbps >= 1000 else f"{mbps} Mb/s"


def figure(value: Decimal | int) -> str:
    """A figure without trailing zeros or exponent."""
    text = f"{Decimal(value):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
