"""The engine's price is the least there is, by two oracles that share nothing with it."""

from __future__ import annotations

import random

from hypothesis import example, given

from configurator.verify import verify
from configurator_rules import RULES
from tests.oracles.blocks import solve_by_mip
from tests.oracles.brute_force import least_price, price_of
from tests.oracles.port_worlds import port_world
from tests.oracles.random_parts import random_catalog
from tests.oracles.random_worlds import World, make_ask, tight_watts_world
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import examples, seeds, small_world, solved


def hold(world: World, price_minor: int | None) -> None:
    """The engine's answer has this price, its build costs that much and no check finds fault with it."""
    answer = solved(world)
    assert answer.price_minor == price_minor
    if answer.build is not None:
        assert price_of(answer.build, world.catalog) == price_minor
        assert verify(answer.build, world.ask, world.catalog, RULES) == ()


@given(seeds)
@example(14)  # a supply with a cord in its box, beside a cheaper cord
@example(12)  # two budgets of watts, the first of which binds nothing
@examples(20)
def test_nothing_is_cheaper_by_trying_every_build(seed: int) -> None:
    """On tiny worlds the engine's price is that of the cheapest of all builds."""
    world = tiny_world(seed)
    hold(world, least_price(world.ask, world.catalog, RULES))


@given(seeds)
@examples(60)
def test_tiny_worlds_by_the_mip_solver(seed: int) -> None:
    """On more tiny worlds than can be tried build by build the MIP solver agrees."""
    _by_mip(tiny_world(seed))


@given(seeds)
@examples(12)
def test_small_worlds_by_the_mip_solver(seed: int) -> None:
    """On line-ups of one to five types the MIP solver agrees."""
    _by_mip(small_world(seed))


@given(seeds)
@examples(8)
def test_tight_watts_by_the_mip_solver(seed: int) -> None:
    """Where pooled watts would do and whole units don't, the MIP solver agrees."""
    world = tight_watts_world(random.Random(seed), types=1)
    devices = tuple(d.model_copy(update={"count": -(-d.count // 4)}) for d in world.ask.stack.devices)
    _by_mip(World(world.catalog, make_ask(world.ask.stack.model_copy(update={"devices": devices}))))


@given(seeds)
@examples(40)
def test_ports_in_each_others_way_by_the_mip_solver(seed: int) -> None:
    """Blocks, shared innards, splits and exclusions, with plugs in boxes: the MIP solver agrees."""
    _by_mip(port_world(seed))


def _by_mip(world: World) -> None:
    answer = solve_by_mip(world.ask, world.catalog, seconds=60)
    assert answer.status != "undecided"
    hold(world, answer.price_minor)


def test_an_empty_price_list_meets_nothing() -> None:
    """Without a price nothing can be ordered, so no demand can be met."""
    world = small_world(5)
    assert solved(world).price_minor is not None
    bare = random_catalog(random.Random(5), 2)
    bare.prices.rows.clear()
    assert solved(World(bare, world.ask)).status == "cannot be met"
