"""A whole order by what it costs over the years: its stacks one by one, each proved by itself.

Where packs or cold spares add to what the stacks cost, other builds might add less: that is not looked
into, and the order is told best found.  Where stacks can't stand in one closet together, the order that
is cheapest to buy is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, replace

from configurator.catalog import Catalog
from configurator.engine.order import apart_of, sameness
from configurator.life.known import Known
from configurator.life.solving import Owned, solve_for_life
from configurator.life.terms import Terms
from configurator.rule import Rule
from configurator.setting import Ask, OrderAsk
from configurator.solved import Solved, SolvedOrder


@dataclass(frozen=True)
class OwnedOrder:
    """The order, and what is known of its stacks, by name."""

    solved: SolvedOrder
    stacks: Mapping[str, Known]


def solve_order_for_life(
    order: OrderAsk,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    terms: Terms,
    to_buy: Callable[[], SolvedOrder],
    time_limit_s: float | None = None,
) -> OwnedOrder:
    """The cheapest stacks to own.

    to_buy -- gives the cheapest order to buy, where the stacks can't stand together
    """
    found: dict[Hashable, Owned] = {}

    def engine(ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], limit_s: float | None) -> Solved:
        one = found[sameness(ask)] = solve_for_life(ask, catalog, rules, terms, limit_s)
        return one.owned

    apart = apart_of(order, catalog, rules, time_limit_s, engine)
    owned = [found[sameness(ask)] for ask in apart.asks]
    stacks = {ask.stack.name: Known(one.bound_minor, one.bought) for ask, one in zip(apart.asks, owned, strict=True)}
    apart.is_cheapest(order, rules)  # looks whether they can stand together
    if apart.met and not apart.valid:
        bought = to_buy()
        told = tuple(tuple((n, _best_found(one)) for n, one in some) for some in bought.stacks)
        status = "best found" if bought.status == "cheapest" else bought.status
        bare = {name: Known(one.bound_minor, None) for name, one in stacks.items()}
        return OwnedOrder(replace(bought, stacks=told, status=status), bare)
    solved = apart.solved()
    alone_minor = sum((one.price_minor or 0) * n for some in solved.stacks for n, one in some)
    if solved.order is not None and solved.price_minor != alone_minor and solved.status == "cheapest":
        solved = replace(solved, status="best found")
    return OwnedOrder(solved, stacks)


def _best_found(solved: Solved) -> Solved:
    return replace(solved, status="best found") if solved.status == "cheapest" else solved
