"""What each statement costs: the proved cheapest price without it, or with it said otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from configurator.catalog import Catalog
from configurator.conflicts.relax import KEPT, without
from configurator.engine.search import solve_stack
from configurator.kinds import kinds_of
from configurator.rule import Rule
from configurator.setting import Ask, Statement
from configurator.solved import Solved, Status
from configurator.verify import verify

WHY_KEPT = {
    "input_v": "a voltage that is not known counts as the worst one, so this would ask for more",
    "order_date": "every price and date is one of some day",
    "stack_fibre": "it tells of fibre that lies there, so without it more would have to be ordered",
    "blank_panels": "without it the usual holds: empty bays and slots get a panel",
}
assert set(WHY_KEPT) == set(KEPT)


@dataclass(frozen=True)
class Found:
    """The cheapest build of a demand that says one thing less, or otherwise."""

    statement: Statement
    tried: str | None  # the value instead; none: set aside
    status: Literal[Status, "same", "kept"]
    price_minor: int | None = None
    bound_minor: int | None = None
    units: Counter[str] | None = None  # by type; none: no build
    why: str = ""  # it is kept


def set_aside(
    ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], here: Solved, time_limit_s: float | None = None
) -> Iterator[Found]:
    """Each of the customer's statements by itself, in the demand's order."""
    for key, statement in ask.statements.items():
        if statement.assumed:
            continue
        if key in KEPT:
            yield Found(statement, None, "kept", why=WHY_KEPT[key])
        else:
            yield _solved(statement, None, without(ask, frozenset([key])), ask, catalog, rules, here, time_limit_s)


def otherwise(
    ask: Ask,
    statement: Statement,
    ways: list[tuple[str, Ask]],
    catalog: Catalog,
    rules: tuple[Rule, ...],
    here: Solved,
    time_limit_s: float | None = None,
    *,
    tighter: bool = False,
) -> Iterator[Found]:
    """One statement in each of the ways in which it could be said.

    tighter -- no build does for these that does not do as it is: one that does is still cheapest.
    """
    for tried, other in ways:
        if tighter and here.build is not None and not verify(here.build, other, catalog, rules):
            yield Found(statement, tried, here.status, here.price_minor, here.bound_minor, units_of(here))
            continue
        yield _solved(statement, tried, other, ask, catalog, rules, here, time_limit_s)


def _solved(
    statement: Statement,
    tried: str | None,
    other: Ask,
    ask: Ask,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    here: Solved,
    time_limit_s: float | None,
) -> Found:
    if other == ask:  # the same demand has the same cheapest price
        return Found(statement, tried, "same", here.price_minor, here.bound_minor, units_of(here))
    if not kinds_of(other):  # nothing is asked, so nothing is ordered
        return Found(statement, tried, "cheapest", 0, 0, Counter())
    solved = solve_stack(other, catalog, rules, time_limit_s, explain=False)
    return Found(statement, tried, solved.status, solved.price_minor, solved.bound_minor, units_of(solved))


def units_of(solved: Solved) -> Counter[str] | None:
    """Units of a build by type."""
    return None if solved.build is None else Counter(unit.unit_type for unit in solved.build.units)


Money = Callable[[int], str]


def sentence(found: Found, price_minor: int, money: Money, what: str = "build") -> str:
    """What a statement costs, in words."""
    instead = "Without it" if found.tried is None else f"With {found.tried} instead"
    if found.status == "kept" and found.statement.assumed:
        return f"There is no other way to try: {found.why}."
    if found.status == "kept":
        return f"It can't be set aside: {found.why}."
    if found.status == "same":
        return f"{instead} the demand is the same: it costs nothing."
    if found.status == "cannot be met":
        return f"{instead} the demand cannot be met."
    if found.price_minor is None:
        return f"{instead} nothing was found in time."
    more = found.price_minor - price_minor
    proof = "" if found.status == "cheapest" else ", which is not proved cheapest"
    if more == 0:
        changed = "It costs nothing: without it" if found.tried is None else f"{instead}"
        return f"{changed} the cheapest {what} costs as much, {money(found.price_minor)}{proof}."
    if found.tried is None:
        word = f"It costs {money(-more)}" if more < 0 else f"It saves {money(more)}"
        return f"{word}: without it the cheapest {what} costs {money(found.price_minor)}{proof}."
    word = f"{money(-more)} less" if more < 0 else f"{money(more)} more"
    return f"{instead} the cheapest {what} costs {word}: {money(found.price_minor)}{proof}."
