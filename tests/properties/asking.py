"""Small helpers of the property tests: seeds, the engine's price, demands and catalogs with something changed."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hypothesis import Phase, settings
from hypothesis import strategies as st

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.engine.search import solve_stack
from configurator.setting import Ask
from configurator.solved import Solved
from configurator_rules import RULES
from tests.oracles.draft import make_catalog, prices_of
from tests.oracles.random_parts import random_catalog
from tests.oracles.random_worlds import World, random_ask

seeds = st.integers(min_value=0, max_value=100_000)


def examples(number: int) -> settings:
    """So many seeds; none is made smaller when it fails: a smaller seed is no simpler world."""
    return settings(max_examples=number, phases=(Phase.explicit, Phase.reuse, Phase.generate))


def small_world(seed: int) -> World:
    """A line-up of one to five types, and a demand that a few units meet."""
    rng = random.Random(seed)
    catalog = random_catalog(rng, rng.randint(1, 5))
    return World(catalog, random_ask(rng, catalog, most=14))


def solved(world: World) -> Solved:
    """The engine's answer, which is proved one way or the other: no time limit is set."""
    answer = solve_stack(world.ask, world.catalog, RULES, explain=False)
    assert answer.status in ("cheapest", "cannot be met")
    assert answer.price_minor == answer.bound_minor or answer.status == "cannot be met"
    return answer


def price(world: World) -> int | None:
    """The engine's least price; none where the demand cannot be met."""
    return solved(world).price_minor


def bill(build: Build | None) -> Counter[str]:
    """What is bought, by part number."""
    out: Counter[str] = Counter()
    if build is not None:
        for line in (*build.bought, *(line for unit in build.units for line in unit.bought)):
            out[line.part] += line.count
    return out


def no_dearer(one: int | None, other: int | None) -> bool:
    """Whether one price is at most the other; what cannot be met is dearer than anything."""
    return other is None or (one is not None and one <= other)


def asked_otherwise(world: World, stack: Mapping[str, Any] | None = None, **wishes: Any) -> World:
    """The world with fields of the stack, of the setting or of the ask changed."""
    ask = world.ask
    setting = {k: v for k, v in wishes.items() if hasattr(ask.setting, k)}
    rest: dict[str, Any] = {k: v for k, v in wishes.items() if k not in setting}
    changed: Ask = replace(
        ask, stack=ask.stack.model_copy(update=dict(stack or {})), setting=replace(ask.setting, **setting), **rest
    )
    return World(world.catalog, changed)


def with_parts(world: World, sections: Mapping[str, Any], prices: Mapping[str, int] | None = None) -> World:
    """The world with sections of its catalog, and prices, changed."""
    parts = world.catalog.parts.model_copy(update=dict(sections))
    catalog: Catalog = make_catalog(parts, prices_of(world.catalog) if prices is None else prices)
    return World(catalog, world.ask)
