"""The price frontier of one stack: only builds that no other beats, each proved.

None costs no more and measures better.  It is walked from the cheapest price up: of the builds that
cost the least the one that measures best, then the cheapest that measures better than that, and so on
until no build does.  Years of support are not a count: each term that is sold is asked for in turn.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.choices.measures import Measure, counted, support_months
from configurator.engine.construct import construct
from configurator.engine.model import StackModel
from configurator.engine.reasons import reasons_of
from configurator.engine.search import Search, solve_stack
from configurator.engine.solver import FAR, OBJECTIVE_LIMIT, SUM_LIMIT
from configurator.reasoning.checked import check
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved

YEAR = 12  # months


@dataclass(frozen=True)
class Point:
    """A build that no other beats, and what it measures."""

    value: int
    solved: Solved
    ask: Ask  # as it was asked for this point


@dataclass(frozen=True)
class Frontier:
    """All of them by price, or the first of them."""

    points: tuple[Point, ...]
    cut_off: bool  # there are more, dearer ones
    proved: bool  # time did not run out


def walked(
    ask: Ask,
    measure: Measure,
    most: int,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    time_limit_s: float | None = None,
) -> Frontier:
    """The first `most` points against a measure that units add up to."""
    deadline = None if time_limit_s is None else time.monotonic() + time_limit_s
    walk = _Walk(ask, measure, catalog, rules, deadline)
    points: list[Point] = []
    while True:
        status, found = walk.further()
        if found is None or found.build is None:
            return Frontier(tuple(points), cut_off=False, proved=status == "impossible")
        if len(points) == most:
            return Frontier(tuple(points), cut_off=True, proved=True)
        check(found.build, found, ask, catalog, rules)
        points.append(Point(walk.value, found, ask))


class _Walk:
    """One model, with a row for the measure, and the measure in its objective behind the price.

    Where prices leave no room for that, the price is found first, then held by a row of its own.
    """

    def __init__(
        self, ask: Ask, measure: Measure, catalog: Catalog, rules: tuple[Rule, ...], deadline: float | None
    ) -> None:
        rule = counted(measure)
        model = self.model = StackModel(Book((*rules, rule), catalog), ask)
        self.search = Search(model, deadline)
        terms = model.row_terms(model.row_rules.index(rule.id))
        self.sign = 1 if measure.more_is_better else -1
        self.terms = [(var, self.sign * count) for var, count in terms if count]
        self.value = 0
        model.model.at_least(self.terms, -FAR)
        self.better = model.model.rows[-1]
        self.reach = self._reach()
        self.price = dict(model.model.objective)
        every_minor = sum(price * model.model.bounds[var][1] for var, price in model.prices.items())
        self.at_once = every_minor * self.reach * (model.most + 1) < OBJECTIVE_LIMIT
        model.model.row(list(model.prices.items()), 0, SUM_LIMIT)
        self.costs = model.model.rows[-1]
        if self.at_once:
            model.model.rows.pop()

    def _reach(self) -> int:
        """More than the measures of two builds can differ by: with as many units as may be, of the best and worst."""
        model, of = self.model, dict(self.terms)
        units = [of.get(var, 0) for var in model.n] or [0]
        offered = zip(model.offers.offers, model.q, strict=True)
        served = sum(abs(of.get(var, 0)) * model.kinds[offer.kind].count for offer, var in offered)
        return model.most * (max(0, *units) - min(0, *units)) + served + 1

    def further(self) -> tuple[str, Solved | None]:
        """Of the cheapest builds that measure better than the last one found, one that measures best."""
        model = self.model
        if self.at_once:  # price, then the measure, then fewer units, in one number
            model.scale = self.reach * (model.most + 1)
            model.model.objective = self._measured({var: minor * model.scale for var, minor in model.prices.items()})
            return self._run()
        self.costs.hi, model.model.objective = SUM_LIMIT, self.price
        status, counts, *_ = self.search.run()
        if status != "optimal" or counts is None:
            return status, None
        self.costs.hi, model.model.objective = counts.price_minor, self._measured({})
        return self._run()

    def _measured(self, objective: dict[int, int]) -> dict[int, int]:
        """And behind it the measure, then fewer units."""
        for var, count in self.terms:
            objective[var] = objective.get(var, 0) - count * (self.model.most + 1)
        for var in self.model.n:
            objective[var] = objective.get(var, 0) + 1
        return {var: weight for var, weight in objective.items() if weight}

    def _run(self) -> tuple[str, Solved | None]:
        status, counts, values, placed, _ = self.search.run()
        if status != "optimal" or counts is None:
            return status, None
        found = sum(count * values[var] for var, count in self.terms)
        self.value = self.sign * found
        self.better.lo = found + 1
        build = construct(self.model, counts, values, placed)
        return status, Solved(
            "cheapest",
            counts.price_minor,
            counts.price_minor,
            build,
            reasons_of(self.model, counts, build),
            counters=self.search.counters,
        )


# --- years of support ---------------------------------------------------------------------------------------


def by_support(
    ask: Ask, here: Solved, most: int, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None
) -> Frontier:
    """The first `most` points against months of support, `here` being the cheapest build of what is asked."""
    found, proved = [_supported(here, ask, catalog)], here.status == "cheapest"
    for months in _terms_sold(ask, catalog):
        setting = replace(ask.setting, support_months=months)
        longer = replace(ask, setting=setting, stack=ask.stack.model_copy(update={"support_months": months}))
        one = solve_stack(longer, catalog, rules, time_limit_s, explain=False)
        proved = proved and one.status in ("cheapest", "cannot be met")
        if one.build is not None:
            check(one.build, one, longer, catalog, rules)
            found.append(_supported(one, longer, catalog))
    kept = sorted(_undominated(found), key=lambda point: point.solved.price_minor or 0)
    return Frontier(tuple(kept[:most]), len(kept) > most, proved)


def _supported(solved: Solved, ask: Ask, catalog: Catalog) -> Point:
    assert solved.build is not None
    return Point(support_months(solved.build, catalog), solved, ask)


def _terms_sold(ask: Ask, catalog: Catalog) -> list[int]:
    """Terms that are longer than what is asked, if it is; none where all support has to end on one day.

    A contract by the month is sold for whole years here, and for as long as it can run.
    """
    if ask.setting.support_until is not None:
        return []
    terms: set[int] = set()
    for contract in catalog.parts.support:
        if not contract.covers_parts:
            terms.add(contract.term_months)
            if contract.by_month:
                terms.update(range(YEAR, contract.term_months, YEAR))
    return sorted(term for term in terms if term > (ask.setting.support_months or 0))


def _undominated(points: list[Point]) -> Iterator[Point]:
    """Each once: the first of those that cost and measure the same."""
    seen: set[tuple[int, int]] = set()
    for point in points:
        here = (point.solved.price_minor or 0, point.value)
        beaten = any(
            (price := other.solved.price_minor or 0) <= here[0]
            and other.value >= here[1]
            and (price, other.value) != here
            for other in points
        )
        if not beaten and here not in seen:
            seen.add(here)
            yield point
