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


def outspoken(rules: Iterable[Rule], catalog: Catalog, ask: Ask) -> dict[str, set[str]]:
    """Rules, by id, without one of which the demand's model could differ, with the forms in which they spoke."""
    fresh = Catalog(catalog.parts, catalog.prices, catalog.name)  # nothing is kept of what rules said before
    heard: dict[str, set[str]] = {}
    book = Book(tuple(rules), catalog)
    prices = book.prices(ask.setting)
    wrapped = tuple(_overheard(rule, heard, lambda need: _to_be_had(need, prices)) for rule in book.rules)
    StackModel(Book(wrapped, fresh), ask, priced=False)
    return heard


def _to_be_had(need: Need, prices: dict[str, int]) -> bool:
    return any(all(part in prices for part in recipe) for recipe in need.recipes)


def _overheard(rule: Rule, heard: dict[str, set[str]], had: Callable[[Need], bool]) -> Rule:
    """The rule, noting itself whenever it says something."""

    def note(form: str) -> None:
        heard.setdefault(rule.id, set()).add(form)

    def noting(form: str, says: Callable[..., Any] | None, when: Callable[[Any], bool]) -> Any:
        if says is None:
            return None

        def overheard(*args: Any) -> Any:
            answer = says(*args)
            if when(answer):
                note(form)
            return answer

        return overheard

    def listing(form: str, says: Callable[..., Iterable[Any]] | None, when: Callable[[Any], bool]) -> Any:
        if says is None:
            return None

        def overheard(*args: Any) -> Iterator[Any]:
            for one in says(*args):
                if when(one):
                    note(form)
                yield one

        return overheard

    def budget(one: Budget) -> Budget:
        return replace(one, gives=noting("budgets", one.gives, lambda amount: amount is not None))

    needs = rule.requires
    return replace(
        rule,
        port_serves=noting("port_serves", rule.port_serves, _refuses),
        port_takes=noting("port_takes", rule.port_takes, _refuses),
        plug_serves=noting("plug_serves", rule.plug_serves, _refuses),
        port_splits=noting("port_splits", rule.port_splits, _refuses),
        port_holds=noting("port_holds", rule.port_holds, lambda most: most < UNLIMITED),
        spreads=noting("spreads", rule.spreads, lambda least: least > 1),
        budgets=tuple(budget(one) for one in rule.budgets),
        forbids_part=noting("forbids_part", rule.forbids_part, bool),
        forbids_for=noting("forbids_for", rule.forbids_for, bool),
        forbids_over=noting("forbids_over", rule.forbids_over, bool),
        forbids={stage: noting(f"forbids.{stage}", says, bool) for stage, says in rule.forbids.items()},
        arranges=noting("arranges", rule.arranges, _refuses),
        together=noting("together", rule.together, _refuses),
        agrees=listing("agrees", rule.agrees, _says),
        limits=listing("limits", rule.limits, _says),
        requires=needs
        and Requires(
            unit=listing("requires.unit", needs.unit, lambda need: not had(need)),
            stack=listing("requires.stack", needs.stack, lambda need: not had(need)),
            served=listing("requires.served", needs.served, lambda need: not had(need)),
        ),
    )


def _refuses(answer: bool) -> bool:
    return not answer


def _says(_: Row | Topic) -> bool:
    return True
