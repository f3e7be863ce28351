"""The values that a figure takes: a range with a step, or a list."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from configurator.catalog import Catalog
from configurator.parts import Module, UnitType
from configurator.reading import Asked
from configurator.reading.words import figure, listed, shown
from configurator.varying.varying import Figure, Value, figure_of, wrong

ENOUGH = 50  # points of a range whose step nobody said
MOST_POINTS = 200  # of a sweep where nobody allows more
_NUMBER = re.compile(r"(-?[0-9]{1,9}(?:\.[0-9]{1,3})?)([GM]?)")
FORMS = "write WHAT=FROM..TO, WHAT=FROM..TO:STEP or WHAT=A,B,C"


@dataclass(frozen=True)
class Varied:
    """A figure with the values that it takes, smallest first in a range."""

    figure: Figure
    values: tuple[Value, ...]
    step: Value | None  # of a range where nobody said it; none: it was said, or there is none


def varied(said: str, asked: Asked, catalog: Catalog, stack: str | None, most: int = MOST_POINTS) -> Varied:
    """What `WHAT=FROM..TO:STEP` or `WHAT=A,B,C` stands for; BadInput where it can't be read."""
    name, equals, text = said.rpartition("=")
    if not equals or not name or not text:
        raise wrong(said, f"{shown(said)} doesn't say what varies between what", FORMS)
    one = figure_of(name.strip(), asked, stack)
    if ".." in text:
        return _range(said, text, one, catalog, most)
    values = tuple(dict.fromkeys(_value(said, part, one) for part in text.split(",")))
    _few(said, len(values), most)
    return Varied(one, values, None)


def _value(said: str, text: str, one: Figure) -> Value:
    found = _NUMBER.fullmatch(text.strip())
    if not found or (found[2] and not one.is_speed):
        way = "write a speed such as 10G" if one.is_speed else "write digits with a dot: 15.4"
        raise wrong(said, f"{shown(text)} in {shown(said)} is no figure", f"{way}; {FORMS}")
    value = Decimal(found[1]) * {"G": 1000, "M": 1, "": 1}[found[2]]
    if not one.whole:
        return value
    if value != int(value):
        raise wrong(said, f"{shown(text)} in {shown(said)} is not a whole number", "write digits alone: 48")
    return int(value)


def _range(said: str, text: str, one: Figure, catalog: Catalog, most: int) -> Varied:
    """From, by steps, and to: the last is there whether a step meets it or not."""
    ends, colon, by = text.partition(":")
    low, high = (_value(said, end, one) for end in ends.split("..", 1))
    if low > high:
        raise wrong(said, f"{shown(said)} goes down", f"write the smaller first: {figure(high)}..{figure(low)}")
    if not colon and one.is_speed:
        values: tuple[Value, ...] = tuple(rate for rate in speeds_mbps(catalog) if low <= rate <= high)
        if not values:
            known = listed(speeds_mbps(catalog))
            raise wrong(said, f"no speed of this catalog is in {shown(said)}", f"known are, in Mb/s: {known}")
        return Varied(one, values, None)
    step = _value(said, by, one) if colon else _usual(high - low, whole=one.whole)
    if step <= 0:
        raise wrong(said, f"a step of {shown(by)} leads nowhere", "write a step above 0")
    _few(said, int((high - low) / step) + 1, most)
    found: list[Value] = []
    value = low
    while value < high:
        found.append(value)
        value += step
    return Varied(one, (*found, high), None if colon or step == 1 else step)


def _usual(span: Value, *, whole: bool) -> Value:
    """The smallest of 1, 2, 5, 10, 20 … with which there are not too many points."""
    for step in _round(whole=whole):
        if span <= step * ENOUGH:
            return step
    raise AssertionError


def _round(*, whole: bool) -> Iterator[Value]:
    size = Decimal(1) if whole else Decimal("0.1")
    while True:
        for digit in (1, 2, 5):
            yield int(size * digit) if whole else size * digit
        size *= 10


def _few(said: str, count: int, most: int) -> None:
    if count > most:
        text = f"{shown(said)} has {count} values, more than {most}"
        raise wrong(said, text, f"take larger steps (…:STEP), or allow more with --most-points {count}")


def speeds_mbps(catalog: Catalog) -> tuple[int, ...]:
    """The speeds at which some port of the catalog serves."""
    owners: list[UnitType | Module] = [*catalog.parts.unit_types, *catalog.parts.modules]
    groups = [group for owner in owners for group in owner.ports if set(group.roles) & {"network", "split"}]
    return tuple(sorted({rate for group in groups for rate in group.speeds_mbps}))
