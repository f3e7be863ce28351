"""Arrangements: how many units, stacked how, linked along which ways."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import combinations

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.engine.lacing import Lacing, usual, words
from configurator.fitout import Arrangement, Mode
from configurator.setting import Ask

RACK_UNIT_M = Decimal("0.04445")  # EIA-310: 1.75 in
MOST_UNITS = 128  # beyond what a catalog can state, so that the rule about it has something to forbid

Stacking = tuple[str, str, str, tuple[int, ...]]  # family, connector, cage (empty: fixed), speeds


def modes(book: Book, stackings: Iterable[Stacking]) -> list[Mode]:
    """Every way that fit-outs like these could stack: families together, one connector, one rate.

    Where stacking ports of one connector are of several cages, each set of cages is a mode of its
    own: what links two units must be listed for both.
    """
    found = sorted(set(stackings))
    out: list[Mode] = []
    for connector in sorted({connector for _, connector, _, _ in found}):
        for speed in sorted({speed for _, c, _, speeds in found if c == connector for speed in speeds}):
            able = [(family, cage) for family, c, cage, speeds in found if c == connector and speed in speeds]
            families = sorted({family for family, _ in able})
            for club in _clubs(book, families):
                cages = sorted({cage for family, cage in able if family in club})
                for size in range(1, len(cages) + 1):
                    out += [Mode(club, connector, speed, chosen) for chosen in combinations(cages, size)]
    return out


def _clubs(book: Book, families: list[str]) -> list[tuple[str, ...]]:
    """Sets of families of which each two may share a stack, smaller ones first."""
    out: list[tuple[str, ...]] = [(family,) for family in families]
    for club in out:  # grows while it is walked
        out += [
            (*club, family)
            for family in families
            if family > club[-1] and all(book.together(member, family) for member in club)
        ]
    return out


def stacks_so(stacking: Stacking | None, mode: Mode | None) -> bool:
    """Whether a unit that stacks like this can be in a stack of this mode; none: alone."""
    if mode is None or stacking is None:
        return mode is None and stacking is None
    family, connector, cage, speeds = stacking
    suits = connector == mode.connector and cage in mode.cages and mode.speed_mbps in speeds
    return suits and family in mode.families


def every_arrangement(catalog: Catalog, ask: Ask, found: list[Mode], most: int) -> Iterator[Arrangement]:
    """Every number of units up to `most`, stacked in every mode and laced in every usual way."""
    yield Arrangement(1)
    for mode in found:
        ways = Ways(catalog, ask, mode.families)
        for units in range(2, most + 1):
            yield from usual_arrangements(mode, ways, units)


def usual_arrangements(mode: Mode, ways: Ways, units: int) -> Iterator[Arrangement]:
    """A chain and a ring of two units or more in every usual lacing; a ring of two has one link or two."""
    if units == 2:
        yield from (arranged(mode, ways, lacing, topology) for lacing, topology in PAIRS)
        return
    yield from (arranged(mode, ways, lacing, "chain") for lacing in usual(units, ring=False))
    yield from (arranged(mode, ways, lacing, "ring") for lacing in usual(units, ring=True))


PAIRS = (
    *((lacing, topology) for topology in ("chain", "ring") for lacing in usual(2, ring=False)),
    *((lacing, "ring") for lacing in usual(2, ring=True)),
)


def arranged(mode: Mode, ways: Ways, lacing: Lacing, topology: str) -> Arrangement:
    """Units laced like this, place by place as they stand in the rack."""
    units = len(lacing.order)
    order = ways.order(units)
    laced = tuple(order[place - 1] for place in lacing.order)
    pairs = tuple((order[a - 1], order[b - 1]) for a, b in lacing.pairs)
    return Arrangement(units, mode, topology, words(lacing.name, laced), pairs, ways)


class Ways:
    """The way that a stacking cable has to go between two units."""

    def __init__(self, catalog: Catalog, ask: Ask, families: tuple[str, ...]) -> None:
        stack = ask.stack
        members = [catalog.families[family] for family in families]
        self.slack_m = max(family.routing_slack_m for family in members)
        self.positions = stack.rack_positions
        self.between_m = stack.between_units_m
        self.height = max(unit.rack_units for unit in catalog.parts.unit_types if unit.family in families)
        self._known: dict[tuple[int, int], Decimal] = {}

    def between(self, a: int, b: int) -> Decimal:
        """Metres from unit `a` to unit `b`, counted from 1."""
        pair = (min(a, b), max(a, b))
        if pair not in self._known:
            self._known[pair] = self._between(*pair)
        return self._known[pair]

    def _between(self, low: int, high: int) -> Decimal:
        if self.between_m is not None:
            figures = self.between_m
            steps = [figures[min(i, len(figures)) - 1] for i in range(low, high)]
            return sum(steps, Decimal(0))
        return RACK_UNIT_M * abs(self._position(high) - self._position(low)) + self.slack_m

    def order(self, units: int) -> list[int]:
        """The units as they stand in the rack, whichever way they are counted."""
        every = range(1, units + 1)
        return sorted(every, key=self._position) if self.between_m is None else list(every)

    def _position(self, unit: int) -> int:
        if self.positions is not None and unit <= len(self.positions):
            return self.positions[unit - 1]
        return 1 + (unit - 1) * self.height
