"""A conflict is told in statements that cannot hold together, and none of them could be left out."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import given

from configurator.argument import argument
from configurator.book import Book
from configurator.demand import Uplinks
from configurator.kinds import said_by
from configurator.model import StackModel
from configurator.relax import droppable, without
from configurator.search import solve_stack
from configurator.setting import Ask, Statement
from configurator_rules import RULES
from tests.oracles.draft import fresh
from tests.oracles.random_worlds import World
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import asked_otherwise, examples, seeds

WISHES = (
    *("airflow", "country", "region", "on_supply_loss", "on_feed_loss", "circuit", "cord_m", "deliver_by"),
    *("topology", "two_unit_links", "outlets", "headroom_percent", "headroom_draws", "units_at_least"),
    *("units_at_most", "stacking_mbps", "rack_positions", "between_units_m", "oversubscription"),
)


def spoken(world: World) -> World:
    """The world with a statement for everything in its demand that may be set aside."""
    keys = (*WISHES, *(key for key, _ in said_by(world.ask)))
    statements = {key: Statement(key, key, assumed=key in WISHES[-3:]) for key in keys}
    return World(world.catalog, replace(world.ask, statements=statements))


def impossible(world: World) -> Iterator[World]:
    """The world with more of each kind than any stack carries, and with a speed that no port has."""
    stack = world.ask.stack
    for name in ("ports", "devices", "uplinks"):
        said = getattr(stack, name)
        if said:
            more = said[0].model_copy(update={"count": said[0].count + 60})
            yield spoken(asked_otherwise(world, {name: (more, *said[1:])}))
    if stack.devices:
        far = stack.devices[0].model_copy(update={"speed_mbps": 40_000})
        yield spoken(asked_otherwise(world, {"devices": (far, *stack.devices[1:])}))


def asked_too_much(seed: int) -> Iterator[World]:
    """Some tiny worlds that cannot be met, each for a wish or up to three that are asked besides."""
    rng = random.Random(seed)
    for attempt in range(6):
        world = tiny_world(6 * seed + attempt)
        for _ in range(rng.randint(1, 3)):
            stack, wishes = rng.choice(list(_more(world, rng)))
            world = asked_otherwise(world, {**stack, **wishes}, **wishes)
        if not possible(world.ask, world):
            yield spoken(world)


def _more(world: World, rng: random.Random) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """What may be asked besides: fields of the stack, and of the setting or the ask."""
    stack, times = world.ask.stack, rng.randint(2, 4)
    devices = tuple(said.model_copy(update={"count": said.count * times}) for said in stack.devices)
    spread = tuple(said.model_copy(update={"count": 3, "spread_over_units": 3}) for said in stack.uplinks)
    link = Uplinks(count=1, speed_mbps=rng.choice((10_000, 40_000)), over="fibre", fibre="OM4")
    yield {"devices": devices}, {}
    yield {"devices": devices, "units_at_most": 1}, {}
    yield {"uplinks": (*spread, link)}, {}
    yield {"units_at_least": rng.choice((3, 4))}, {}
    yield {"units_at_least": 2, "stacking_mbps": rng.choice((80_000, 160_000))}, {}
    yield {"units_at_least": 2, "between_units_m": (Decimal(2),), "rack_positions": None}, {}
    yield {"units_at_least": 3, "rack_positions": (1, 9, 17), "between_units_m": None}, {"topology": "ring"}
    yield {"units_at_least": 3}, {"topology": "chain"}
    yield {}, {"airflow": "back-to-front"}
    yield {}, {"on_supply_loss": "carries_all"}
    yield {}, {"on_feed_loss": "carries_all", "headroom_percent": 50}


def possible(ask: Ask, world: World) -> bool:
    """Whether some build meets a demand, proved one way or the other."""
    answer = solve_stack(ask, world.catalog, RULES, explain=False)
    assert answer.status in ("cheapest", "cannot be met")
    return answer.build is not None


def needs_all_that_it_names(world: World) -> None:
    """The conflict's statements are impossible by themselves, and without any one of them no longer."""
    (conflict,) = solve_stack(world.ask, world.catalog, RULES).conflicts
    names = frozenset(droppable(world.ask))
    told = frozenset(conflict.statements)
    assert told
    assert told <= names
    assert conflict.smallest
    assert not possible(without(world.ask, names - told), world)
    asks = [key for key in told if key.startswith(("ports[", "devices[", "uplinks["))]
    for key in told:
        if [key] != asks:  # a demand for nothing can always be met
            assert possible(without(world.ask, (names - told) | {key}), world)


@given(seeds)
@examples(12)
def test_a_conflict_cannot_hold_and_needs_all_its_statements(seed: int) -> None:
    for world in impossible(tiny_world(seed)):
        if not possible(world.ask, world):
            needs_all_that_it_names(world)


@given(seeds)
@examples(12)
def test_a_conflict_of_wishes_needs_all_its_statements(seed: int) -> None:
    for world in asked_too_much(seed):
        needs_all_that_it_names(world)


@given(seeds)
@examples(6)
def test_the_same_conflict_each_time(seed: int) -> None:
    """Also from a catalog that remembers nothing."""
    for world in (*impossible(tiny_world(seed)), *asked_too_much(seed)):
        first, again = (solve_stack(world.ask, world.catalog, RULES).conflicts for _ in range(2))
        assert first == again == solve_stack(world.ask, fresh(world.catalog), RULES).conflicts


@given(seeds)
@examples(8)
def test_without_a_rule_that_is_named_the_statements_could_hold(seed: int) -> None:
    """Unless the argument in words names it: one that refuses what comes nearest."""
    for world in (*impossible(tiny_world(seed)), *asked_too_much(seed)):
        for conflict in solve_stack(world.ask, world.catalog, RULES).conflicts:
            core = without(world.ask, frozenset(droppable(world.ask)) - frozenset(conflict.statements))
            text, told = argument(StackModel(Book(RULES, world.catalog), core, priced=False))
            assert text == conflict.text
            assert set(told) <= set(conflict.rules)
            for name in set(conflict.rules) - set(told):
                book = tuple(rule for rule in RULES if rule.id != name)
                assert solve_stack(core, world.catalog, book, explain=False).build is not None
