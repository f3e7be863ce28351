"""The model of one stack whose objective is what it costs over the years.

Columns of one drawing (curve, own watts, room) share variables: at each level the watts spread over
them, stretch by stretch.  Curves only get steeper, so the least cost fills the flattest first, and the
rows are plain sums.  Costs are exact fractions; the objective has them times a factor, each rounded
down, so its optimum never exceeds what the cheapest build costs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from configurator.book import Book
from configurator.build import BuiltUnit, PortUse
from configurator.catalog import Catalog
from configurator.engine.columns import Column
from configurator.engine.layouts import stack_ports
from configurator.engine.model import Counts, StackModel
from configurator.engine.solver import OBJECTIVE_LIMIT, SUM_LIMIT
from configurator.fitout import Fitout
from configurator.kinds import Kind, Plug
from configurator.life.cost import AtLevel, energy_of
from configurator.life.spreading import Drawing, alike, asked_of, drawing_of_fitout, mains_w
from configurator.life.terms import Level, Terms
from configurator.parts import Cable, Optic
from configurator.rule import COMMON_PRACTICE, Row, Rule
from configurator.setting import Ask

NEVER_REACHED = 2**39
FINE_ENOUGH = 1000  # the objective is off by no more than one of so many minor units, where limits allow
NO_CHANGE = Fraction(0)


class Told:
    """Numbers for drawings, so that a row can keep apart fit-outs that draw differently."""

    def __init__(self, book: Book, ask: Ask) -> None:
        self.book = book
        self.ask = ask
        self._drawings: dict[tuple[object, ...], Drawing] = {}
        self._numbers: dict[Drawing, int] = {}

    def drawing(self, fitout: Fitout) -> Drawing:
        """What a fit-out draws."""
        stacked = () if fitout.stack is None else (id(fitout.stack[1]),)
        splits = tuple((some.split.parts, some.count) for some in fitout.ports if some.split is not None)
        supplies, modules = (s.id for s in fitout.supplies), (m.id for _, m in fitout.modules)
        key = (fitout.unit_type.id, tuple(sorted(supplies)), tuple(sorted(modules)), stacked, splits)
        if key not in self._drawings:
            ports = stack_ports(self.book, fitout.unit_type)
            self._drawings[key] = drawing_of_fitout(fitout, ports, self.ask, self.book.catalog)
        return self._drawings[key]

    def number(self, fitout: Fitout) -> int:
        """The number of what a fit-out draws."""
        return self._numbers.setdefault(self.drawing(fitout), len(self._numbers) + 1)


def apart(ask: Ask, catalog: Catalog, rules: tuple[Rule, ...]) -> tuple[Rule, Told]:
    """A rule that refuses nothing, and keeps fit-outs apart that draw differently, however cheap.

    For the one of its rows more is better, for the other less.
    """
    told = Told(Book(rules, catalog), ask)
    rows = (Row("<=", NEVER_REACHED, fitouts=told.number), Row(">=", 0, fitouts=told.number))
    rule = Rule(
        id="life.apart",
        family="power",
        sentence="What a unit draws is told apart.",
        source=COMMON_PRACTICE,
        limits=lambda *_: rows,
    )
    return rule, told


@dataclass(frozen=True)
class Signature:
    """What energy depends on: how many units of each drawing, and tenths of a watt plugged in."""

    units: tuple[int, ...]
    plugged_dw: int


class LifeModel(StackModel):
    """A stack's model; its prices are those of a catalog with renewals."""

    def __init__(self, book: Book, ask: Ask, terms: Terms, told: Told) -> None:
        self.terms = terms
        self.told = told
        self.costs: dict[int, Fraction] = {}  # variable -> in the minor unit
        self.factor = 1
        super().__init__(book, ask)

    def _objective(self) -> None:
        self.costs = {var: Fraction(price) for var, price in self.prices.items()}
        fed_w = [self._fed_w(kind) for kind in self.kinds]
        self.plugged_dw = [_plugged_dw(offer.plug) for offer in self.offers.offers]
        self.fed_w = [fed_w[offer.kind] for offer in self.offers.offers]
        every = [self._most_w(level) for level in self.terms.levels]
        most_w = max(every)
        self.drawings: dict[Drawing, list[int]] = {}
        for var, column in zip(self.n, self.columns, strict=True):
            self.drawings.setdefault(self._drawing(column, most_w), []).append(var)
        for level, spread_w in zip(self.terms.levels, every, strict=True):
            self._level(level, spread_w)
        self.factor = self._factor()
        self.scale = self.factor
        weights = {var: floor(cost * self.factor) for var, cost in self.costs.items()}
        self.model.objective = {var: weight for var, weight in weights.items() if weight}

    def _drawing(self, column: Column, most_w: Fraction) -> Drawing:
        return alike(self.told.drawing(column.fitout), most_w)

    def _fed_w(self, kind: Kind) -> Fraction:
        """What one device of a kind is fed."""
        unit_type, *_ = self.book.catalog.unit_types
        use = PortUse(group="-", port=1, statement=kind.statement, speed_mbps=1, powered=kind.powered)
        unit = BuiltUnit(position=1, unit_type=unit_type, box="-", uses=(use,))
        return asked_of((unit,), self.ask, self.book.catalog)[1]

    def _spread_w(self, level: Level) -> list[Fraction]:
        """What serving one through each offer adds to what is spread at a level."""
        pairs = zip(self.plugged_dw, self.fed_w, strict=True)
        return [Fraction(dw, 10) + fed_w * level.draw_percent / 100 for dw, fed_w in pairs]

    def _most_w(self, level: Level) -> Fraction:
        spread, most = self._spread_w(level), [Fraction(0)] * len(self.kinds)
        for offer, each in zip(self.offers.offers, spread, strict=True):
            most[offer.kind] = max(most[offer.kind], each)
        return sum((each * kind.count for each, kind in zip(most, self.kinds, strict=True)), Fraction(0))

    def _level(self, level: Level, most_w: Fraction) -> None:
        """Costs of one level: what units draw themselves, and what is spread over them."""
        each = self.terms.minor_per_w(level)
        heated = each * (1 + self.terms.cooling)
        for drawing, members in self.drawings.items():
            own = heated * drawing.curve.mains_w(drawing.own_w)
            for var in members:
                self._add(var, own)
        for var, fed_w in zip(self.q, self.fed_w, strict=True):  # what leaves the room needs no cooling
            self._add(var, -each * self.terms.cooling * fed_w * level.draw_percent / 100)
        if most_w:
            self._spread(self._spread_w(level), most_w, heated)

    def _spread(self, spread: list[Fraction], most_w: Fraction, each: Fraction) -> None:
        stretches = [
            (members, slope, width_w)
            for drawing, members in self.drawings.items()
            for slope, width_w in drawing.curve.above(drawing.own_w, drawing.room_w)
        ]
        step_w = largest_step([*spread, *(width_w for _, _, width_w in stretches)])
        terms = [(var, -int(amount_w / step_w)) for var, amount_w in zip(self.q, spread, strict=True)]
        for members, slope, width_w in stretches:
            taken = self.model.variable(0, int(min(width_w * self.most, most_w) / step_w))
            self.model.at_most([(taken, 1), *((var, -int(width_w / step_w)) for var in members)], 0)
            self._add(taken, each * slope * step_w)
            terms.append((taken, 1))
        self.model.row(terms, 0, 0)

    def _add(self, var: int, cost: Fraction) -> None:
        self.costs[var] = self.costs.get(var, NO_CHANGE) + cost

    def _factor(self) -> int:
        """As fine as is enough, and as the solver's limits allow."""
        bounds = self.model.bounds
        reach = ceil(sum((abs(cost) * bounds[var][1] for var, cost in self.costs.items()), Fraction(1)))
        enough = FINE_ENOUGH * (1 + sum(bounds[var][1] for var, cost in self.costs.items() if cost.denominator > 1))
        return max(1, min(enough, SUM_LIMIT // reach, OBJECTIVE_LIMIT // self._highest()))

    def _highest(self) -> int:
        """No build of this model costs more than this."""
        of_units = max((self.costs[var] for var in self.n), default=NO_CHANGE) * self.most
        spread = sum((self._most_w(level) * self.terms.minor_per_w(level) for level in self.terms.levels), NO_CHANGE)
        steepest = max((one.slope for d in self.drawings for one in d.curve.stretches), default=Fraction(1))
        return self._highest_price() + ceil(of_units + spread * (1 + self.terms.cooling) * steepest)

    # --- solutions -------------------------------------------------------------------------------

    def objective_of(self, values: Sequence[int]) -> int:
        """What the objective comes to."""
        return sum(weight * values[var] for var, weight in self.model.objective.items())

    def least(self, values: Sequence[int]) -> Fraction:
        """What the objective proves, in the minor unit, where these values are its optimum."""
        return Fraction(self.objective_of(values), self.factor)

    def exact(self, counts: Counts) -> Fraction:
        """What a solution costs over the years, in the minor unit."""
        one = self.signature(counts)
        units = [drawing for drawing, n in zip(self.drawings, one.units, strict=True) for _ in range(n)]
        plugged_w = Fraction(one.plugged_dw, 10)
        fed_w = sum((n * each for n, each in zip(counts.served, self.fed_w, strict=True)), Fraction(0))
        levels = []
        for level in self.terms.levels:
            part_w = fed_w * level.draw_percent / 100
            levels.append(AtLevel(level, part_w, mains_w(units, plugged_w + part_w)))
        return counts.price_minor + sum(energy_of(self.terms, tuple(levels)), Fraction(0))

    def signature(self, counts: Counts) -> Signature:
        """What the energy of a solution depends on."""
        place = {var: index for index, var in enumerate(self.n)}
        units = tuple(sum(counts.columns[place[var]] for var in members) for members in self.drawings.values())
        return Signature(units, sum(n * dw for n, dw in zip(counts.served, self.plugged_dw, strict=True)))

    def rule_out(self, one: Signature) -> None:
        """No solution that draws like this: of those the cheapest is known."""
        ways = []
        counted = zip(self.drawings.values(), one.units, strict=True)
        wholes = [([(var, 1) for var in members], n) for members, n in counted]
        plugged = zip(self.q, self.plugged_dw, strict=True)
        wholes.append(([(var, dw) for var, dw in plugged if dw], one.plugged_dw))
        for terms, amount in wholes:
            if terms:
                more, less = self.model.variable(0, 1), self.model.variable(0, 1)
                self.model.at_least(terms, amount + 1, (more,))
                self.model.at_most(terms, amount - 1, (less,))
                ways += [(more, 1), (less, 1)]
        self.model.at_least(ways, 1)


def _plugged_dw(plug: Plug | None) -> int:
    """Tenths of a watt that something in a port draws; what splits one is the unit's own."""
    return int(plug.draw_w * 10) if isinstance(plug, Optic | Cable) else 0


def largest_step(amounts: Iterable[Fraction]) -> Fraction:
    """The largest step of which all these are whole numbers."""
    every = list(amounts)
    fine = lcm(*(amount.denominator for amount in every))
    return Fraction(gcd(*(int(amount * fine) for amount in every)), fine)
