"""A conflict is told in statements that cannot hold together, and none of them could be left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from hypothesis import given

from configurator.kinds import said_by
from configurator.relax import droppable, without
from configurator.search import solve_stack
from configurator.setting import Ask, Statement
from configurator_rules import RULES
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


def possible(ask: Ask, world: World) -> bool:
    """Whether some build meets a demand, proved one way or the other."""
    answer = solve_stack(ask, world.catalog, RULES, explain=False)
    assert answer.status in ("cheapest", "cannot be met")
    return answer.build is not None


@given(seeds)
@examples(12)
def test_a_conflict_cannot_hold_and_needs_all_its_statements(seed: int) -> None:
    for world in impossible(tiny_world(seed)):
        answer = solve_stack(world.ask, world.catalog, RULES)
        if answer.status != "cannot be met":
            continue
        (conflict,) = answer.conflicts
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
@examples(6)
def test_the_same_conflict_each_time(seed: int) -> None:
    for world in impossible(tiny_world(seed)):
        first, again = (solve_stack(world.ask, world.catalog, RULES).conflicts for _ in range(2))
        assert first == again


@given(seeds)
@examples(6)
def test_without_a_rule_that_is_named_the_statements_could_hold(seed: int) -> None:
    """Of a shortage; where nothing suits, the rules that refuse what comes nearest are named."""
    for world in impossible(tiny_world(seed)):
        for conflict in solve_stack(world.ask, world.catalog, RULES).conflicts:
            if conflict.text.startswith("Asked"):
                rest = frozenset(droppable(world.ask)) - frozenset(conflict.statements)
                for name in conflict.rules:
                    book = tuple(rule for rule in RULES if rule.id != name)
                    answer = solve_stack(without(world.ask, rest), world.catalog, book, explain=False)
                    assert answer.build is not None
