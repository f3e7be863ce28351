"""Which rules have anything to say while a stack's model is built: those that don't can't be what forbids it.

The model is a function of the rules' answers, so a rule that refuses nothing, bounds nothing and needs
nothing that can't be had leaves it as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import Any

from configurator.book import UNLIMITED, Book
from configurator.catalog import Catalog
from configurator.engine.model import StackModel
from configurator.rule import Budget, Need, Requires, Row, Rule, Topic
from configurator.setting import Ask


def outspoken(rules: Iterable[Rule], catalog: Catalog, ask: Ask) -> frozenset[str]:
    """Rules, by id, without one of which the demand's model could differ."""
    fresh = Catalog(catalog.parts, catalog.prices, catalog.name)  # nothing is kept of what rules said before
    heard: set[str] = set()
    book = Book(tuple(rules), catalog)
    prices = book.prices(ask.setting)
    wrapped = tuple(_overheard(rule, heard, lambda need: _to_be_had(need, prices)) for rule in book.rules)
    StackModel(Book(wrapped, fresh), ask, priced=False)
    return frozenset(heard)


def _to_be_had(need: Need, prices: dict[str, int]) -> bool:
    return any(all(part in prices for part in recipe) for recipe in need.recipes)


def _overheard(rule: Rule, heard: set[str], had: Callable[[Need], bool]) -> Rule:
    """The rule, noting itself whenever it says something."""

    def noting(says: Callable[..., Any] | None, when: Callable[[Any], bool]) -> Any:
        if says is None:
            return None

        def overheard(*args: Any) -> Any:
            answer = says(*args)
            if when(answer):
                heard.add(rule.id)
            return answer

        return overheard

    def listing(says: Callable[..., Iterable[Any]] | None, when: Callable[[Any], bool]) -> Any:
        if says is None:
            return None

        def overheard(*args: Any) -> Iterator[Any]:
            for one in says(*args):
                if when(one):
                    heard.add(rule.id)
                yield one

        return overheard

    def budget(one: Budget) -> Budget:
        return replace(one, gives=noting(one.gives, lambda amount: amount is not None))

    needs = rule.requires
    return replace(
        rule,
        port_serves=noting(rule.port_serves, _refuses),
        port_takes=noting(rule.port_takes, _refuses),
        plug_serves=noting(rule.plug_serves, _refuses),
        port_splits=noting(rule.port_splits, _refuses),
        port_holds=noting(rule.port_holds, lambda most: most < UNLIMITED),
        spreads=noting(rule.spreads, lambda least: least > 1),
        budgets=tuple(budget(one) for one in rule.budgets),
        forbids_part=noting(rule.forbids_part, bool),
        forbids_for=noting(rule.forbids_for, bool),
        forbids_over=noting(rule.forbids_over, bool),
        forbids={stage: noting(says, bool) for stage, says in rule.forbids.items()},
        arranges=noting(rule.arranges, _refuses),
        together=noting(rule.together, _refuses),
        agrees=listing(rule.agrees, _says),
        limits=listing(rule.limits, _says),
        requires=needs
        and Requires(
            unit=listing(needs.unit, lambda need: not had(need)),
            stack=listing(needs.stack, lambda need: not had(need)),
            served=listing(needs.served, lambda need: not had(need)),
        ),
    )


def _refuses(answer: bool) -> bool:
    return not answer


def _says(_: Row | Topic) -> bool:
    return True
