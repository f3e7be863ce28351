"""Alternatives are the cheapest of all substances, frontiers all builds that none beats, by trying every build."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import assume, given

from configurator.choices.cheapest import Cheapest, cheapest_builds
from configurator.choices.measures import MEASURES, rack_units, support_months
from configurator.choices.substance import Substance, substance_of
from configurator.choices.walk import by_support, walked
from configurator.kinds import kinds_of
from configurator.parts import UnitType
from configurator.verify import verify
from configurator_rules import RULES
from tests.oracles.brute_force import price_of
from tests.oracles.draft import prices_of
from tests.oracles.every_build import Measure, Parts, frontier, least_by_substance
from tests.oracles.port_worlds import port_world
from tests.oracles.random_worlds import World
from tests.oracles.service_brute import _Stack, _units, least_minor, trials
from tests.oracles.service_worlds import service_world
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import examples, seeds, small_world, solved, with_parts

K = 5
FEW_TRIALS = 6_000  # a second or two


def flat(found: Substance) -> Parts:
    """A substance as the oracle writes it."""
    return tuple(sorted((f"unit {name}" if kind == "unit" else name, count) for (kind, name), count in found))


def chosen(world: World, k: int = K) -> Cheapest:
    """The engine's alternatives, each valid and of another substance."""
    found = cheapest_builds(world.ask, solved(world), k, world.catalog, RULES)
    builds = [one.build for one in found.builds if one.build is not None]
    assert len(builds) == len(found.builds) == len({substance_of(build) for build in builds})
    assert found.proved
    for one in found.builds:
        assert one.build is not None
        assert verify(one.build, world.ask, world.catalog, RULES) == ()
        assert price_of(one.build, world.catalog) == one.price_minor
    return found


def agree(found: Cheapest, least: dict[Parts, int], k: int = K) -> None:
    """The k least prices there are, each of a substance that costs as much at least, and what the next one costs."""
    prices = sorted(least.values())
    assert [one.price_minor for one in found.builds] == prices[:k]
    for one in found.builds:
        assert one.build is not None
        assert least[flat(substance_of(one.build))] == one.price_minor
    if found.builds:
        assert found.next_minor == next(iter(prices[k:]), None)
        assert found.every == (len(prices) <= k)


# Worlds that are small enough to try every build with; each was drawn by its seed alone.
QUICK = [2, 3, 11, 17, 19, 29, 38, 39, 51, 56, 59, 66, 69, 70]


@pytest.mark.parametrize("seed", QUICK)
def test_alternatives_are_the_cheapest_substances_of_all_builds(seed: int) -> None:
    world = tiny_world(seed)
    agree(chosen(world), least_by_substance(world.ask, world.catalog, RULES, K + 1))


def uneven(seed: int) -> World:
    """A tiny world whose unit types are of different heights, with ports in each other's way."""
    world, rng = tiny_world(seed), random.Random(seed)
    types = []
    for one in world.catalog.parts.unit_types:
        groups = [group.id for group in one.ports if "network" in group.roles] + ["up"] * bool(one.module_slots)
        shared, excludes = [], []
        if len(groups) > 1 and rng.random() < 0.4:
            shared = [{"groups": rng.sample(groups, 2), "at_most": rng.choice((2, 3, 4))}]
        if rng.random() < 0.4:
            name, role = rng.choice([("rear", "stack"), *((name, "network") for name in groups)])
            other = rng.choice([name for name in groups if name != groups[0]] or groups)
            if other != name:
                excludes = [({"group": name, "role": role}, {"group": other, "role": "network"})]
        types.append(
            UnitType.model_validate(
                {
                    **one.model_dump(),
                    "rack_units": rng.choice((1, 1, 2, 3)),
                    "shared_ports": shared,
                    "excludes": excludes,
                }
            )
        )
    return with_parts(world, {"unit_types": tuple(types)})


@pytest.mark.parametrize("seed", QUICK)
@pytest.mark.parametrize("name", list(MEASURES))
def test_frontiers_are_all_builds_that_none_beats(name: str, seed: int) -> None:
    """No point is dominated and none is missing; the oracle measures each build by figures of its own."""
    world = uneven(seed)
    measure, sign = Measure(world.ask, world.catalog, name), -1 if name == "rack-units" else 1
    found = walked(world.ask, MEASURES[name], 1000, world.catalog, RULES)
    assert found.proved
    assert not found.cut_off
    told = [(point.solved.price_minor, sign * point.value) for point in found.points]
    assert told == frontier(world.ask, world.catalog, RULES, measure)
    for point in found.points:
        build = point.solved.build
        assert build is not None
        assert MEASURES[name].of(build, world.ask, world.catalog) == point.value
        assert sign * sum(map(measure.of, build.units)) == point.value
        assert price_of(build, world.catalog) == point.solved.price_minor
        assert verify(build, world.ask, world.catalog, RULES) == ()


@pytest.mark.parametrize("seed", QUICK[:6])
@pytest.mark.parametrize("name", list(MEASURES))
def test_a_frontier_is_the_same_where_prices_are_very_large(name: str, seed: int) -> None:
    """So large that price and measure don't go into one number."""
    world, times = uneven(seed), 10**12
    prices = {part: price * times for part, price in prices_of(world.catalog).items()}
    dear = with_parts(world, {}, prices)
    few, many = (
        [
            (point.solved.price_minor, point.value)
            for point in walked(one.ask, MEASURES[name], 9, one.catalog, RULES).points
        ]
        for one in (world, dear)
    )
    assert many == [(price * times, value) for price, value in few if price is not None]


def services_by_substance(world: World) -> dict[Parts, int]:
    """The least price of each substance with licences, contracts and fixings."""
    best: dict[Parts, int] = {}
    most = sum(kind.count for kind in kinds_of(world.ask))
    for units in _units(world.catalog):
        price = least_minor([_Stack(units, world.ask, world.catalog).bills()], world.catalog)
        if len(units) > most or price is None:
            continue
        types = [world.catalog.unit_types[box.unit] for box, _ in units]
        parts = Counter(f"unit {one.id}" for one in types)
        parts.update(one.built_in_supply for one in types if one.built_in_supply)
        parts.update(module for _, module in units if module is not None)
        key = tuple(sorted(parts.items()))
        best[key] = min(price, best.get(key, price))
    return best


@given(seeds)
@examples(12)
def test_alternatives_with_licences_and_contracts(seed: int) -> None:
    world = service_world(seed)
    assume(trials(world.catalog) <= FEW_TRIALS)
    agree(chosen(world), services_by_substance(world))


@given(seeds)
@examples(8)
def test_support_frontiers_against_every_number_of_months(seed: int) -> None:
    """Asked for each number of months in turn, whatever terms are sold: the cheapest bills that none beats."""
    world = service_world(seed)
    assume(trials(world.catalog) <= FEW_TRIALS and not any(one.by_month for one in world.catalog.parts.support))
    here = solved(world)
    assume(here.build is not None)

    def least(months: int) -> int | None:
        ask = replace(world.ask, setting=replace(world.ask.setting, support_months=months))
        every = [_Stack(units, ask, world.catalog).bills() for units in _units(world.catalog)]
        prices = [least_minor([bills], world.catalog) for bills in every]
        return min((price for price in prices if price is not None), default=None)

    asked = world.ask.setting.support_months or 0
    of = {months: least(months) for months in (max(1, asked), 12, 13, 24, 25, 36, 37) if months >= asked}
    prices = {here.price_minor, *(price for price in of.values() if price is not None)}
    found = by_support(world.ask, here, 100, world.catalog, RULES)
    assert found.proved
    for price, after in zip(sorted(filter(None, prices)), [*sorted(filter(None, prices))[1:], None], strict=True):
        (point,) = [one for one in found.points if one.solved.price_minor == price]
        assert point.solved.build is not None
        assert support_months(point.solved.build, world.catalog) == point.value
        if after is not None:  # for no more money none is longer
            assert all(cost is None or cost > price for months, cost in of.items() if months > point.value)
    assert len(found.points) == len(prices)


@given(seeds)
@examples(8)
def test_fewer_alternatives_are_the_first_of_more(seed: int) -> None:
    """With blocks, shared innards, splits and exclusions too."""
    for world in (small_world(seed), port_world(seed)):
        few, more = chosen(world, 2), chosen(world, 4)
        assert [one.price_minor for one in few.builds] == [one.price_minor for one in more.builds][:2]
        if len(more.builds) > 2:
            assert few.next_minor == more.builds[2].price_minor


@given(seeds)
@examples(5)
def test_points_measure_what_their_builds_do_and_each_buys_more(seed: int) -> None:
    """Also with ports in each other's way; asking for no more units than the last point has is no dearer."""
    for world in (small_world(seed), port_world(seed)):
        for name, measure in MEASURES.items():
            found = walked(world.ask, measure, 6, world.catalog, RULES)
            prices = [point.solved.price_minor or 0 for point in found.points]
            values = [point.value for point in found.points]
            assert prices == sorted(set(prices))
            assert values == sorted(set(values), reverse=not measure.more_is_better)
            assert prices[:1] == [solved(world).price_minor][: len(prices)]
            for point in found.points:
                assert point.solved.build is not None
                assert measure.of(point.solved.build, world.ask, world.catalog) == point.value
                if name == "rack-units":
                    assert rack_units(point.solved.build, world.catalog) == point.value
