"""The cheapest build to own of one stack, proved, beside the cheapest to buy.

The objective's optimum is a lower bound of what any build costs over the years, and the build found
costs no less, exactly.  Where the two come to different amounts once they are rounded, builds that
draw like the one found are ruled out, of which it is the cheapest, and the rest is searched again.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from fractions import Fraction

from configurator import bill
from configurator.book import Book
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.engine.construct import construct
from configurator.engine.reasons import reasons_of
from configurator.engine.search import Search, solve_stack
from configurator.life.cost import Cost, cost_of
from configurator.life.model import LifeModel, apart
from configurator.life.present_value import half_up
from configurator.life.renewals import renewed_minor, with_renewals
from configurator.life.terms import Terms
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved

MOST_ROUNDS = 40  # of ruling out builds that cost the same to within what the objective can tell


@dataclass(frozen=True)
class Owned:
    """One stack, bought most cheaply and owned most cheaply."""

    bought: Solved
    owned: Solved  # its price and bound are those of buying it; none cheaper to own: the same as bought
    bound_minor: int | None  # no valid build costs less over the years; none: no build
    exact: Fraction = Fraction(0)  # what the build costs over the years, in the minor unit
    least: Fraction = Fraction(0)  # no valid build costs less, exact
    optimum: int | None = None  # of the model's objective, as it is before anything is ruled out; none: not known


class Unlike(Exception):
    """The model's cost of a build is not what the build costs: the tool's own fault."""


def solve_for_life(
    ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], terms: Terms, time_limit_s: float | None = None
) -> Owned:
    """The cheapest build to buy of a stack, and the cheapest to own."""
    bought = solve_stack(ask, catalog, rules, time_limit_s)
    if bought.build is None:
        return Owned(bought, bought, None)
    return _Search(ask, catalog, rules, terms, time_limit_s).run(bought)


def life_model(ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], terms: Terms) -> LifeModel:
    """The model of what a stack costs over the years."""
    priced = with_renewals(catalog, renewed_minor(ask, terms, catalog))
    rule, told = apart(ask, priced, rules)
    return LifeModel(Book((*rules, rule), priced), ask, terms, told)


class _Search:
    def __init__(
        self, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], terms: Terms, time_limit_s: float | None
    ) -> None:
        deadline = None if time_limit_s is None else time.monotonic() + time_limit_s
        self.ask, self.catalog, self.terms = ask, catalog, terms
        self.model = life_model(ask, catalog, rules, terms)
        self.search = Search(self.model, deadline)

    def run(self, bought: Solved) -> Owned:
        """Solve, and settle what the objective can't tell apart."""
        assert bought.build is not None
        best, cost = bought, self._cost(bought.build)
        bound = Fraction(0)  # of the builds that were ruled out the cheapest is known
        optimum = None
        for place in range(MOST_ROUNDS):
            status, counts, values, placed, whole_minor = self.search.run()
            if place == 0 and status == "optimal":
                optimum = self.model.objective_of(values)
            if status == "impossible":
                bound = cost.exact
                break
            bound = min(cost.exact, self.model.least(values) if status == "optimal" else Fraction(whole_minor))
            if counts is None or half_up(bound) == cost.total_minor:
                break
            build = construct(self.model, counts, values, placed)
            found = self._cost(build)
            if found.exact != self.model.exact(counts):
                raise Unlike(f"{self.ask.stack.name}: {found.exact} is not {self.model.exact(counts)}")
            if found.exact < cost.exact:
                reasons = reasons_of(self.model, counts, build)
                price_minor = bill.total_minor(bill.lines(bill.bought(build), self.catalog))
                best, cost = replace(bought, price_minor=price_minor, build=build, reasons=reasons), found
            if status != "optimal" or half_up(bound) == cost.total_minor:
                break
            self.model.rule_out(self.model.signature(counts))
        bound_minor = min(half_up(bound), cost.total_minor)
        proved = bound_minor == cost.total_minor
        counters = self.search.counters if best is not bought else bought.counters
        owned = replace(best, status="cheapest" if proved else "best found", counters=counters)
        return Owned(bought, owned, bound_minor, cost.exact, min(bound, cost.exact), optimum)

    def _cost(self, build: Build) -> Cost:
        return cost_of(build, self.ask, self.catalog, self.terms)
