"""At what price a bundle comes into the cheapest order, or leaves it: found exactly, by solving again.

An order with n of a bundle costs its other parts and n times the bundle's price; so an order that
has the bundle is worth having up to the price at which it costs what the cheapest order without it
does.  From one such order that price is computed, and at one step more the order is solved anew: where
one with the bundle is as cheap as without it, it carries the price further; where none is, the price
before is the highest.

Whether one is *as cheap* is asked without chance.  All prices are taken many times over and that of the
bundle one less: so an order that has it, and would cost the same, costs less.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace

from configurator import bill
from configurator.build import Build
from configurator.buying.prices import Repriced
from configurator.catalog import Catalog
from configurator.engine.order import sameness, solve_order
from configurator.engine.search import solve_stack
from configurator.parts import Box
from configurator.reading import Asked
from configurator.reasoning.checked import check
from configurator.rule import COMMON_PRACTICE, Rule
from configurator.setting import Ask, OrderAsk
from configurator.solved import Solved, SolvedOrder
from configurator.verify import CheckFailed, verify_order

MOST_UNITS = 64  # of a stack, whatever its family


@dataclass(frozen=True)
class Flip:
    """What was found of one bundle."""

    price_minor: int | None  # the highest at which a cheapest order has one; none: there is no such price
    with_minor: int | None  # the cheapest order that has one, at that price
    without_minor: int | None  # the cheapest order that has none; none: there is none
    decided: bool
    solved: int  # times that the order was solved


@dataclass(frozen=True)
class Having:
    """An order that has the bundle: so many of it, and all else for so much."""

    count: int
    rest_minor: int  # at prices as they are

    def pays_up_to(self, without_minor: int) -> int:
        """The highest price of one at which the order costs no more than the one without."""
        return (without_minor - self.rest_minor) // self.count


def without_bundle(bundle: str) -> Rule:
    """The rule that none of a bundle is ordered."""
    return Rule(
        id=f"asked.no {bundle}",
        family="ordering",
        sentence=f"No {bundle} is ordered.",
        source=COMMON_PRACTICE,
        forbids_part=lambda part, *_: part.id == bundle,
    )


class BreakEvenSearch:
    """The highest price of one bundle at which the cheapest order has one."""

    def __init__(
        self,
        bundle: str,
        asked: Asked,
        prices: Repriced,
        rules: tuple[Rule, ...],
        time_limit_s: float | None = None,
        today: Mapping[Hashable, Solved] | None = None,
    ) -> None:
        """Nothing is solved yet.

        prices -- as they are paid, more times over than there can be of a bundle in the order: `times_for`
        today  -- cheapest builds at these prices, by `sameness`
        """
        self.bundle, self.order, self.prices, self.rules = bundle, asked.order, prices, rules
        self.box = prices.catalog.get(bundle, Box)
        self.time_limit_s = time_limit_s
        self.times = prices.times
        self.solved = 0
        self.decided = True
        self._has_none: dict[Hashable, tuple[int, Solved]] = {}  # stacks without it, from this price of it on
        self._found: dict[tuple[Hashable, int], Solved] = {}
        for key, one in (today or {}).items():
            if one.status == "cheapest" and one.build is not None and not bill.bought(one.build)[bundle]:
                self._has_none[key] = (self._paid_times, self._times_over(one))

    def run(self, known: Having | None = None) -> Flip:
        """Found anew; `known` is an order that has the bundle, to start from."""
        rule = without_bundle(self.bundle)
        none = self._solve(self._paid_times, (*self.rules, rule), bare=True)
        if none.price_minor is None or none.status in ("cannot be met", "not decided"):
            return Flip(None, None, None, self.decided and none.status == "cannot be met", self.solved)
        without_minor = none.price_minor // self.times
        best = known if known is not None and known.pays_up_to(without_minor) >= 0 else None
        price = -1 if best is None else best.pays_up_to(without_minor)
        while (found := self._cheaper_with(price + 1, none.price_minor)) is not None:
            best, price = found, found.pays_up_to(without_minor)
        if best is None:
            return Flip(None, None, without_minor, self.decided, self.solved)
        best = self._cheaper_with(price, none.price_minor) or best  # at the price itself there may be a cheaper one
        with_minor = best.rest_minor + best.count * price
        return Flip(price, with_minor, without_minor, self.decided, self.solved)

    def _times_over(self, one: Solved) -> Solved:
        price, bound = one.price_minor, one.bound_minor
        return replace(
            one,
            price_minor=None if price is None else price * self.times,
            bound_minor=None if bound is None else bound * self.times,
        )

    @property
    def _paid_times(self) -> int:
        return self.prices.catalog.price_minor(self.bundle) or 0

    def _cheaper_with(self, price: int, without_times: int) -> Having | None:
        """An order with the bundle that costs no more than the one without, at this price; none: there is none."""
        at = max(0, self.times * price - 1)  # for nothing: as cheap is not cheaper
        found = self._solve(at, self.rules)
        if found.price_minor is None or found.order is None or found.price_minor >= without_times:
            return None
        count = sum(line.count for line in found.order.ordered if line.part == self.bundle)
        return Having(count, (found.price_minor - count * at) // self.times)

    # --- solving ------------------------------------------------------------------------------------

    def _solve(self, at: int, rules: tuple[Rule, ...], *, bare: bool = False) -> SolvedOrder:
        """The cheapest order with all prices so many times over and the bundle's as told; `bare`: it has none."""
        self.solved += 1
        catalog = self.prices.at(self.box, at)

        def engine(ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], limit_s: float | None) -> Solved:
            return self._stack(ask, catalog, rules, limit_s, at, bare=bare)

        found = solve_order(self.order, catalog, rules, self.time_limit_s, engine)
        self._checked(found, catalog)
        self.prices.learnt(catalog, self.box)
        every = [one for some in found.stacks for _, one in some]
        proved = found.price_minor == found.bound_minor and all(one.status in SURE for one in every)
        self.decided &= proved or found.status == "cannot be met"
        return found if all(one.build is not None for one in every) else replace(found, price_minor=None, order=None)

    def _stack(
        self, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], limit_s: float | None, at: int, *, bare: bool
    ) -> Solved:
        """One stack: what is cheapest without the bundle stays so where the bundle costs more."""
        key = sameness(ask)
        held = self._has_none.get(key)
        if held is not None and (bare or at >= held[0]):
            return held[1]
        if (key, -1 if bare else at) not in self._found:
            found = solve_stack(ask, catalog, rules, limit_s, explain=False)
            self._found[key, -1 if bare else at] = found
            if not bare and found.build is not None and not bill.bought(found.build)[self.bundle]:
                before = self._has_none.get(key)
                self._has_none[key] = (at if before is None else min(at, before[0]), found)
        return self._found[key, -1 if bare else at]

    def _checked(self, found: SolvedOrder, catalog: Catalog) -> None:
        """Every rule's checks of each build and of the order."""
        seen: set[tuple[int, Build]] = set()
        for n, (ask, some) in enumerate(zip(self.order.asks, found.stacks, strict=True)):
            for _, one in some:
                if one.build is not None and (n, one.build) not in seen:
                    seen.add((n, one.build))
                    check(one.build, one, ask, catalog, self.rules)
        if found.order is not None and (wrong := verify_order(found.order, self.order, catalog, self.rules)):
            raise CheckFailed(self.order.asks[0], wrong, found.order)


SURE = ("cheapest", "cannot be met")


def times_for(order: OrderAsk, catalog: Catalog) -> int:
    """More than any order has of one bundle: units of all stacks, cold spares of each, and whole packs."""
    own = [unit.largest_stack for unit in catalog.parts.unit_types if unit.largest_stack is not None]
    largest = max((*own, *(family.largest_stack for family in catalog.parts.families)), default=MOST_UNITS)
    units = sum(min(ask.stack.units_at_most or MOST_UNITS, largest) * ask.stack.copies for ask in order.asks)
    shares = sum(one.percent or 0 for one in order.spares)
    spares = sum(one.count or 0 for one in order.spares) + -(-units * shares // 100) + len(order.spares)
    rows = [catalog.prices.rows[box.id] for box in catalog.parts.boxes if box.id in catalog.prices.rows]
    least = max((row.least_quantity for row in rows), default=1)
    return max(units + spares, least) + max((row.pack_size for row in rows), default=1) + 1
