"""With so many of a part, and without any: the engine's price is the least of all builds that the checks accept."""

from __future__ import annotations

import random

import pytest
from hypothesis import given

from configurator.reasoning.counting import count_of, idle
from configurator.reasoning.part_forced import most_of, solve_with, solve_without
from configurator.verify import verify
from configurator_rules import RULES
from tests.oracles.brute_force import price_of
from tests.oracles.part_forced import having, least_with, least_without
from tests.oracles.port_worlds import port_world
from tests.oracles.random_worlds import World
from tests.oracles.service_worlds import service_world
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import examples, no_dearer, price, seeds, small_world


def chosen(world: World, seed: int) -> tuple[str, int]:
    """A part of the world, and how many of it."""
    rng = random.Random(seed)
    return rng.choice(list(world.catalog.by_id)), rng.choice((1, 1, 2, 3))


def hold(world: World, part: str, least: int, found_minor: int | None) -> None:
    """The engine's build costs this, is valid, has so many of the part, and none of it is idle."""
    answer = solve_with(world.ask, part, least, world.catalog, RULES)
    assert answer.status in ("cheapest", "cannot be met")
    assert answer.price_minor == found_minor
    if answer.build is not None:
        assert price_of(answer.build, world.catalog) == found_minor
        assert verify(answer.build, world.ask, world.catalog, RULES) == ()
        assert having(answer.build, part, world.catalog) >= least
        assert count_of(answer.build, part, world.catalog) == having(answer.build, part, world.catalog)
        assert idle(answer.build, part, world.ask, world.catalog, RULES) is None


# Worlds that are small enough to try every build with; each was drawn by its seed alone.
@pytest.mark.parametrize("seed", [0, 1, 2, 3, 5, 8, 14, 18, 33, 47, 116, 138, 237, 364])
def test_nothing_with_a_part_is_cheaper_by_trying_every_build(seed: int) -> None:
    world = tiny_world(seed)
    part, least = chosen(world, seed)
    hold(world, part, least, least_with(world.ask, part, least, world.catalog, RULES))


@pytest.mark.parametrize("seed", [1, 4, 7, 11, 18, 33, 47, 90, 116, 138])
def test_nothing_without_a_part_is_cheaper_by_trying_every_build(seed: int) -> None:
    world = tiny_world(seed)
    part, _ = chosen(world, seed)
    answer = solve_without(world.ask, part, world.catalog, RULES)
    assert answer.price_minor == least_without(world.ask, part, world.catalog, RULES)
    if answer.build is not None:
        assert having(answer.build, part, world.catalog) == 0
        assert verify(answer.build, world.ask, world.catalog, RULES) == ()


@given(seeds)
@examples(25)
def test_more_of_a_part_is_never_cheaper_and_the_most_is_the_last_that_can_be(seed: int) -> None:
    """One costs no less than the cheapest, two no less than one; of one more than the most there is no build."""
    world = small_world(seed)
    part, _ = chosen(world, seed)
    here = price(world)
    if here is None:
        return
    one, two = (solve_with(world.ask, part, n, world.catalog, RULES) for n in (1, 2))
    without = solve_without(world.ask, part, world.catalog, RULES)
    assert here == min(p for p in (one.price_minor, without.price_minor) if p is not None)
    assert no_dearer(here, one.price_minor)
    assert no_dearer(one.price_minor, two.price_minor)
    most = most_of(world.ask, part, world.catalog, RULES)
    assert most is not None
    assert solve_with(world.ask, part, most + 1, world.catalog, RULES).build is None
    if most:
        build = solve_with(world.ask, part, most, world.catalog, RULES).build
        assert build is not None
        assert having(build, part, world.catalog) == most


@given(seeds)
@examples(20)
def test_the_cheapest_build_has_a_part_or_has_it_not(seed: int) -> None:
    """With licences, contracts, boxes that hold them, and with ports in each other's way: with or without is all."""
    for world in (service_world(seed), port_world(seed)):
        part, _ = chosen(world, seed)
        one = solve_with(world.ask, part, 1, world.catalog, RULES)
        without = solve_without(world.ask, part, world.catalog, RULES)
        both = [p for p in (one.price_minor, without.price_minor) if p is not None]
        assert price(world) == min(both, default=None)
        for answer, there in ((one, True), (without, False)):
            if answer.build is not None:
                assert verify(answer.build, world.ask, world.catalog, RULES) == ()
                assert (having(answer.build, part, world.catalog) > 0) == there
