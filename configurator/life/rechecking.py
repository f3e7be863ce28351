"""The years of ownership of an answer from outside, worked out anew without the solver."""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.life.answering import life_of, solved_of
from configurator.life.known import Known
from configurator.life.result import StackLife
from configurator.life.terms import terms_of
from configurator.reading import Asked
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.verify import verify


def recheck_life(
    stated: StackLife, build: Build, ask: Ask, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]
) -> Iterator[str]:
    """What is wrong with what is stated of a stack's years, and with the build beside it."""
    if asked.demand.life is None:
        yield "a cost over the years is stated, and the demand says nothing of them"
        return
    other = stated.to_buy
    for rule, breach in () if other is None else verify(other.build, ask, catalog, rules):
        yield f"the build that is cheaper to buy: {rule}: {breach.text}"
    known = Known(stated.bound_minor, solved_of(other))
    terms = terms_of(asked.demand.life, catalog.prices.decimals)
    again = life_of(build, ask, catalog, terms, known)
    if again != stated:
        total, said = again.cost.total_minor, stated.cost.total_minor
        yield f"{said} is stated, {total} comes out" if total != said else "its figures come out otherwise"
    if stated.bound_minor is not None and stated.bound_minor > stated.cost.total_minor:
        yield "no build is said to cost less than its bound, and it does"
