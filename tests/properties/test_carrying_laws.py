"""What the units of a build still carry: the demand can grow so far on them, and not by one more on the same bill."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given

from configurator.book import Book
from configurator.engine.construct import construct
from configurator.engine.model import StackModel
from configurator.engine.search import Search
from configurator.reasoning.carrying import carried
from configurator_rules import RULES
from tests.oracles.random_worlds import World
from tests.properties.asking import bill, examples, seeds, small_world, solved


def with_count(world: World, key: str, count: int) -> World:
    """The world with another count of one statement."""
    name, _, index = key.removesuffix("]").partition("[")
    every: list[Any] = list(getattr(world.ask.stack, name))
    every[int(index)] = every[int(index)].model_copy(update={"count": count})
    stack = world.ask.stack.model_copy(update={name: tuple(every)})
    return World(world.catalog, replace(world.ask, stack=stack))


@given(seeds)
@examples(25)
def test_units_carry_what_is_told_and_no_more(seed: int) -> None:
    world = small_world(seed)
    search = Search(StackModel(Book(RULES, world.catalog), world.ask))
    status, counts, values, placed, _ = search.run()
    if status != "optimal" or counts is None:
        return
    here = construct(search.model, counts, values, placed)
    for one in carried(search.model, counts):
        assert one.most >= one.asked
        grown = solved(with_count(world, one.statement, one.most))
        assert grown.price_minor is not None
        assert counts.price_minor <= grown.price_minor
        more = solved(with_count(world, one.statement, one.most + 1)).build
        assert bill(more) != bill(here)
