"""Stacks that packs, cold spares or a closet couple, as one order by what it costs over the years.

Each block is a stack's model of owning it, kept between its own optimum and that plus what the order
of the stacks by themselves costs more than all their optima.  What is ordered costs what it does
today, whole packs and spares among it; energy and renewals go with the blocks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from math import ceil, floor

from configurator import bill
from configurator.book import Book
from configurator.engine.exchange import NEVER
from configurator.engine.order import Apart, Together, price_minor, sameness
from configurator.engine.order_model import Block, OrderModel, Shared
from configurator.engine.search import Search
from configurator.engine.solver import OBJECTIVE_LIMIT, SUM_LIMIT, solve
from configurator.life.cost import cost_of
from configurator.life.model import LifeModel
from configurator.life.solving import Owned, life_model
from configurator.life.terms import Terms
from configurator.rule import Rule, SpareNeed
from configurator.solved import Solved, SolvedOrder

FAR = 2**62
ROUNDING = Fraction(1)  # a gap of less than one minor unit is rounding of the objective
Limits = dict[int, tuple[int, int]]  # of the objective of a stack's model, by the stack's place


class _Model(OrderModel):
    """All blocks, and what they cost later."""

    def __init__(
        self,
        book: Book,
        blocks: list[Block],
        spares: list[SpareNeed],
        shared: list[Shared],
        sold: Callable[[str], bool],
        limits: Limits,
    ) -> None:
        self.limits = limits
        self.later: dict[int, Fraction] = {}
        self.kits: list[int] = []
        super().__init__(book, blocks, spares, shared, sold)

    def _add(self, block: Block) -> None:
        super()._add(block)
        mine, at = block.model, self.at[-1]
        assert isinstance(mine, LifeModel)
        terms = [(at + var, weight) for var, weight in mine.model.objective.items()]
        self.model.row(terms, *self.limits[block.ask])
        for var, cost in mine.costs.items():
            today = sum((self.book.catalog.price_minor(p) or 0) * n for p, n in mine.buys.get(var, {}).items())
            if cost != today:
                self.later[at + var] = (cost - today) * block.weight
        packed = [part for part in mine.kits if part in self.book.packed() and self.book.catalog.by_id[part].contents]
        self.kits += [at + mine.kits[part] for part in packed]  # no stack takes what a pack leaves over

    def _objective(self) -> int:
        """Costs times a factor, each rounded down; then as few loose parts as will do."""
        bounds = self.model.bounds
        costs = {var: Fraction(price) for var, price in self.prices.items()}
        for var, cost in self.later.items():
            costs[var] = costs.get(var, Fraction(0)) + cost
        spare = self.spare = 1 + sum(bounds[var][1] for var in self.kits)
        reach = ceil(sum((abs(cost) * bounds[var][1] for var, cost in costs.items()), Fraction(1))) * spare
        highest = max(1, ceil(sum(self._most(block) for block in self.blocks))) * 2 * spare
        scale = max(1, min(SUM_LIMIT // reach, OBJECTIVE_LIMIT // highest))
        objective = {var: floor(cost * scale) * spare for var, cost in costs.items()}
        for var in self.kits:
            objective[var] = objective.get(var, 0) + 1
        self.model.objective = {var: weight for var, weight in objective.items() if weight}
        return scale * spare

    def proves(self, bound: int) -> Fraction:
        """What no order costs less than, where this is a bound of the objective."""
        return Fraction(bound // self.spare, self.scale // self.spare)

    def _most(self, block: Block) -> Fraction:
        """What a block's build costs at most over the years."""
        assert isinstance(block.model, LifeModel)
        most = min(self.limits[block.ask][1], OBJECTIVE_LIMIT)
        return Fraction(most * block.weight, block.model.factor)


class LifeTogether(Together):
    """All stacks in one model of what they cost over the years."""

    def __init__(
        self, apart: Apart, deadline: float | None, owned: list[Owned], rules: tuple[Rule, ...], terms: Terms
    ) -> None:
        self.owned, self.rules, self.terms = owned, rules, terms
        self.slack: Fraction | None = None
        super().__init__(apart, deadline)
        copies = {place: apart.asks[place].stack.copies for place in apart.met}
        self.least = sum((owned[place].least * n for place, n in copies.items()), Fraction(0))
        alone_minor = sum((owned[place].owned.price_minor or 0) * n for place, n in copies.items())
        if apart.valid and apart.price_minor is not None:
            exact = sum((owned[place].exact * n for place, n in copies.items()), Fraction(0))
            self.slack = exact + apart.price_minor - alone_minor - self.least
        self.blocks = [replace(one, least_minor=0, most_minor=NEVER) for one in self.blocks]
        self.limits = {block.ask: self._limits(block) for block in self.blocks}

    def search(self, place: int) -> Search:
        """The search of a stack, the same for stacks that ask for the same."""
        ask = self.apart.asks[place]
        key = sameness(ask)
        if key not in self.searches:
            model = life_model(ask, self.apart.book.catalog, self.rules, self.terms)
            self.searches[key] = Search(model, self.deadline)
        return self.searches[key]

    def _limits(self, block: Block) -> tuple[int, int]:
        assert isinstance(block.model, LifeModel)
        mine, factor = self.owned[block.ask], block.model.factor
        low = -FAR if mine.optimum is None else mine.optimum
        return low, FAR if self.slack is None else floor((mine.least + self.slack / block.weight) * factor)

    def model(self, shared: list[Shared]) -> _Model:
        """The model of all blocks as they are now."""
        apart = self.apart
        return _Model(apart.book, self.blocks, apart.spares, shared, apart.sold, self.limits)

    def owned_together(self) -> tuple[SolvedOrder, Fraction] | None:
        """The order, and what no order costs less than over the years; none where none was found in time."""
        while True:
            joint = self.model(self.apart.shared)
            outcome = solve(joint.model, seconds=self.left())
            if outcome.status not in ("optimal", "feasible"):
                return None
            placed = self.placed(joint, outcome.values)
            if placed is not None:
                todays = [self._at_todays(one) for one in placed]
                found = self.answer(joint, outcome.values, todays, self.apart.least_minor, proved=False)
                return found, max(joint.proves(outcome.bound), self.least) if self.exact else self.least
            if self.late():
                return None

    def _at_todays(self, one: Solved) -> Solved:
        """With the price of what is bought: the model's prices have renewals in them."""
        assert one.build is not None
        return replace(one, price_minor=bill.total_minor(bill.lines(bill.bought(one.build), self.apart.book.catalog)))

    def exact_cost(self, found: SolvedOrder) -> Fraction:
        """What an order costs over the years, in the minor unit."""
        assert found.order is not None
        catalog = self.apart.book.catalog
        total = Fraction(price_minor(found.order, catalog))
        for ask, some in zip(self.apart.asks, found.stacks, strict=True):
            for copies, one in some:
                if one.build is not None:
                    cost = cost_of(one.build, ask, catalog, self.terms)
                    total += (cost.exact - cost.purchase_minor) * copies
        return total
