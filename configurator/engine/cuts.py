"""Cuts: when devices cannot be placed on the units chosen, the weights of a row that proves why.

Weights y >= 0 with y * served > sum(V(y) of the units) are looked for by a small integer master
over fillings met so far, and an exact knapsack that finds, for given weights, the heaviest filling
of each unit.  All integers.
"""

from __future__ import annotations

from functools import reduce
from math import gcd
from typing import TYPE_CHECKING, Any

from configurator.engine.capacity import Capacity
from configurator.engine.columns import Slices
from configurator.engine.solver import IntegerModel, solve

if TYPE_CHECKING:
    from numpy.typing import NDArray

HEAVIEST = 60  # largest weight looked for
ROUNDS = 40
EFFORT = 0.5


class Knapsack:
    """Heaviest filling of one unit: each port takes one device or none, budgets are kept.

    With several budgets the value is the least over budgets taken one at a time: still an upper
    bound, exact where one budget binds.
    """

    def __init__(self, capacity: Capacity) -> None:
        self.offers = capacity.offers
        self.budgets = list(capacity.budgets)
        self.steps = {b: self._step(b) for b in self.budgets}
        self._tables: dict[Any, Any] = {}

    def _step(self, budget: int) -> int:
        return reduce(gcd, [offer.draws[budget] for offer in self.offers.offers], 0)

    def value(self, slices: Slices, left: tuple[int, ...], weights: tuple[int, ...]) -> int:
        """The most weight that a unit carries."""
        return min((self._best(slices, left, weights, b)[0] for b in self._drawn()), default=0)

    def filling(self, slices: Slices, left: tuple[int, ...], weights: tuple[int, ...]) -> tuple[int, dict[int, int]]:
        """The most weight that a unit carries and a filling that has it (under the budget that binds most)."""
        return min((self._best(slices, left, weights, b, trace=True) for b in self._drawn()), key=lambda f: f[0])

    def _drawn(self) -> list[int]:
        return [b for b in self.budgets if self.steps[b]] or [-1]

    def _best(
        self, slices: Slices, left: tuple[int, ...], weights: tuple[int, ...], budget: int, trace: bool = False
    ) -> tuple[int, dict[int, int]]:
        key = (slices, left[budget] if budget >= 0 else 0, weights, budget, trace)
        if key not in self._tables:
            self._tables[key] = self._run(slices, left[budget] if budget >= 0 else 0, weights, budget, trace)
        found: tuple[int, dict[int, int]] = self._tables[key]
        return found

    def _items(self, mask: int, weights: tuple[int, ...], budget: int) -> list[tuple[int, int, int]]:
        """(draw, weight, offer) of a port's useful devices, cheap first."""
        items = []
        for bit in self.offers.bits(mask):
            if weights[bit]:
                draw = self.offers.offers[bit].draws[budget] if budget >= 0 else 0
                items.append((draw, weights[bit], bit))
        items.sort(key=lambda item: (item[0], -item[1]))
        useful: list[tuple[int, int, int]] = []
        for item in items:
            if not useful or item[1] > useful[-1][1]:
                useful.append(item)
        return useful

    def _run(
        self, slices: Slices, left: int, weights: tuple[int, ...], budget: int, trace: bool
    ) -> tuple[int, dict[int, int]]:
        """Least draw for each weight, port by port."""
        import numpy as np

        groups = [(count, self._items(mask, weights, budget)) for count, mask in slices]
        groups = [(count, items) for count, items in groups if items]
        top = sum(count * max(w for _, w, _ in items) for count, items in groups)
        far = 2**50
        least = np.full(top + 1, far, np.int64)
        least[0] = 0
        history: list[NDArray[np.int8]] = []
        for count, items in groups:
            for _ in range(count):
                after = least.copy()
                chosen = np.full(top + 1, -1, np.int8) if trace else None
                for index, (draw, weight, _) in enumerate(items):
                    via = least[: top + 1 - weight] + draw
                    better = via < after[weight:]
                    if trace and chosen is not None:
                        chosen[weight:][better] = index
                    after[weight:][better] = via[better]
                least = after
                if chosen is not None:
                    history.append(chosen)
        value = int(np.flatnonzero(least <= left)[-1])
        return value, self._walk_back(groups, history, value) if trace else {}

    @staticmethod
    def _walk_back(groups: Any, history: list[Any], value: int) -> dict[int, int]:
        ports = [items for count, items in groups for _ in range(count)]
        filling: dict[int, int] = {}
        for items, chosen in zip(reversed(ports), reversed(history), strict=True):
            index = int(chosen[value])
            if index >= 0:
                _, weight, offer = items[index]
                filling[offer] = filling.get(offer, 0) + 1
                value -= weight
        return filling


def separate(
    capacity: Capacity, knapsack: Knapsack, units: dict[int, int], served: tuple[int, ...]
) -> tuple[int, ...] | None:
    """Weights of a row that these units break, or none where no such row exists (or none was found).

    units -- how many of each column; served -- how many devices through each offer.
    """
    offers = [o for o, count in enumerate(served) if count]
    shapes: dict[tuple[Slices, tuple[int, ...]], int] = {}
    for column, count in units.items():
        shape = (capacity.columns[column].slices, capacity.columns[column].left)
        shapes[shape] = shapes.get(shape, 0) + count
    master = IntegerModel()
    y = {o: master.variable(0, HEAVIEST) for o in offers}
    loads = {shape: master.variable(0, 2**30) for shape in shapes}
    master.objective = {var: -served[o] for o, var in y.items()} | {loads[s]: count for s, count in shapes.items()}
    for _ in range(ROUNDS):
        outcome = solve(master, deterministic_limit=EFFORT)
        if outcome.status not in ("optimal", "feasible") or outcome.objective >= 0:
            return None
        weights = tuple(outcome.values[y[o]] if o in y else 0 for o in range(len(served)))
        carried, news = 0, False
        for shape, count in shapes.items():
            value, filling = knapsack.filling(*shape, weights)
            carried += count * value
            if value > outcome.values[loads[shape]]:
                master.at_least([(loads[shape], 1)] + [(y[o], -c) for o, c in filling.items()], 0)
                news = True
        if sum(w * c for w, c in zip(weights, served, strict=True)) > carried:
            shared = reduce(gcd, weights)
            return tuple(w // shared for w in weights)
        if not news:
            return None
    return None


def carried_by(capacity: Capacity, knapsack: Knapsack, weights: tuple[int, ...]) -> list[int]:
    """`V` of every column for some weights."""
    values = [knapsack.value(slices, left, weights) for slices, left in capacity.shapes]
    return [values[shape] for shape in capacity.shape_of]
