"""The cheapest build of one stack, proved: solve, place, and where placing fails add the row that proves why.

The price never falls from round to round, so the first placement that succeeds is cheapest.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.engine.construct import construct
from configurator.engine.cuts import Knapsack, carried_by, separate
from configurator.engine.model import Counts, StackModel
from configurator.engine.offers import cheapest_recipe
from configurator.engine.packing import FIRST_EFFORT, Placed, Room, fill, pack
from configurator.engine.reasons import reasons_of
from configurator.engine.solver import solve
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Conflict, Counters, Refusal, Solved


@dataclass
class Search:
    """One stack's model and what was learnt of it."""

    model: StackModel
    deadline: float | None = None
    rounds: int = 0
    cuts: int = 0
    packings: int = 0
    no_goods: int = 0
    knapsack: Knapsack | None = None
    serves: bool = False  # whether the last solution serves anything
    counts: Counts | None = None  # the last solution

    def run(self) -> tuple[str, Counts | None, tuple[int, ...], Placed, int]:
        """Status, the solution with its values and placement, and the proved bound of the price."""
        model = self.model
        proved = 0
        while True:
            self.rounds += 1
            outcome = solve(model.model, seconds=self._left())
            if outcome.status == "impossible":
                return "impossible", None, (), [], 0
            # what the objective adds to the price is less than one unit of it
            proved = max(proved, outcome.bound // model.scale)
            if outcome.status == "unknown":
                return "unknown", None, (), [], proved
            counts = model.counts(outcome.values)
            placed = self.place(counts)
            if placed is not None:
                if outcome.status == "optimal":
                    return "optimal", counts, outcome.values, placed, counts.price_minor
                return "feasible", counts, outcome.values, placed, min(proved, counts.price_minor)
            if self.deadline is not None and time.monotonic() > self.deadline:
                return "unknown", None, (), [], proved

    def sold(self, ask: Ask) -> bool:
        """Whether all of the last solution can be had under another demand's setting, of which its own asks no more."""
        model, counts, book = self.model, self.counts, self.model.book
        if counts is None:
            return False
        setting = replace(ask.setting, agreed=tuple(counts.agreed.items()))
        units = [column for column, count in zip(model.columns, counts.columns, strict=True) if count]
        needs = [need for column in units for _, need in book.unit_needs(column.fitout, setting)]
        served = zip(model.offers.offers, counts.served, strict=True)
        needs += [need for offer, count in served if count for _, need in offer.needs]
        needs += [need for _, need in book.stack_needs(counts.arrangement.arrangement, setting)]
        return all(book.sold(column.priced.box, setting) for column in units) and all(
            cheapest_recipe(book, need, setting) is not None or not need.unless.isdisjoint(counts.agreed.items())
            for need in needs
        )

    def place(self, counts: Counts) -> Placed | None:
        """Every device on a port, or none and a new row in the model that says why."""
        model = self.model
        rooms, served = self._rooms(counts), counts.served
        self.serves, self.counts = any(served), counts
        spread = tuple(model.book.spread(kind) if kind.count else 1 for kind in model.kinds)
        placed = fill(rooms, served, model.offers, spread)
        if placed is None:
            self.knapsack = self.knapsack or Knapsack(model.capacity)
            placed = self._pack_or_cut(self.knapsack, counts, rooms, spread)
        return placed

    def _left(self) -> float | None:
        return None if self.deadline is None else max(0.01, self.deadline - time.monotonic())

    def _rooms(self, counts: Counts) -> list[Room]:
        return [
            Room(index, column.slices, column.left)
            for index, column in enumerate(self.model.columns)
            for _ in range(counts.columns[index])
        ]

    def _pack_or_cut(
        self, knapsack: Knapsack, counts: Counts, rooms: list[Room], spread: tuple[int, ...]
    ) -> Placed | None:
        """A placement after all, or none and a new row in the model."""
        model = self.model
        self.packings += 1
        found = pack(rooms, counts.served, model.offers, spread, effort=FIRST_EFFORT)
        if isinstance(found, list):
            return found
        units = {i: c for i, c in enumerate(counts.columns) if c}
        weights = separate(model.capacity, knapsack, units, counts.served)
        if weights is not None:
            self.cuts += 1
            model.add_weight_row(weights, carried_by(model.capacity, knapsack, weights))
            return None
        if found == "unknown":
            self.packings += 1
            found = pack(rooms, counts.served, model.offers, spread, seconds=self._left())
            if isinstance(found, list):
                return found
            if found == "unknown":
                return None
        self.no_goods += 1
        model.add_no_good(counts)
        return None

    @property
    def counters(self) -> Counters:
        """How much work it was."""
        return Counters(
            self.rounds, self.cuts, self.packings, self.no_goods, len(self.model.columns), len(self.model.model.rows)
        )


def solve_stack(
    ask: Ask,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    time_limit_s: float | None = None,
    *,
    explain: bool = True,
    as_found: Callable[[Conflict], None] | None = None,
) -> Solved:
    """The cheapest build for one stack under a rule book, or why there is none.

    explain  -- whether to look for conflicts where there is none: that takes many times as long;
    as_found -- is told each conflict as soon as it is known.
    """
    deadline = None if time_limit_s is None else time.monotonic() + time_limit_s
    search = Search(StackModel(Book(rules, catalog), ask), deadline)
    status, counts, values, placed, bound = search.run()
    if status == "impossible":
        from configurator.conflicts.conflict import refusal  # which searches too

        why = refusal(ask, catalog, rules, deadline, as_found=as_found) if explain else Refusal()
        return Solved("cannot be met", refusal=why, counters=search.counters)
    if counts is None:
        return Solved("not decided", bound_minor=bound, counters=search.counters)
    build = construct(search.model, counts, values, placed)
    return Solved(
        "cheapest" if status == "optimal" else "best found",
        counts.price_minor,
        bound,
        build,
        reasons_of(search.model, counts, build),
        counters=search.counters,
    )
