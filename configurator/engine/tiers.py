"""The cheapest order under discounts that hold from some value of the whole order on, proved.

With thresholds T1 < T2 < …, an order of each tier is priced as if it had reached that tier's
threshold.  With more thresholds reached no part costs more, so the price of a higher tier's cheapest
order is a lower bound for every lower tier.  Where that order reaches its threshold by itself, it is
the cheapest of all tiers up to there.  Where it doesn't, the cheapest that does is looked for
(`reaching`), unless none could undercut what is known already: an order that comes to T at list
prices costs no less than T times the least share of its list price that any part costs.
"""

from __future__ import annotations

import time
from collections.abc import Hashable
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from configurator import bill
from configurator.catalog import Catalog
from configurator.engine.order import Engine, apart_of, price_minor, sameness, solve_order
from configurator.engine.reaching import Reaching, most_units
from configurator.engine.search import solve_stack
from configurator.rule import Rule
from configurator.setting import Ask, OrderAsk
from configurator.solved import Solved, SolvedOrder, Status


def solve_discounted(
    order: OrderAsk,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    time_limit_s: float | None = None,
    engine: Engine | None = None,
) -> tuple[SolvedOrder, Catalog]:
    """The cheapest order with the discounts that its own value earns, and the catalog at these prices.

    time_limit_s -- for each stack that differs from the others and for all of them together, in each tier
    engine       -- what solves one stack
    """
    if catalog.prices.discounts is None or not catalog.prices.discounts.thresholds_minor:
        return solve_order(order, catalog, rules, time_limit_s, engine), catalog
    return _Tiers(order, catalog, rules, time_limit_s, engine).solved()


def earned(order: OrderAsk, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None) -> Catalog:
    """The catalog at the prices that the cheapest order earns by its own value."""
    return solve_discounted(order, catalog, rules, time_limit_s)[1]


def value_minor(found: SolvedOrder, catalog: Catalog) -> int:
    """What an order comes to at list prices."""
    lines = () if found.order is None else found.order.ordered
    return sum((catalog.list_minor(line.part) or 0) * line.count for line in lines)


@dataclass(frozen=True)
class _Tier:
    """The cheapest order at the prices of one tier, whatever it comes to."""

    threshold_minor: int
    catalog: Catalog
    found: SolvedOrder

    @property
    def least_minor(self) -> int:
        """No order of this tier or a lower one costs less."""
        return self.found.bound_minor or 0

    @property
    def reaches(self) -> bool:
        """Whether it comes to what its prices are for."""
        return value_minor(self.found, self.catalog) >= self.threshold_minor

    def least_of_those_that_reach(self) -> int:
        """No order that comes to the threshold costs less."""
        shares = [
            Fraction(self.catalog.price_minor(part) or 0, listed)
            for part in self.catalog.by_id
            if (listed := self.catalog.list_minor(part))
        ]
        return max(self.least_minor, ceil(self.threshold_minor * min(shares, default=Fraction(0))))


class _Tiers:
    def __init__(
        self,
        order: OrderAsk,
        catalog: Catalog,
        rules: tuple[Rule, ...],
        time_limit_s: float | None,
        engine: Engine | None,
    ) -> None:
        self.order, self.catalog, self.rules, self.time_limit_s = order, catalog, rules, time_limit_s
        self.engine = engine
        self.known: dict[tuple[int, Hashable], Solved] = {}
        self.best: tuple[SolvedOrder, Catalog, bool] | None = None  # at its own prices, and whether solved at these
        self.best_minor: int | None = None

    def solved(self) -> tuple[SolvedOrder, Catalog]:
        """The cheapest of all tiers."""
        assert self.catalog.prices.discounts is not None
        thresholds = (*reversed(self.catalog.prices.discounts.thresholds_minor), 0)
        short: list[_Tier] = []
        tier = self._tier(thresholds[0])
        for threshold in thresholds:
            tier = self._tier(threshold) if threshold != tier.threshold_minor else tier
            if tier.found.order is None or any(one.build is None for some in tier.found.stacks for _, one in some):
                return self._incomplete()
            if tier.reaches:
                self._take(tier.found, tier)
                break  # no lower tier's order costs less
            short.append(tier)
        assert self.best is not None  # the lowest threshold, 0, is reached by every order
        bounds = [tier.least_minor]
        for one in short:
            assert self.best_minor is not None
            least = one.least_of_those_that_reach()
            bounds.append(least if least >= self.best_minor else self._reach(one, least))
        return self._proved(min(bounds), tier)

    def _tier(self, threshold_minor: int) -> _Tier:
        at = self.catalog.for_order_of(threshold_minor)
        return _Tier(threshold_minor, at, solve_order(self.order, at, self.rules, self.time_limit_s, self._stack))

    def _stack(self, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None) -> Solved:
        """One stack, once for each tier; why it can't be met is told once, at the end."""
        key = (id(catalog), sameness(ask))
        if key not in self.known:
            if self.engine is not None:
                self.known[key] = self.engine(ask, catalog, rules, time_limit_s)
            else:
                self.known[key] = solve_stack(ask, catalog, rules, time_limit_s, explain=False)
        return self.known[key]

    def _take(self, found: SolvedOrder, tier: _Tier) -> None:
        """Keeps an order, at the prices that its own value earns, if it is the cheapest so far."""
        assert found.order is not None
        own = self.catalog.for_order_of(value_minor(found, self.catalog))
        minor = price_minor(found.order, own)
        if self.best_minor is None or minor < self.best_minor:
            self.best, self.best_minor = (found, own, own is tier.catalog), minor

    def _reach(self, tier: _Tier, least_minor: int) -> int:
        """Looks for a cheaper order that comes to a tier's threshold; the bound of all of them."""
        assert self.best_minor is not None
        apart = apart_of(self.order, tier.catalog, self.rules, self.time_limit_s, self._stack)
        deadline = None if self.time_limit_s is None else time.monotonic() + self.time_limit_s
        reached = Reaching(
            apart,
            deadline,
            value_minor=tier.threshold_minor,
            most_minor=self.best_minor - 1,
            units=most_units(tier.found, apart.met),
            rules=self.rules,
        ).found()
        if reached.order is not None:
            self._take(reached.order, tier)
        return max(least_minor, reached.bound_minor)

    def _incomplete(self) -> tuple[SolvedOrder, Catalog]:
        """Where some stack has no build, there is no order to earn anything: prices without thresholds."""
        at = self.catalog.for_order_of(0)
        return solve_order(self.order, at, self.rules, self.time_limit_s, self.engine), at

    def _proved(self, bound_minor: int, last: _Tier) -> tuple[SolvedOrder, Catalog]:
        """The best order at its own prices, with what is proved of it."""
        assert self.best is not None
        found, at, same = self.best
        minor = self.best_minor or 0
        if found is last.found and same and bound_minor >= (found.bound_minor or 0):
            return found, at  # the cheapest at its tier's prices, whatever it comes to
        bound_minor = min(bound_minor, minor)
        status: Status = "cheapest" if bound_minor == minor else "best found"
        stacks = tuple(
            tuple((count, _at_prices(one, at, status, same=same)) for count, one in some) for some in found.stacks
        )
        return replace(found, stacks=stacks, price_minor=minor, bound_minor=bound_minor, status=status), at


def _at_prices(solved: Solved, catalog: Catalog, status: Status, *, same: bool) -> Solved:
    """A stack's build at the prices of its order, `same` where it was solved at them; its bound by the order's."""
    assert solved.build is not None
    minor = bill.total_minor(bill.lines(bill.bought(solved.build), catalog))
    bound = minor if status == "cheapest" else solved.bound_minor if same else None
    return replace(solved, price_minor=minor, bound_minor=bound, status=status)
