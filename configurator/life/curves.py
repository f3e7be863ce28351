"""Mains watts of a unit's supplies over what they deliver, from efficiencies at parts of their load.

Between two published points the input is interpolated.  Below the lowest the first stretch goes on
down to no load, so that what a supply loses before it delivers anything is kept; above the highest
the last one goes on.  Nowhere outside is a supply better than at the nearest published point.
A published point that lies above the line between its neighbours is passed over: so the input
never rises more slowly with more load, and the least that several units take together is found by
filling the flattest stretches first.

The supplies of a unit share its load by their outputs; those that are alike evenly.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from configurator.parts import Supply

Line = tuple[Fraction, Fraction]  # input at no load, and input for each of output
NO_LOSS: Line = (Fraction(0), Fraction(1))


def lines_of(supply: Supply) -> tuple[Line, ...]:
    """Straight lines of which the highest is the input, both as parts of the supply's output; flattest first."""
    points = [(Fraction(p.load_percent, 100), Fraction(p.efficiency)) for p in supply.efficiency_at]
    points = points or [(Fraction(1), Fraction(supply.efficiency))]
    below = _below([(load, load / efficiency) for load, efficiency in sorted(points)])
    through = [(Fraction(0), taken / load) for load, taken in (below[0], below[-1])]
    if len(below) == 1:
        return (through[0],)
    lines = [_through(a, b) for a, b in pairwise(below)]
    first = [through[0]] if through[0][1] < lines[0][1] else []
    last = [through[1]] if through[1][1] > lines[-1][1] else []
    return (*first, *lines, *last)


def _through(a: tuple[Fraction, Fraction], b: tuple[Fraction, Fraction]) -> Line:
    slope = (b[1] - a[1]) / (b[0] - a[0])
    return a[1] - slope * a[0], slope


def _below(points: Iterable[tuple[Fraction, Fraction]]) -> list[tuple[Fraction, Fraction]]:
    """The points without those that lie on or above the line between their neighbours."""
    kept: list[tuple[Fraction, Fraction]] = []
    for point in points:
        while len(kept) > 1 and _through(kept[-2], kept[-1])[1] >= _through(kept[-1], point)[1]:
            kept.pop()
        kept.append(point)
    return kept


@dataclass(frozen=True)
class Stretch:
    """From here on the mains give so much for each watt delivered."""

    from_w: Fraction
    slope: Fraction


@dataclass(frozen=True)
class Curve:
    """What a unit takes from the mains, by what its supplies deliver; stretches ever steeper."""

    idle_w: Fraction  # at no load
    stretches: tuple[Stretch, ...]  # the first from 0

    def mains_w(self, load_w: Fraction) -> Fraction:
        """Watts of the mains at a load."""
        taken, ends = self.idle_w, [one.from_w for one in self.stretches[1:]]
        for one, end in zip(self.stretches, [*ends, load_w], strict=True):
            taken += one.slope * max(min(end, load_w) - one.from_w, Fraction(0))
        return taken

    def above(self, load_w: Fraction, most_w: Fraction) -> tuple[tuple[Fraction, Fraction], ...]:
        """Slope and width of each stretch for the next `most_w` watts on top of a load."""
        ends = [one.from_w for one in self.stretches[1:]]
        out = []
        for one, end in zip(self.stretches, [*ends, load_w + most_w], strict=True):
            width = min(end, load_w + most_w) - max(one.from_w, load_w)
            if width > 0:
                out.append((one.slope, width))
        return tuple(out)


def curve_of(supplies: Sequence[tuple[Supply, Decimal]]) -> Curve:
    """The curve of supplies with their outputs in watts; without any, the mains give what is delivered."""
    rated = [(lines_of(supply), Fraction(output_w)) for supply, output_w in supplies if output_w]
    together = sum((output_w for _, output_w in rated), Fraction(0))
    if not rated:
        return Curve(Fraction(0), (Stretch(Fraction(0), Fraction(1)),))
    at = sorted({Fraction(0), *(crossing for lines, _ in rated for crossing in _crossings(lines))})
    idle_w = sum((output_w * max(c for c, _ in lines) for lines, output_w in rated), Fraction(0))
    stretches = []
    for part in at:
        slope = sum((output_w * _line_at(lines, part)[1] for lines, output_w in rated), Fraction(0)) / together
        stretches.append(Stretch(part * together, slope))
    return Curve(idle_w, tuple(stretches))


def _crossings(lines: Sequence[Line]) -> Iterable[Fraction]:
    """Loads above 0 at which one line takes over from another."""
    for (a, slope), (b, steeper) in pairwise(lines):
        part = (a - b) / (steeper - slope)
        if part > 0:
            yield part


def _line_at(lines: Sequence[Line], part: Fraction) -> Line:
    """The highest line from a load on; where two meet there, the steeper."""
    return max(lines, key=lambda line: (line[0] + line[1] * part, line[1]))
