"""What a build is in substance: how many units of each type, supplies in service and modules in service.

Two builds that differ only in boxes, cords, port roles, lacing or the order of their units are the
same in substance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Literal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.engine.model import StackModel
from configurator.engine.solver import FAR
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Row, Rule
from configurator.setting import Ask

Word = tuple[Literal["unit", "supply", "module"], str]  # what it is, and its number
Substance = tuple[tuple[Word, int], ...]  # how many of each, by word


def substance_of(build: Build) -> Substance:
    """How many of each there are in a build."""
    found: Counter[Word] = Counter()
    for unit in build.units:
        found["unit", unit.unit_type] += 1
        found.update(("supply", fitted.supply) for fitted in unit.supplies)
        found.update(("module", fitted.module) for fitted in unit.modules)
    return tuple(sorted(found.items()))


def _words_of(fitout: Fitout) -> Counter[Word]:
    """The same of one unit."""
    found: Counter[Word] = Counter({("unit", fitout.unit_type.id): 1})
    found.update(("supply", supply.id) for supply in fitout.supplies)
    found.update(("module", module.id) for _, module in fitout.modules)
    return found


def told_apart() -> Rule:
    """A rule that forbids nothing, and for which no unit stands in for one of another substance.

    Its rows add up a number that stands for a unit's substance, once where less is better and once
    where more is; so of two fit-outs with different numbers neither is no worse than the other.
    """
    numbers: dict[Substance, int] = {}

    def number(fitout: Fitout) -> int:
        return numbers.setdefault(tuple(sorted(_words_of(fitout).items())), len(numbers) + 1)

    def limits(_: Ask, __: Catalog) -> Iterator[Row]:
        yield Row("<=", FAR, fitouts=number)
        yield Row(">=", 0, fitouts=number)

    return Rule(
        id="asked.substance",
        family="ordering",
        sentence="Units of different types, or with different supplies or modules, are told apart.",
        source=COMMON_PRACTICE,
        limits=limits,
    )


def forbid(model: StackModel, found: Iterable[tuple[Word, int]]) -> None:
    """From now on no build of this substance: of something in it there is more, or less."""
    counts, ways = dict(found), []
    for word, terms in _terms(model).items():
        count = counts.get(word, 0)
        more = model.model.variable(0, 1)
        model.model.at_least(terms, count + 1, (more,))
        ways.append((more, 1))
        if count:
            fewer = model.model.variable(0, 1)
            model.model.at_most(terms, count - 1, (fewer,))
            ways.append((fewer, 1))
    model.model.at_least(ways, 1)


def _terms(model: StackModel) -> dict[Word, list[tuple[int, int]]]:
    """How many of each the units of each column bring."""
    terms: dict[Word, list[tuple[int, int]]] = {}
    for var, column in zip(model.n, model.columns, strict=True):
        for word, count in _words_of(column.fitout).items():
            terms.setdefault(word, []).append((var, count))
    return terms
