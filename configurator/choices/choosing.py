"""Other builds than the cheapest: what else the same demand could be met with, and what more money buys.

import configurator

found = configurator.alternatives(asked, catalog, k=5, stack="Library, floor 2")
for one in found.stacks[0].builds:
    print(one.difference_minor, one.gains)
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from configurator import messages, packaged
from configurator.answer import CatalogName, ListName, StackAnswer
from configurator.api import catalog_notes, rule_book
from configurator.assemble import stack_answer, tool_version
from configurator.book import Book
from configurator.catalog import Catalog
from configurator.choices.cheapest import cheapest_builds
from configurator.choices.choice import Against, Alternatives, Point, PriceFrontier, StackAlternatives, StackFrontier
from configurator.choices.figures import choice_of
from configurator.choices.measures import AGAINST, MEASURES, SUPPORT_YEARS, WATTS_LEFT
from configurator.choices.walk import Frontier, by_support, walked
from configurator.conflicts.refused import encodable
from configurator.engine.order import sameness
from configurator.engine.search import solve_stack
from configurator.errors import BadInput, Problem
from configurator.reading import Asked
from configurator.reading.words import did_you_mean, listed, shown
from configurator.reasoning.checked import check
from configurator.reasoning.explaining import BY_ITSELF
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import WORST_FIRST, Solved

MOST_BUILDS = 100
MOST_POINTS = 200
USUAL_POINTS = 20  # of a frontier where nobody asks for more
UNITS_OF = {
    "spare-ports": "spare ports",
    "watts-left": "W left",
    "rack-units": "rack units",
    SUPPORT_YEARS: "months of support",
}
NO_DISCOUNTS = "Discounts that ask for an order of some value are not taken off."
ONE_DAY = "All support is asked to end on one day, so how long it runs is not varied."
NO_TERMS = "Each point asks for support of that many months, in place of what the demand says of months."


def alternatives(
    asked: Asked,
    catalog: Catalog,
    *,
    k: int = 3,
    stack: str | None = None,
    rules: Iterable[Rule] | None = None,
    time_limit_s: float | None = None,
) -> Alternatives:
    """The k cheapest builds of each stack that differ in substance: in unit types, supplies or modules in service.

    stack        -- the name of one; none: each that differs
    rules        -- the rule book; none: `rule_book()`
    time_limit_s -- for each search; none: no limit

    BadInput where a name is not known or k is out of range; CheckFailed where a check rejects a build.
    """
    _within("-k", k, MOST_BUILDS)
    book = rule_book() if rules is None else tuple(rules)
    stacks = tuple(
        _alternatives(one, k, catalog, book, time_limit_s) for one in _stacks(asked, stack, catalog, book, time_limit_s)
    )
    return Alternatives.model_validate({**_head(asked, catalog, [one.stack for one in stacks]), "stacks": stacks})


def frontier(
    asked: Asked,
    catalog: Catalog,
    *,
    against: str,
    stack: str | None = None,
    most: int = USUAL_POINTS,
    rules: Iterable[Rule] | None = None,
    time_limit_s: float | None = None,
) -> PriceFrontier:
    """The builds of each stack that no other beats: none costs no more and measures better.

    against      -- spare-ports, watts-left, rack-units or support-years; see README
    stack        -- the name of one; none: each that differs
    most         -- points to find, from the cheapest up
    rules        -- the rule book; none: `rule_book()`
    time_limit_s -- for each search; none: no limit

    BadInput where a name is not known or `most` is out of range; CheckFailed where a check rejects a build.
    """
    if against not in AGAINST:
        raise _unknown("--against", against, AGAINST, "a price can't be set against")
    _within("--most", most, MOST_POINTS)
    book = rule_book() if rules is None else tuple(rules)
    stacks = tuple(
        _frontier(one, against, most, catalog, book, time_limit_s)
        for one in _stacks(asked, stack, catalog, book, time_limit_s)
    )
    head = _head(asked, catalog, [one.stack for one in stacks])
    return PriceFrontier.model_validate(
        {**head, "against": cast("Against", against), "measure": UNITS_OF[against], "stacks": stacks}
    )


# --- stacks ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Stack:
    """A stack that is unlike those before it, and its cheapest build."""

    ask: Ask
    here: Solved
    answer: StackAnswer
    alike: tuple[str, ...]
    notes: tuple[str, ...]


def _stacks(
    asked: Asked, name: str | None, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None
) -> Iterator[_Stack]:
    """The stack of that name, or each that asks for something else than those before it; solved and checked."""
    names = [ask.stack.name for ask in asked.asks]
    if name is not None and name not in names:
        raise _unknown("--stack", name, names, "no stack of this demand is called")
    groups: dict[Hashable, list[Ask]] = {}
    for ask in asked.asks:
        if name in (None, ask.stack.name):
            groups.setdefault(sameness(ask), []).append(ask)
    for ask, *others in groups.values():
        here = solve_stack(ask, catalog, rules, time_limit_s)
        if here.build is not None:
            check(here.build, here, ask, catalog, rules)
        answer = stack_answer(here, ask, catalog, rules, ask.stack.copies)
        alike = tuple(other.stack.name for other in others)
        yield _Stack(ask, here, answer, alike, tuple(_notes(asked, ask, catalog, rules)))


def _notes(asked: Asked, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[str]:
    closet = ask.stack.closet
    shared = closet is not None and sum(one.stack.closet == closet for one in asked.asks) > 1
    if Book(rules, catalog).packed() or asked.demand.spares or shared:
        yield BY_ITSELF
    if catalog.prices.discounts is not None and catalog.prices.discounts.thresholds_minor:
        yield NO_DISCOUNTS


def _alternatives(
    one: _Stack, k: int, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None
) -> StackAlternatives:
    found = cheapest_builds(one.ask, one.here, k, catalog, rules, time_limit_s)
    return StackAlternatives(
        stack=one.answer,
        alike=one.alike,
        asked=k,
        builds=tuple(choice_of(each, one.here, one.ask, catalog, rules) for each in found.builds),
        next_minor=found.next_minor,
        every=found.every,
        proved=found.proved,
        notes=one.notes if found.builds else (),
    )


def _frontier(
    one: _Stack, against: str, most: int, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None
) -> StackFrontier:
    found, notes = Frontier((), cut_off=False, proved=one.here.status == "cannot be met"), one.notes
    if one.here.build is None:
        notes = ()
    elif against == SUPPORT_YEARS:
        found = by_support(one.ask, one.here, most, catalog, rules, time_limit_s)
        notes = (*notes, NO_TERMS if one.ask.setting.support_until is None else ONE_DAY)
    else:
        found = walked(one.ask, MEASURES[against], most, catalog, rules, time_limit_s)
    tenths = against == WATTS_LEFT.name
    return StackFrontier(
        stack=one.answer,
        alike=one.alike,
        points=tuple(
            Point(
                value=Decimal(point.value) / 10 if tenths else Decimal(point.value),
                choice=choice_of(point.solved, one.here, point.ask, catalog, rules),
            )
            for point in found.points
        ),
        cut_off=found.cut_off,
        proved=found.proved,
        notes=notes,
    )


# --- both -------------------------------------------------------------------------------------------------


def _head(asked: Asked, catalog: Catalog, stacks: list[StackAnswer]) -> dict[str, object]:
    prices, demonstration = catalog.prices, packaged.is_demonstration(catalog)
    return {
        "tool_version": tool_version(),
        "customer": asked.demand.customer,
        "project": asked.demand.project,
        "currency": prices.currency,
        "decimals": prices.decimals,
        "price_list": ListName(name=encodable(prices.name), issued=prices.issued, valid_until=prices.valid_until),
        "catalog": CatalogName(name=encodable(catalog.name), maker=catalog.parts.maker, demonstration=demonstration),
        "order_date": asked.asks[0].setting.order_date,
        "status": min((one.status for one in stacks), key=WORST_FIRST.index),
        "notes": (*([messages.DEMO_NOTE] if demonstration else []), *catalog_notes(catalog)),
    }


def _unknown(option: str, name: str, known: Iterable[str], text: str) -> BadInput:
    every = sorted(set(known))
    hint = did_you_mean(name, every, f"known are: {listed(every)}")
    return BadInput([Problem(option, None, None, "", name, f"{text} {shown(name)}", hint)])


def _within(option: str, count: int, most: int) -> None:
    if not 1 <= count <= most:
        text = f"{count} is no number from 1 to {most}"
        raise BadInput([Problem(option, None, None, "", str(count), text, f"write a number from 1 to {most}")])
