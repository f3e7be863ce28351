"""A whole order by what it costs over the years: its stacks by themselves, and where something couples them together.

The sum of what the stacks cost at least by themselves is a bound of the order's cost.  Where packs, cold
spares or a closet make it cost more, all stacks go into one model.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from math import floor

from configurator.catalog import Catalog
from configurator.engine.order import apart_of, sameness
from configurator.life.known import Found, Known
from configurator.life.solving import Owned, solve_for_life
from configurator.life.terms import Terms
from configurator.life.together import ROUNDING, LifeTogether
from configurator.rule import Rule
from configurator.setting import Ask, OrderAsk
from configurator.solved import WORST_FIRST, Solved, SolvedOrder, Status


@dataclass(frozen=True)
class OwnedOrder:
    """The order, and what is known of it."""

    solved: SolvedOrder
    found: Found


def solve_order_for_life(
    order: OrderAsk,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    terms: Terms,
    to_buy: Callable[[], SolvedOrder],
    time_limit_s: float | None = None,
) -> OwnedOrder:
    """The cheapest order to own.

    to_buy -- gives the cheapest order to buy, where no other is found
    """
    found: dict[Hashable, Owned] = {}

    def engine(ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], limit_s: float | None) -> Solved:
        one = found[sameness(ask)] = solve_for_life(ask, catalog, rules, terms, limit_s)
        return one.owned

    apart = apart_of(order, catalog, rules, time_limit_s, engine)
    owned = [found[sameness(ask)] for ask in apart.asks]
    stacks = {ask.stack.name: Known(one.bound_minor, one.bought) for ask, one in zip(apart.asks, owned, strict=True)}
    met = [(one, ask.stack.copies) for one, ask in zip(owned, apart.asks, strict=True) if one.owned.build is not None]
    apart.is_cheapest(order, rules)  # looks whether they can stand together
    alone_minor = sum((one.owned.price_minor or 0) * n for one, n in met)
    least_minor = sum((one.bound_minor or 0) * n for one, n in met)
    if not apart.met or (apart.valid and apart.price_minor == alone_minor):
        return OwnedOrder(apart.solved(), Found(stacks, least_minor if len(met) == len(owned) else None))
    deadline = None if time_limit_s is None else time.monotonic() + time_limit_s
    joint = LifeTogether(apart, deadline, owned, rules, terms)
    together = joint.owned_together()
    if together is None:
        rest = apart.solved() if apart.valid else to_buy()
        return OwnedOrder(_with_status(rest, "best found"), Found(stacks, floor(joint.least)))
    solved, bound = together
    proved = joint.exact_cost(solved) - bound < ROUNDING
    marked = _with_status(solved, "cheapest" if proved else "best found")
    if proved:
        stacks = {name: replace(known, proved=True) for name, known in stacks.items()}
    return OwnedOrder(marked, Found(stacks, floor(bound), proved=proved))


def _with_status(order: SolvedOrder, status: Status) -> SolvedOrder:
    """The order with what is proved of it; stacks without a build stay as they are."""
    told = tuple(
        tuple((n, one if one.build is None else replace(one, status=status)) for n, one in some)
        for some in order.stacks
    )
    worst = min((one.status for some in told for _, one in some), key=WORST_FIRST.index)
    return replace(order, stacks=told, status=worst)
