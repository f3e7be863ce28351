"""The cheapest order that comes to so much at list prices: for discounts that hold from a value on.

Nothing is ordered only to come to more: whatever is ordered has its place in a build or is a cold
spare that was asked for, no loose part could be left out, packs and spares are no more than needed,
and no stack gets more units than it has without the threshold.

Fit-outs are kept apart by what they come to at list prices, as by a part that is counted (`VALUE`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from configurator.engine.exchange import VALUE
from configurator.engine.model import StackModel
from configurator.engine.order import Apart, Together, sameness
from configurator.engine.order_model import OrderModel, Packs, Shelf
from configurator.engine.search import Search
from configurator.engine.solver import SUM_LIMIT, solve
from configurator.reasoning.counting import idle, not_these, only_needed
from configurator.rule import Rule
from configurator.solved import Solved, SolvedOrder

MOST_COLUMNS = 4000  # of the first stacks; beyond, the other stacks have only what is cheapest, and nothing is proved
MOST_EFFORT = 60.0  # of the solver, in its own measure, each time


@dataclass(frozen=True)
class Reached:
    """What was found of the orders that come to so much."""

    order: SolvedOrder | None
    bound_minor: int  # no such order costs less


class Reaching(Together):
    """All stacks in one model, as an order that comes to so much at list prices."""

    def __init__(
        self,
        apart: Apart,
        deadline: float | None,
        *,
        value_minor: int,
        most_minor: int,
        units: dict[int, int],
        rules: tuple[Rule, ...],
    ) -> None:
        """`most_minor`: no dearer order is worth having; `units`: the most of each stack, by its place."""
        self.value_minor = value_minor
        self.most_minor = most_minor
        self.units = units
        self.rules = rules
        self.columns = 0  # kept apart so far
        self.whole = True  # all of them are
        super().__init__(apart, deadline, most_minor)

    def search(self, place: int) -> Search:
        """The search of a stack, its fit-outs kept apart by their value, as far as there are not too many."""
        ask = self.apart.asks[place]
        key = (sameness(ask), self.units[place])
        if key not in self.searches:
            if self.columns > MOST_COLUMNS:
                self.whole = False
            else:
                ask = replace(ask, setting=replace(ask.setting, counted=VALUE))
            model = StackModel(self.apart.book, ask)
            only_needed(model, VALUE)
            model.model.at_most([(n, 1) for n in model.n], self.units[place])
            self.searches[key] = Search(model, self.deadline)
            self.columns += len(model.columns)
        return self.searches[key]

    def found(self) -> Reached:
        """The cheapest such order below `most_minor`, or that there is none; bounds hold in any case."""
        bound_minor, sure = self.apart.least_minor, self.exact and self.whole
        unknown = Reached(None, bound_minor)
        while True:
            joint = self.model(self.apart.shared)
            if not come_to(joint, self.value_minor, self.most_minor):
                return unknown
            outcome = solve(joint.model, MOST_EFFORT, self.left())
            if outcome.status == "impossible":
                return Reached(None, self.most_minor + 1 if sure else bound_minor)
            if sure:
                bound_minor = max(bound_minor, outcome.bound // joint.scale)
            if outcome.status == "unknown":
                return Reached(None, bound_minor)
            placed = self.placed(joint, outcome.values)
            if placed is not None and self._none_idle(joint, outcome.values, placed):
                proved = sure and outcome.status == "optimal"
                order = self.answer(joint, outcome.values, placed, bound_minor, proved=proved)
                return Reached(order, order.bound_minor or 0)
            sure = sure and placed is None  # what leaves out an idle part may leave out more
            if self.late():
                return Reached(None, bound_minor)

    def _none_idle(self, joint: OrderModel, values: tuple[int, ...], placed: list[Solved]) -> bool:
        """Whether no loose part could be left out; else the units that had one are ruled out."""
        every = True
        for place, (block, solved) in enumerate(zip(self.blocks, placed, strict=True)):
            assert solved.build is not None
            ask = self.apart.asks[block.ask]
            if idle(solved.build, VALUE, ask, self.apart.book.catalog, self.rules) is not None:
                not_these(block.model, block.model.counts(joint.values_of(place, values)))
                every = False
        return every


def come_to(joint: OrderModel, value_minor: int, most_minor: int) -> bool:
    """Only orders that come to so much at list prices, and cost no more; whether sums stay safe."""
    terms = list(_values(joint).items())
    reach = sum(price * joint.model.bounds[var][1] for var, price in terms)
    if reach >= SUM_LIMIT:
        return False
    joint.model.row(terms, value_minor, max(reach, value_minor))
    joint.model.row(list(joint.prices.items()), 0, most_minor)
    for packs in joint.packs.values():
        _no_more_packs(joint, packs)
    for shelf in joint.shelves:
        _no_more_spares(joint, shelf)
    return True


def _values(joint: OrderModel) -> dict[int, int]:
    """What each variable orders, at list prices."""
    catalog, found = joint.book.catalog, dict[int, int]()

    def add(var: int, part: str, count: int) -> None:
        found[var] = found.get(var, 0) + (catalog.list_minor(part) or 0) * count

    for at, block in zip(joint.at, joint.blocks, strict=True):
        for var, bought in block.model.buys.items():
            for part, count in bought.items():
                if part not in joint.packs:
                    add(at + var, part, count * block.weight)
    for (_, _, part), var in joint.spares.items():
        if part not in joint.packs:
            add(var, part, 1)
    for part, packs in joint.packs.items():
        add(packs.packs, part, packs.size)
    return {var: price for var, price in found.items() if price}


def _no_more_packs(joint: OrderModel, one: Packs) -> None:
    """No more packs than hold what is taken, and than make up the least quantity."""
    model, most = joint.model, joint.model.bounds[one.packs][1] * one.size
    fewer = [(var, -count) for var, count in one.taken]
    model.at_least([*one.taken, (one.some, -1)], 0)
    model.at_most([(one.packs, one.size), (one.some, -most)], 0)
    if one.least == 1:
        model.at_most([(one.packs, one.size), *fewer], one.size - 1)
        return
    beyond = model.variable(0, 1)  # more is taken than the least quantity
    model.at_most([(one.packs, one.size), *fewer, (beyond, most)], one.size - 1 + most)
    model.at_most([(one.packs, one.size), (beyond, -most)], -(-one.least // one.size) * one.size)


def _no_more_spares(joint: OrderModel, one: Shelf) -> None:
    """None of the cold spares could be left out."""
    model, need = joint.model, one.need
    most = max(need.count, -(-one.most * need.percent // 100))
    wanted, by_count, some = model.variable(0, most), model.variable(0, 1), model.variable(0, 1)
    model.at_least([*one.in_use, (some, -1)], 0)
    model.at_most([(wanted, 1), (some, -need.count), (by_count, most)], most)
    used = [(var, -need.percent * count) for var, count in one.in_use]
    model.at_most([(wanted, 100), *used, (by_count, -100 * most)], 99)
    for holder, held in one.bought:
        here, top = model.variable(0, 1), model.bounds[holder][1]
        every = sum(each * model.bounds[var][1] for var, each in one.bought)
        model.at_most([(holder, 1), (here, -top)], 0)
        model.at_most([*one.bought, (wanted, -1), (here, every)], held - 1 + every)


def most_units(found: SolvedOrder, places: Iterable[int]) -> dict[int, int]:
    """The most units that any copy of each stack has."""
    return {
        place: max(len(one.build.units) for _, one in found.stacks[place] if one.build is not None) for place in places
    }
