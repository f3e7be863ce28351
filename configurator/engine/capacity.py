"""Capacity rows: the most weight that one unit can carry, computed exactly and for whole units.

For weights y >= 0 over the offers, sum(y * served) <= sum(V(y) of each unit).  `V` depends on the
catalog alone, so a row holds for every demand; it is a certificate that anyone can recompute.
"""

from __future__ import annotations

from functools import reduce
from math import gcd

from configurator.engine.columns import Column, Slices
from configurator.engine.offers import Offers

MOST_ROWS = 48


def closed_sets(offers: Offers, columns: list[Column]) -> list[int]:
    """Sets of offers that compete for the same ports, or need at least so much of a budget.

    For ports alone these are the sets that can prove a shortage (Hall's condition needs no others):
    all offers whose ports lie within a union of some offers' ports.
    """
    masks = sorted({mask for column in columns for _, mask in column.slices})
    homes = [frozenset(i for i, mask in enumerate(masks) if mask >> bit & 1) for bit in range(len(offers.offers))]
    unions: list[frozenset[int]] = []
    for home in sorted(set(homes), key=lambda h: (len(h), sorted(h))):
        if home:
            grown = [home | union for union in unions]
            unions += [u for u in dict.fromkeys((home, *grown)) if u not in unions][: MOST_ROWS - len(unions)]
    sets = [sum(1 << bit for bit, home in enumerate(homes) if home and home <= union) for union in unions]
    for budget in range(len(offers.book.budgets)):
        for least in sorted({offer.draws[budget] for offer in offers.offers} - {0}):
            sets.append(sum(1 << bit for bit, offer in enumerate(offers.offers) if offer.draws[budget] >= least))
    return list(dict.fromkeys(s for s in sets if s))


class Capacity:
    """Exact `V` of every column for sets of offers, each distinct unit shape computed once."""

    def __init__(self, offers: Offers, columns: list[Column]) -> None:
        self.offers = offers
        self.columns = columns
        self.shapes = list(dict.fromkeys((c.slices, c.left) for c in columns))
        index = {shape: i for i, shape in enumerate(self.shapes)}
        self.budgets = [b for b in range(len(offers.book.budgets)) if self._binds(b)]
        self.shape_of = [index[c.slices, c.left] for c in columns]

    def _binds(self, budget: int) -> bool:
        """Whether any unit has less of a budget than its ports could draw."""
        return any(
            left[budget] < sum(count * self.offers.hungriest(mask, budget) for count, mask in slices)
            for slices, left in self.shapes
        )

    def counted(self, chosen: int) -> list[int]:
        """The most devices of these offers that each column carries."""
        least: dict[tuple[int, int], int] = {}
        values = [self._count(slices, left, chosen, least) for slices, left in self.shapes]
        return [values[shape] for shape in self.shape_of]

    def _count(self, slices: Slices, left: tuple[int, ...], chosen: int, least: dict[tuple[int, int], int]) -> int:
        held = [(count, mask & chosen) for count, mask in slices if mask & chosen]
        best = sum(count for count, _ in held)
        for budget in self.budgets:
            if not best:
                break
            rest = left[budget]
            draws = []
            for count, mask in held:
                key = (mask, budget)
                if key not in least:
                    least[key] = min(self.offers.offers[bit].draws[budget] for bit in self.offers.bits(mask))
                draws.append((least[key], count))
            draws.sort()
            carried = 0
            for draw, count in draws:
                fit = count if draw == 0 else min(count, rest // draw)
                carried += fit
                rest -= fit * draw
                if fit < count:
                    break
            best = min(best, carried)
        return best

    def drawn(self, chosen: int, budget: int) -> tuple[list[int], int]:
        """The most of a budget that these offers can draw from each column, and the step of all draws."""
        draws = [self.offers.offers[bit].draws[budget] for bit in self.offers.bits(chosen)]
        step = reduce(gcd, draws, 0)
        if not step:
            return [], 0
        values = []
        for slices, left in self.shapes:
            most = sum(count * self.offers.hungriest(mask & chosen, budget) for count, mask in slices if mask & chosen)
            values.append(min(most, left[budget]) // step)
        return [values[shape] for shape in self.shape_of], step
