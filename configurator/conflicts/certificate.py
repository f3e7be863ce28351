"""The proof that no whole units carry what a conflict asks for: figures that anyone can recompute.

A *weighing* gives each kind a weight; what is asked then has a sum, and every unit a most that it
carries.  Each choice of whole units that may stand together carries too little by one of the weighings.
Found by walking all choices, those together that fall short whatever is added to them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import gcd

from configurator.engine.cuts import Knapsack
from configurator.engine.model import StackModel, Together
from configurator.solved import Carries, Proof, Sum, Weighed

MOST_KINDS = 6  # of which every set is weighed
MOST_STEPS = 20_000  # of walking through choices of units


@dataclass(frozen=True)
class Weighing:
    """Weights of kinds, what is asked weighed with them, and the most that each column carries."""

    weights: tuple[int, ...]  # of each kind
    asked: int
    carried: tuple[int, ...]  # of each column
    budget: int | None = None  # weights are what devices draw of it, in `step`s; none: they count devices
    step: int = 1
    shared_out: bool = True  # off: what a column has left of the budget, however it would be shared out

    @property
    def kinds(self) -> tuple[int, ...]:
        """The kinds that are weighed."""
        return tuple(index for index, weight in enumerate(self.weights) if weight)


@dataclass(frozen=True)
class Way:
    """One way to stack: the most that whole units of it carry under a weighing."""

    together: Together
    units: int  # how many at most
    each: int  # the most that one carries
    column: int | None  # … and which; none: no unit stacks so


@dataclass(frozen=True)
class Certificate:
    """Why no whole units carry what is asked."""

    weighings: tuple[Weighing, ...]
    steps: int  # groups of choices that fall short; 1 for each way to stack where one sum proves it
    limits: tuple[int, ...] = ()  # rows of rules that keep units out, by index in the model


@dataclass(frozen=True)
class _Limit:
    """A rule's row on units: at most so much of something, once what is asked has taken its share."""

    index: int
    amounts: tuple[int, ...]  # of each column
    bound: int
    members: tuple[bool, ...] | None  # it holds where one of these is there; none: always
    agreed: tuple[str, str] | None


def certify(model: StackModel) -> Certificate | None:
    """A proof with as few figures as can be: one sum for every way to stack; one sum; several."""
    for index, row in enumerate(model.rule_rows):
        if row.sense == "<=" and row.fitouts is None and taken(model, index) > row.bound:
            return Certificate((), 0, (index,))
    every = list(_weighings(model))
    limits = _limits(model)
    for weighing in every:
        if all(way.units * way.each < weighing.asked for way in ways(model, weighing)):
            return Certificate((weighing,), len(ways(model, weighing)))
    for some in [*([weighing] for weighing in every), every]:
        walk = _Walk(model, some, limits)
        if walk.falls_short():
            return Certificate(
                tuple(some[place] for place in sorted(walk.used)), walk.steps, tuple(sorted(walk.kept_out))
            )
    return None


def ways(model: StackModel, weighing: Weighing) -> list[Way]:
    """For each way to stack how many units there may be, and the most that one of them carries."""
    out = []
    for together in model.togethers():
        able = [i for i, column in enumerate(model.columns) if model.suits(column, together)]
        best = max(able, key=lambda i: (weighing.carried[i], -i), default=None)
        each = 0 if best is None else weighing.carried[best]
        out.append(Way(together, model.most_units(together), each, best))
    return out


def proof_of(model: StackModel, certificate: Certificate) -> Proof:
    """A certificate by the names of things."""
    rules = tuple(dict.fromkeys(model.row_rules[index] for index in certificate.limits))
    return Proof(tuple(_sum(model, one) for one in certificate.weighings), certificate.steps, rules)


def _sum(model: StackModel, one: Weighing) -> Sum:
    weighed = tuple(
        Weighed(kind.statement, kind.powered, kind.count, weight)
        for kind, weight in zip(model.kinds, one.weights, strict=True)
        if weight
    )
    budget = None if one.budget is None else model.book.budgets[one.budget].name
    carries = tuple(_carries(model, way) for way in ways(model, one))
    return Sum(weighed, one.asked, carries, budget, one.step, one.shared_out)


def _carries(model: StackModel, way: Way) -> Carries:
    mode = way.together[1]
    families = () if mode is None else mode.families
    if way.column is None:
        return Carries(families, way.units, 0, None, (), ())
    fitout = model.columns[way.column].fitout
    supplies = tuple(supply.id for supply in fitout.supplies)
    return Carries(
        families, way.units, way.each, fitout.unit_type.id, supplies, tuple(module.id for _, module in fitout.modules)
    )


def _weighings(model: StackModel) -> Iterator[Weighing]:
    """Counts of some kinds, what they draw of a budget, and what placing has taught; few kinds first."""
    knapsack = Knapsack(model.capacity)
    numbers = range(len(model.kinds))
    if len(model.kinds) <= MOST_KINDS:
        sets = [some for size in range(1, len(model.kinds) + 1) for some in combinations(numbers, size)]
    else:
        sets = [*((index,) for index in numbers), tuple(numbers)]
    for some in sets:
        yield weighing(model, knapsack, tuple(int(index in some) for index in numbers))
        for budget in model.capacity.budgets:
            draws = tuple(_least_draw(model, index, budget) if index in some else 0 for index in numbers)
            step = gcd(*draws)
            if step and len(set(draws) - {0}) > 1:
                weights = tuple(draw // step for draw in draws)
                yield _left(model, weights, budget, step)
                yield weighing(model, knapsack, weights, budget, step)
    for by_offer, _ in model.capacity_rows:
        yield weighing(model, knapsack, tuple(_least(model, index, by_offer) for index in numbers))


def weighing(
    model: StackModel, knapsack: Knapsack, weights: tuple[int, ...], budget: int | None = None, step: int = 1
) -> Weighing:
    """What is asked, and what each column carries, with these weights."""
    by_offer = tuple(weights[offer.kind] for offer in model.offers.offers)
    values = [knapsack.value(slices, left, by_offer) for slices, left in model.capacity.shapes]
    asked = sum(weight * kind.count for weight, kind in zip(weights, model.kinds, strict=True))
    return Weighing(weights, asked, tuple(values[shape] for shape in model.capacity.shape_of), budget, step)


def _left(model: StackModel, weights: tuple[int, ...], budget: int, step: int) -> Weighing:
    """Draws against what each column has left of a budget, however it would be shared out."""
    asked = sum(weight * kind.count for weight, kind in zip(weights, model.kinds, strict=True))
    carried = tuple(column.priced.left[budget] // step for column in model.columns)
    return Weighing(weights, asked, carried, budget, step, shared_out=False)


def _least_draw(model: StackModel, kind: int, budget: int) -> int:
    return min((offer.draws[budget] for offer in model.offers.offers if offer.kind == kind), default=0)


def _least(model: StackModel, kind: int, by_offer: tuple[int, ...]) -> int:
    mine = [weight for weight, offer in zip(by_offer, model.offers.offers, strict=True) if offer.kind == kind]
    return min(mine, default=0)


def _limits(model: StackModel) -> list[_Limit]:
    """Rules' rows that bound units from above, less what is asked takes of them at least."""
    out = []
    for index, row in enumerate(model.rule_rows):
        if row.sense != "<=" or row.fitouts is None:
            continue
        amounts = tuple(row.fitouts(column.fitout) for column in model.columns)
        if min(amounts, default=0) < 0:
            continue  # another unit would make room
        bound = row.bound - taken(model, index)
        members = None if row.only_if is None else tuple(row.only_if(column.fitout) for column in model.columns)
        out.append(_Limit(index, amounts, bound, members, row.agreed))
    return out


def taken(model: StackModel, index: int) -> int:
    """What all that is asked takes at least of a rule's row, eased by what is set aside."""
    row = model.rule_rows[index]
    total = -row.eased
    for place, kind in enumerate(model.kinds):
        plugs = [offer.plug for offer in model.offers.offers if offer.kind == place] if row.plugs else []
        least = min((row.plugs(plug) for plug in plugs), default=0) if row.plugs else 0
        total += ((row.kinds(kind) if row.kinds else 0) + least) * kind.count
    return total


class _Walk:
    """All choices of whole units, those together that fall short whatever is added to them."""

    def __init__(self, model: StackModel, weighings: Sequence[Weighing], limits: Iterable[_Limit]) -> None:
        self.model = model
        self.weighings = weighings
        self.limits = list(limits)
        self.used: set[int] = set()  # weighings that proved something
        self.kept_out: set[int] = set()  # limits that kept units out
        self.steps = 0

    def falls_short(self) -> bool:
        """Whether every choice carries too little."""
        arranged = [(a.units, together) for _, a, together in self.model.arranged()]
        for together in self.model.togethers():
            for units in sorted({units for units, mine in arranged if mine == together}, reverse=True):
                if not self._short_of(together, units):
                    return False
        return True

    def _short_of(self, together: Together, units: int) -> bool:
        accord = self.model.accords[together[0]]
        self.here = [one for one in self.limits if one.agreed is None or accord.get(one.agreed[0]) == one.agreed[1]]
        self.able = [i for i, column in enumerate(self.model.columns) if self.model.suits(column, together)]
        return self._short(0, units, [0] * len(self.weighings), [0] * len(self.here), ())

    def _short(self, first: int, left: int, carried: list[int], used: list[int], chosen: tuple[int, ...]) -> bool:
        """Whether every choice that begins like this falls short; `first`: no earlier column is added."""
        rest = self.able[first:]
        for place, one in enumerate(self.weighings):
            most = max((one.carried[i] for i in rest), default=0) * left
            if carried[place] + most < one.asked:
                self.used.add(place)
                self.steps += 1
                return self.steps <= MOST_STEPS
        if not left:
            return self._kept_out(chosen, used)
        for offset, column in enumerate(rest):
            more = [amount + one.amounts[column] for amount, one in zip(used, self.here, strict=True)]
            over = next((o for o, a in zip(self.here, more, strict=True) if o.members is None and a > o.bound), None)
            if over is not None:
                self.kept_out.add(over.index)
                self.steps += 1
                continue
            heavier = [amount + one.carried[column] for amount, one in zip(carried, self.weighings, strict=True)]
            if not self._short(first + offset, left - 1, heavier, more, (*chosen, column)):
                return False
        return self.steps <= MOST_STEPS

    def _kept_out(self, chosen: tuple[int, ...], used: list[int]) -> bool:
        """Whether some limit forbids a choice that carries enough."""
        for amount, one in zip(used, self.here, strict=True):
            if amount > one.bound and (one.members is None or any(one.members[i] for i in chosen)):
                self.kept_out.add(one.index)
                self.steps += 1
                return True
        return False
