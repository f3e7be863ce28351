"""The cheapest builds of a stack that differ in substance, each the cheapest of its substance, proved."""

from __future__ import annotations

import time
from dataclasses import dataclass

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.choices.substance import forbid, substance_of, told_apart
from configurator.engine.construct import construct
from configurator.engine.model import StackModel
from configurator.engine.reasons import reasons_of
from configurator.engine.search import Search
from configurator.reasoning.checked import check
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved


@dataclass(frozen=True)
class Cheapest:
    """The cheapest builds, by price."""

    builds: tuple[Solved, ...]  # the cheapest first
    next_minor: int | None  # the cheapest build that is not among them costs this; none: there is none, or unknown
    every: bool  # there are no others
    proved: bool  # none that is missing is cheaper than one that is here


def cheapest_builds(
    ask: Ask, here: Solved, k: int, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None
) -> Cheapest:
    """The k cheapest builds that differ in substance, of which `here` is the cheapest.

    There are no more units than things asked for, or than are asked: one more could serve nothing.
    """
    if here.build is None:
        return Cheapest((), None, every=False, proved=here.status == "cannot be met")
    deadline = None if time_limit_s is None else time.monotonic() + time_limit_s
    search = Search(StackModel(Book((*rules, told_apart()), catalog), ask), deadline)
    found = [here]
    while True:
        last = found[-1].build
        assert last is not None
        forbid(search.model, substance_of(last))
        status, counts, values, placed, _ = search.run()
        if status != "optimal" or counts is None:
            over = status == "impossible"
            return Cheapest(tuple(found), None, every=over, proved=over and here.status == "cheapest")
        if len(found) == k:
            return Cheapest(tuple(found), counts.price_minor, every=False, proved=here.status == "cheapest")
        build = construct(search.model, counts, values, placed)
        one = Solved(
            "cheapest",
            counts.price_minor,
            counts.price_minor,
            build,
            reasons_of(search.model, counts, build),
            counters=search.counters,
        )
        check(build, one, ask, catalog, rules)
        found.append(one)
