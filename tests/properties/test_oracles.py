"""The oracles against each other: what judges the engine is judged first."""

from __future__ import annotations

import random

from hypothesis import example, given

from configurator_rules import RULES
from tests.oracles.blocks import not_covered, solve_by_cp_sat, solve_by_mip
from tests.oracles.brute_force import least_price
from tests.oracles.random_parts import random_catalog
from tests.oracles.random_worlds import random_ask, random_world, tight_watts_world
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import examples, seeds, small_world


@given(seeds)
@example(183)  # ports of two groups that serve alike were once counted as those of one
@example(141)
@examples(20)
def test_trying_every_build_and_the_block_model_agree(seed: int) -> None:
    """The least price of all builds that checks accept is the block model's."""
    world = tiny_world(seed)
    answer = solve_by_mip(world.ask, world.catalog)
    assert answer.status != "undecided"
    assert least_price(world.ask, world.catalog, RULES) == answer.price_minor


@given(seeds)
@examples(6)
def test_two_solvers_agree_on_the_block_model(seed: int) -> None:
    """CP-SAT and the MIP solver prove the same price."""
    world = small_world(seed)
    one, other = solve_by_cp_sat(world.ask, world.catalog), solve_by_mip(world.ask, world.catalog)
    assert "undecided" not in (one.status, other.status)
    assert (one.status, one.price_minor) == (other.status, other.price_minor)


def test_generators_stay_within_the_block_model() -> None:
    """Every generated world has only what the block model knows."""
    worlds = [tiny_world(seed) for seed in range(100)] + [small_world(seed) for seed in range(20)]
    worlds += [random_world(1, types) for types in (1, 8, 40)]
    worlds += [tight_watts_world(random.Random(1), types) for types in (1, 8, 40)]
    assert [found for w in worlds if (found := not_covered(w.ask, w.catalog))] == []


def test_generators_repeat_themselves() -> None:
    """One seed makes one world."""
    for make in (tiny_world, small_world):
        one, other = make(7), make(7)
        assert (one.catalog.parts, one.ask) == (other.catalog.parts, other.ask)
        assert one.catalog.prices == other.catalog.prices


def test_generated_demands_can_mostly_be_met() -> None:
    """A generator whose demands are all impossible would compare nothing."""
    met = sum(solve_by_mip(w.ask, w.catalog).status == "optimal" for w in map(tiny_world, range(40)))
    assert 15 <= met <= 38
    catalog = random_catalog(random.Random(3), 3)
    asks = [random_ask(random.Random(seed), catalog, most=8) for seed in range(6)]
    assert sum(solve_by_mip(ask, catalog).status == "optimal" for ask in asks) >= 3
