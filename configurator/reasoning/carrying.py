"""What the very units of a build could carry besides: the demand grows, the units stay."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.engine.columns import Maker
from configurator.engine.fitouts import Priced
from configurator.engine.model import Counts, StackModel
from configurator.engine.offers import Offers
from configurator.engine.solver import IntegerModel, solve
from configurator.kinds import Kind, kinds_of, said_by
from configurator.rule import Budget, Row
from configurator.setting import Ask

MOST = 10_000  # that a statement may ask for
PORTS = "ports"
Said = AccessPorts | Devices | Uplinks
Places = dict[tuple[int, int, int], int]  # unit, slice of its ports, offer -> variable: devices there


@dataclass(frozen=True)
class Carried:
    """The largest count of one statement that the units still carry, all else being as it is."""

    statement: str
    asked: int
    most: int
    no_port: bool  # one more would fit if there were more ports like these
    rules: tuple[str, ...]  # one more would fit if this one did not limit these units


def carried(model: StackModel, counts: Counts) -> Iterator[Carried]:
    """For each statement that is served; a count is the one stated, head-room comes on top."""
    units = [
        column.stacked(counts.arrangement.mode)
        for column, count in zip(model.columns, counts.columns, strict=True)
        for _ in range(count)
    ]
    for key, said in said_by(model.ask):

        def fit(count: int, *without: str, key: str = key, said: Said = said) -> bool:
            return _Crowd(model, counts, units, _asking(model.ask, key, said, count)).fits(without)

        most, too_many = said.count, said.count + 1
        while too_many <= MOST and fit(too_many):
            most, too_many = too_many, too_many * 2
        too_many = min(too_many, MOST + 1)
        while most + 1 < too_many:
            middle = (most + too_many) // 2
            most, too_many = (middle, too_many) if fit(middle) else (most, middle)
        limiting = [name for name in (PORTS, *_limiting(model)) if most < MOST and fit(most + 1, name)]
        rules = tuple(name for name in limiting if name != PORTS)
        yield Carried(key, said.count, most, PORTS in limiting, rules)


def _limiting(model: StackModel) -> list[str]:
    """Rules with a budget of units, or with a limit on counts."""
    with_budget = [rule.id for rule in model.book.rules if rule.budgets]
    with_limit = [rule for rule, row in model.book.limits(model.ask) if row.sense == "<=" or row.fitouts]
    return list(dict.fromkeys((*with_budget, *with_limit)))


def _asking(ask: Ask, key: str, said: Said, count: int) -> Ask:
    """The demand with another count of one statement."""
    name, _, index = key.removesuffix("]").partition("[")
    every = list(getattr(ask.stack, name))
    every[int(index)] = said.model_copy(update={"count": count})
    return replace(ask, stack=ask.stack.model_copy(update={name: tuple(every)}))


class _Crowd:
    """What a demand wants served, to be put on units that are there."""

    def __init__(self, model: StackModel, counts: Counts, units: list[Priced], ask: Ask) -> None:
        self.book, self.agreed, self.units = model.book, counts.agreed, units
        self.setting = replace(ask.setting, agreed=tuple(counts.agreed.items()))
        self.ask = replace(ask, setting=self.setting)
        self.kinds = kinds_of(ask)
        self.offers = Offers(model.book, self.kinds, self.setting, model.pool)
        self.maker = Maker(model.book, self.offers, self.setting, [], model.priced)

    def fits(self, without: tuple[str, ...]) -> bool:
        """Whether every device finds a port, with watts, and the limits on counts hold; `without` some limits."""
        space = IntegerModel()
        places: Places = {}
        for u, one in enumerate(self.units):
            for s, (count, mask) in enumerate(self.maker.of_use(one.shape)):
                most = MOST if PORTS in without else count
                here = {(u, s, bit): space.variable(0, most) for bit in self.offers.bits(mask)}
                space.at_most([(var, 1) for var in here.values()], most)
                places.update(here)
        for rule in self.book.rules:
            if rule.id not in without:
                for budget in rule.budgets:
                    self._budget(space, places, budget)
        for index, kind in enumerate(self.kinds):
            self._served(space, places, index, kind)
        for name, row in self.book.limits(self.ask):
            if name not in without and self._holds_here(row):
                self._limit(space, places, row)
        return solve(space).status == "optimal"

    def _budget(self, space: IntegerModel, places: Places, budget: Budget) -> None:
        """What each unit has of it."""
        catalog = self.book.catalog
        draws = [
            budget.draws(self.kinds[offer.kind], offer.plug, self.setting, catalog) for offer in self.offers.offers
        ]
        for u, one in enumerate(self.units):
            gives = budget.gives(one.power, self.setting, catalog)
            if gives is not None:
                left = gives - budget.takes(one.shape.fitout, self.setting, catalog)
                space.at_most([(var, draws[bit]) for (v, _, bit), var in places.items() if v == u], left)

    def _served(self, space: IntegerModel, places: Places, index: int, kind: Kind) -> None:
        """All of a kind, on as many units as it is to be spread over."""
        mine = {place: var for place, var in places.items() if self.offers.offers[place[2]].kind == index}
        space.row([(var, 1) for var in mine.values()], kind.count, kind.count)
        least = self.book.spread(kind)
        if least > 1:
            reached = []
            for u in range(len(self.units)):
                there = space.variable(0, 1)
                space.at_least([*((var, 1) for (v, _, _), var in mine.items() if v == u), (there, -1)], 0)
                reached.append((there, 1))
            space.at_least(reached, least)

    def _holds_here(self, row: Row) -> bool:
        """Whether a limit is one of these units."""
        if row.agreed is not None and self.agreed.get(row.agreed[0]) != row.agreed[1]:
            return False
        return row.only_if is None or any(row.only_if(one.fitout) for one in self.units)

    def _limit(self, space: IntegerModel, places: Places, row: Row) -> None:
        """A limit on counts, with the units as they are."""
        terms = []
        for (_, _, bit), var in places.items():
            offer = self.offers.offers[bit]
            weight = row.kinds(self.kinds[offer.kind]) if row.kinds else 0
            terms.append((var, weight + (row.plugs(offer.plug) if row.plugs else 0)))
        rest = row.bound - (sum(row.fitouts(one.fitout) for one in self.units) if row.fitouts else 0)
        if row.sense == "<=":
            space.at_most(terms, rest)
        else:
            space.at_least(terms, rest)
