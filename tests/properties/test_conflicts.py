"""Conflicts and corrections of generated demands against enumeration of all sets of their statements."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import combinations
from typing import Any

from hypothesis import given

from configurator.answer_refusal import CarriedBy
from configurator.book import Book
from configurator.conflicts.argument import argued
from configurator.conflicts.loosen import figures, with_figure
from configurator.conflicts.refused import conflict_words
from configurator.conflicts.relax import droppable, without
from configurator.demand import Uplinks
from configurator.engine.search import solve_stack
from configurator.kinds import kinds_of, said_by
from configurator.review.recheck import recheck
from configurator.setting import Ask, Statement
from configurator.solved import Refusal
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


MOST_ATOMS = 6  # of which every set is solved


def fewer_atoms(world: World, seed: int) -> World:
    """The world with so few statements that every set of them can be solved; the rest always holds."""
    names = list(droppable(world.ask))
    chosen = random.Random(seed).sample(names, min(len(names), MOST_ATOMS))
    statements = {key: world.ask.statements[key] for key in world.ask.statements if key in chosen}
    return World(world.catalog, replace(world.ask, statements=statements))


def by_enumeration(world: World) -> tuple[set[frozenset[str]], set[frozenset[str]]]:
    """Smallest sets that can't hold, and smallest sets to give up, from a fresh solve of every set."""
    atoms = frozenset(droppable(world.ask))
    sets = [frozenset(some) for size in range(len(atoms) + 1) for some in combinations(sorted(atoms), size)]
    holds = {some: can_hold(without(world.ask, atoms - some), world) for some in sets}
    conflicts = {s for s in sets if not holds[s] and all(holds[s - {key}] for key in s)}
    corrections = {s for s in sets if holds[atoms - s] and not any(holds[(atoms - s) | {key}] for key in s)}
    return conflicts, corrections


def can_hold(ask: Ask, world: World) -> bool:
    """Whether a demand can be met; one for nothing always can."""
    return not kinds_of(ask) or possible(ask, world)


def worlds(seed: int) -> Iterator[World]:
    """Worlds that cannot be met, each with a handful of statements."""
    for world in (*impossible(tiny_world(seed)), *asked_too_much(seed)):
        small = fewer_atoms(world, seed)
        if not possible(small.ask, small) and droppable(small.ask):
            yield small


def refusal_of(world: World) -> Refusal:
    """What the engine says of a world that cannot be met."""
    return solve_stack(world.ask, world.catalog, RULES).refusal


@given(seeds)
@examples(10)
def test_all_conflicts_and_corrections_are_those_of_enumeration(seed: int) -> None:
    for world in worlds(seed):
        conflicts, corrections = by_enumeration(world)
        refusal = refusal_of(world)
        assert refusal.complete
        told = [frozenset(keys) for one in refusal.conflicts for keys in (one.statements, *one.alike)]
        assert len(told) == len(set(told))
        assert set(told) == conflicts
        helpful = [frozenset(keys) for one in refusal.corrections for keys in (one.aside, *one.alike)]
        assert len(helpful) == len(set(helpful))
        assert set(helpful) == corrections
        assert [len(one.statements) for one in refusal.conflicts] == sorted(
            len(one.statements) for one in refusal.conflicts
        )
        assert all(one & other for one in corrections for other in conflicts)


@given(seeds)
@examples(6)
def test_corrections_cost_what_a_fresh_solve_says(seed: int) -> None:
    for world in worlds(seed):
        for one in refusal_of(world).corrections:
            ask = without(world.ask, frozenset(one.aside))
            fresh_answer = solve_stack(ask, fresh(world.catalog), RULES, explain=False) if kinds_of(ask) else None
            assert one.price_minor == (None if fresh_answer is None else fresh_answer.price_minor)


@given(seeds)
@examples(6)
def test_a_figure_gives_way_no_further_than_it_must(seed: int) -> None:
    """With what works there is a build, at the price that is told; with the next nearer figure there is none."""
    for world in worlds(seed):
        for one in refusal_of(world).corrections:
            for low in one.lowered:
                figure = next(f for f in figures(world.ask, low.statement) if f.field == low.field)
                rest = frozenset(one.aside) - {low.statement}
                works, fails = (
                    without(with_figure(world.ask, figure, type(figure.said)(text)), rest)  # type: ignore[call-arg, arg-type]
                    for text in (low.works, low.fails)
                )
                answer = solve_stack(works, fresh(world.catalog), RULES, explain=False)
                assert answer.price_minor == low.price_minor is not None
                assert not possible(fails, world)


@given(seeds)
@examples(6)
def test_the_same_explanation_each_time(seed: int) -> None:
    """Also from a catalog that remembers nothing."""
    for world in worlds(seed):
        first, again = (refusal_of(world) for _ in range(2))
        assert first == again == refusal_of(World(fresh(world.catalog), world.ask))


@given(seeds)
@examples(8)
def test_without_a_rule_that_is_named_the_statements_could_hold(seed: int) -> None:
    """Unless the argument in words names it: one that refuses what comes nearest."""
    for world in worlds(seed):
        for conflict in refusal_of(world).conflicts:
            core = without(world.ask, frozenset(droppable(world.ask)) - frozenset(conflict.statements))
            book = Book(RULES, world.catalog)
            why, _ = argued(book, core)
            assert why.text == conflict.text
            assert set(why.rules) <= set(conflict.rules)
            for name in set(conflict.rules) - set(why.rules):
                fewer = tuple(rule for rule in RULES if rule.id != name)
                assert solve_stack(core, world.catalog, fewer, explain=False).build is not None


@given(seeds)
@examples(8)
def test_figures_are_computed_anew_and_prove_it(seed: int) -> None:
    """And figures that are off by one are found out."""
    for world in worlds(seed):
        for conflict in refusal_of(world).conflicts:
            told = conflict_words(conflict, world.ask, {rule.id: rule.sentence for rule in RULES})
            assert list(recheck(told, world.ask, fresh(world.catalog), RULES)) == []
            if told.proof is not None and told.proof.sums:
                first, *rest = told.proof.sums
                for wrong in (
                    first.model_copy(update={"asked": first.asked + 1}),
                    first.model_copy(update={"carried": _one_more(first.carried)}),
                ):
                    proof = told.proof.model_copy(update={"sums": (wrong, *rest)})
                    forged = told.model_copy(update={"proof": proof})
                    assert list(recheck(forged, world.ask, fresh(world.catalog), RULES))


def _one_more(carried: tuple[CarriedBy, ...]) -> tuple[CarriedBy, ...]:
    first, *rest = carried
    return (first.model_copy(update={"each": first.each + 1}), *rest)
