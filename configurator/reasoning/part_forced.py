"""The cheapest build of a stack that has so many of a part, or has none of it, proved; or why there is none.

To have none of a part is to buy nothing that brings it: that is one more rule.
To have so many is one more row, in a model that was made to count the part; see `counting`.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, replace

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.conflicts.relax import droppable, without
from configurator.engine.columns import signs
from configurator.engine.construct import construct
from configurator.engine.exchange import brings
from configurator.engine.model import StackModel
from configurator.engine.reasons import reasons_of
from configurator.engine.search import Search, solve_stack
from configurator.kinds import kinds_of
from configurator.reasoning.counting import count_of, idle, not_these, only_needed, require, terms_of
from configurator.reasoning.plugging import nearest_use
from configurator.rule import COMMON_PRACTICE, Rule
from configurator.setting import Ask
from configurator.solved import Solved

MOST_ROUNDS = 20  # of looking for another build where something would lie idle
ENOUGH_S = 20.0  # of looking for why there is none, where the user set no limit


@dataclass(frozen=True)
class Refused:
    """Why no build has so many of a part."""

    most: int | None  # that any valid build has; none: not known
    statements: tuple[str, ...] = ()  # keys, without which there could be
    rules: tuple[str, ...] = ()  # each of which, were it not, there could be
    forbidding: tuple[str, ...] = ()  # rules that let no part that brings it on a bill
    nearest: str = ""  # the use of it to which the fewest rules object, where they object to every use
    smallest: bool = True  # proved


def lacking(part: str, catalog: Catalog) -> Rule:
    """The rule that nothing is bought that brings a part."""
    each = brings(catalog, part)
    return Rule(
        id=f"asked.without {part}",
        family="ordering",
        sentence=f"No {part} is ordered, nor anything that it comes with.",
        source=COMMON_PRACTICE,
        forbids_part=lambda one, *_: bool(each.get(one.id)),
    )


def solve_without(
    ask: Ask, part: str, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None
) -> Solved:
    """The cheapest build that has none of a part."""
    return solve_stack(ask, catalog, (*rules, lacking(part, catalog)), time_limit_s, explain=False)


def solve_with(
    ask: Ask, part: str, least: int, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None
) -> Solved:
    """The cheapest build that has at least so many of a part, none of it idle on a shelf."""
    deadline = None if time_limit_s is None else time.monotonic() + time_limit_s
    search = counting_search(ask, part, catalog, rules, deadline)
    require(search.model, part, least)
    proved, decided = 0, False
    for _ in range(MOST_ROUNDS):
        status, counts, values, placed, bound = search.run()
        proved = max(proved, bound)
        if counts is None:
            decided = status == "impossible" and not proved
            break
        build = construct(search.model, counts, values, placed)
        if idle(build, part, ask, catalog, rules) is None:
            return Solved(
                "cheapest" if status == "optimal" and counts.price_minor == proved else "best found",
                counts.price_minor,
                min(proved, counts.price_minor),
                build,
                reasons_of(search.model, counts, build),
                counters=search.counters,
            )
        not_these(search.model, counts)
    if decided:
        return Solved("cannot be met", counters=search.counters)
    return Solved("not decided", bound_minor=proved, counters=search.counters)


def counting_search(ask: Ask, part: str, catalog: Catalog, rules: tuple[Rule, ...], deadline: float | None) -> Search:
    """A search among all builds that may be of use to have a part."""
    counted = replace(ask, setting=replace(ask.setting, counted=part))
    book, aside = Book(rules, catalog), {key for key in ask.dropped if "[" in key}
    if not aside:
        return Search(StackModel(book, counted), deadline)
    # what nobody asks to be served may be served: a part may be there for that
    whole = StackModel(book, replace(counted, dropped=ask.dropped - aside), asked=False)
    whole.rule_rows = [row for _, row in book.limits(counted)]
    for column in whole.columns:
        column.limits = signs(whole.rule_rows, column.fitout)
    whole.asked_rows(frozenset(n for n, kind in enumerate(whole.kinds) if kind.statement in aside))
    return Search(whole, deadline)


def most_of(
    ask: Ask, part: str, catalog: Catalog, rules: tuple[Rule, ...], deadline: float | None = None
) -> int | None:
    """The most of a part that any valid build has, none of it idle; none: not known."""
    search = counting_search(ask, part, catalog, rules, deadline)
    only_needed(search.model, part)
    search.model.model.objective = {var: -count for var, count in terms_of(search.model, part)}
    search.model.scale = 1
    status, counts, values, placed, _ = search.run()
    if status != "optimal" or counts is None:
        return 0 if status == "impossible" else None
    build = construct(search.model, counts, values, placed)
    return None if idle(build, part, ask, catalog, rules) is not None else count_of(build, part, catalog)


def why_not(
    ask: Ask, part: str, least: int | None, catalog: Catalog, rules: tuple[Rule, ...], deadline: float | None = None
) -> Refused:
    """Why no build has so many of a part, or none of it (`least` is none), where some build meets the demand."""
    deadline = deadline or time.monotonic() + ENOUGH_S
    most = None if least is None else most_of(ask, part, catalog, rules, deadline)
    forbidding = () if least is None else tuple(dict.fromkeys(_forbidding(ask, part, catalog, rules)))
    if forbidding:
        return Refused(most, forbidding=forbidding)
    use = None if least is None or most != 0 else nearest_use(Book(rules, catalog), ask, part)
    if use is not None:
        return Refused(most, (use.statement,), use.rules, nearest=use.what)
    smallest = True

    def can(relaxed: Ask, some: tuple[Rule, ...]) -> bool:
        nonlocal smallest
        if least is None and not kinds_of(relaxed):
            return True  # nothing is asked, so nothing is ordered
        if least is None:
            search = Search(StackModel(Book((*some, lacking(part, catalog)), catalog), relaxed), deadline)
        else:
            search = counting_search(relaxed, part, catalog, some, deadline)
            require(search.model, part, least)
        status = search.run()[0]
        smallest = smallest and status != "unknown"
        return status != "impossible"

    aside: set[str] = set()
    names = droppable(ask)
    for key in names:
        relaxed = without(ask, frozenset({*aside, key}))
        if not can(relaxed, rules):
            aside.add(key)
    core = without(ask, frozenset(aside))
    statements = tuple(key for key in ask.statements if key in names and key not in aside)
    blocking = tuple(_blocking(rules, statements, deadline, lambda rest: can(core, rest)))
    return Refused(most, statements, blocking, smallest=smallest and time.monotonic() < deadline)


def _forbidding(ask: Ask, part: str, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[str]:
    """Rules that keep all that brings a part off the bill, where these rules do so together."""
    holders = [catalog.by_id[name] for name in brings(catalog, part)]
    by_holder = [
        [rule.id for rule in rules if rule.forbids_part and rule.forbids_part(one, ask.setting, catalog)]
        for one in holders
    ]
    if all(by_holder):
        for found in by_holder:
            yield from found


def _blocking(
    rules: tuple[Rule, ...], about: tuple[str, ...], deadline: float, can: Callable[[tuple[Rule, ...]], bool]
) -> Iterator[str]:
    """Rules without one of which it could be; first those that read one of these statements."""
    for rule in sorted(rules, key=lambda rule: set(about).isdisjoint(rule.about)):
        if time.monotonic() > deadline:
            return
        if _modelled(rule) and can(tuple(other for other in rules if other is not rule)):
            yield rule.id


def _modelled(rule: Rule) -> bool:
    """Whether a rule is more than a check."""
    checks = {"id", "family", "sentence", "source", "check", "check_order", "about", "explains", "only_if_asked",
              "applies"}  # fmt: skip
    return any(getattr(rule, one.name) for one in fields(rule) if one.name not in checks)
