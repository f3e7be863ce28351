"""Prices as a demand grows, what a budget buys and what a bill carries: against plain arithmetic and brute force."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

import configurator
from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.conflicts.loosen import Figure, with_figure
from configurator.demand import Demand
from configurator.reading import Asked
from configurator.setting import Ask
from configurator.varying.budget import Reach
from configurator.varying.growing import OF_SERVED, WISHES
from configurator.verify import verify
from configurator_rules import RULES
from tests.oracles.brute_force import price_of as bill_minor
from tests.oracles.brute_units import Judge, Key, Loaded, loads, totals
from tests.oracles.little_shops import CAGES, Need, Shop, builds, need, shop
from tests.oracles.port_worlds import port_world
from tests.oracles.random_worlds import World
from tests.oracles.service_worlds import service_world
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import asked_otherwise, bill, examples, no_dearer, price, seeds, small_world

ON = date(2026, 11, 25)


def read(seed: int, folder: Path) -> tuple[Shop, Need, Catalog, Asked]:
    """A little shop and a need, written and read."""
    rng = random.Random(seed)
    sold, wanted = shop(rng), need(rng)
    sold.write(folder)
    (folder / "demand.yaml").write_text(wanted.written(), encoding="utf-8")
    catalog = configurator.load_catalog(folder, on=ON)
    return sold, wanted, catalog, configurator.load_demand(folder / "demand.yaml", catalog, on=ON)


def cheapest(sold: Shop, wanted: Need) -> int | None:
    """By arithmetic, in the minor unit."""
    return min((one.price * 100 for one in builds(sold, wanted)), default=None)


def figures(wanted: Need) -> Iterator[tuple[str, str]]:
    """What can be varied, as the demand file calls it and as the need does."""
    if wanted.desks:
        yield "ports[desks]", "desks"
    if wanted.powered:
        yield "devices[camera]", "powered"
    if wanted.uplinks:
        yield "uplinks", "uplinks"


# --- sweep ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(25))
def test_a_sweep_is_each_price_by_itself(seed: int, tmp_path: Path) -> None:
    sold, wanted, catalog, asked = read(seed, tmp_path)
    for name, key in figures(wanted):
        found = configurator.sweep(asked, catalog, [f"{name}=1..14"])
        assert [int(point.at[0]) for point in found.points] == list(range(1, 15))
        before = None
        for point in found.points:
            moved: dict[str, Any] = {key: int(point.at[0])}
            expected = cheapest(sold, replace(wanted, **moved))
            assert point.price_minor == expected
            assert (point.status == "cannot be met") == (expected is None)
            both = expected is not None and before is not None
            assert point.difference_minor == (expected - before if both else None)  # type: ignore[operator]
            if point.price_minor is None:
                assert point.conflict is not None
                assert point.text
            before = expected
        for one, other in pairwise(found.points):
            if one.price_minor is not None and other.price_minor is not None:
                there = Counter({part.part: part.count for part in (*one.units, *one.supplies, *one.modules)})
                there.update({added.part: added.count for added in other.added if added.what != "stack"})
                assert +there == Counter(
                    {part.part: part.count for part in (*other.units, *other.supplies, *other.modules)}
                )


@pytest.mark.parametrize("seed", [3, 4, 6, 11])
def test_a_grid_is_each_price_by_itself(seed: int, tmp_path: Path) -> None:
    sold, wanted, catalog, asked = read(seed, tmp_path)
    wanted = replace(wanted, desks=wanted.desks or 2, powered=wanted.powered or 2)
    (tmp_path / "both.yaml").write_text(wanted.written(), encoding="utf-8")
    asked = configurator.load_demand(tmp_path / "both.yaml", catalog, on=ON)
    found = configurator.sweep(asked, catalog, ["ports=1,4,9", "devices=1,3"], stack="Attic")
    assert [tuple(map(int, point.at)) for point in found.points] == [(d, p) for p in (1, 3) for d in (1, 4, 9)]
    for point in found.points:
        desks, powered = map(int, point.at)
        assert point.price_minor == cheapest(sold, replace(wanted, desks=desks, powered=powered))


# --- what a budget rests on -----------------------------------------------------------------------------


def grown(world: World, rng: random.Random) -> Iterator[tuple[str, Callable[[int], World]]]:
    """Figures of which more never costs less, each with the world in which it is so many steps larger."""
    ask = world.ask

    def served(key: str, name: str, step: int | Decimal) -> Callable[[int], World]:
        def at(steps: int) -> World:
            group, _, index = key.removesuffix("]").partition("[")
            value = getattr(getattr(ask.stack, group)[int(index)], name) + steps * step
            return World(world.catalog, with_figure(ask, Figure(key, name, value, -1), value))

        return at

    for group in ("ports", "devices", "uplinks"):
        for index, said in enumerate(getattr(ask.stack, group)):
            yield "count", served(f"{group}[{index}]", "count", rng.choice((1, 2, 5)))
            for name in ("device_w", "port_w"):
                if getattr(said, name, None) is not None:
                    yield name, served(f"{group}[{index}]", name, Decimal("9.7"))
            if getattr(said, "spread_over_units", said.count) + 2 <= said.count:
                yield "spread_over_units", served(f"{group}[{index}]", "spread_over_units", 1)
    least = ask.stack.units_at_least or 1
    yield "units_at_least", lambda steps: asked_otherwise(world, {"units_at_least": least + steps})
    yield "cord_m", lambda steps: asked_otherwise(world, cord_m=ask.setting.cord_m + steps)
    yield "headroom_w", lambda steps: asked_otherwise(world, headroom_w=Decimal(20 * steps))
    for wish, step in (("headroom_percent", 15), ("headroom_count", 2), ("headroom_uplinks_percent", 40),
                       ("headroom_uplinks_count", 1), ("headroom_w_percent", 10)):  # fmt: skip
        now = getattr(ask, wish, getattr(ask.setting, wish, 0))
        yield wish, lambda steps, w=wish, s=step, n=now: asked_otherwise(world, **{w: n + steps * s})  # type: ignore[misc]
    for wish in ("support_months", "licence_months", "depot_km"):
        yield wish, lambda steps, w=wish: asked_otherwise(world, **{w: 12 + 12 * steps})  # type: ignore[misc]


@given(seeds)
@examples(12)
def test_more_of_what_a_budget_asks_about_never_costs_less(seed: int) -> None:
    rng = random.Random(seed)
    for world in (small_world(seed), service_world(seed), port_world(seed)):
        if world.ask.stack.oversubscription is not None:
            continue
        every = list(grown(world, rng))
        assert {name for name, _ in every} <= {*OF_SERVED, *WISHES}
        for _, at in rng.sample(every, 3):
            prices = [price(at(steps)) for steps in range(3)]
            assert all(no_dearer(one, other) for one, other in pairwise(prices))


# --- budget ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(25))
def test_a_budget_buys_the_most_by_trying_all(seed: int, tmp_path: Path) -> None:
    sold, wanted, catalog, asked = read(seed, tmp_path)
    for name, key in figures(wanted):
        prices: dict[int, int | None] = {}
        for count in range(1, 30):
            moved: dict[str, Any] = {key: count}
            prices[count] = cheapest(sold, replace(wanted, **moved))
        known = sorted({minor for minor in prices.values() if minor is not None})
        amounts = [*known[:1], *(minor - 1 for minor in known), *known[-1:]] or [100_000]
        for amount in random.Random(seed).sample(amounts, min(3, len(amounts))):
            (reach,) = configurator.budget(asked, catalog, amount, [name]).reaches
            fit = [count for count, minor in prices.items() if minor is not None and minor <= amount]
            hold(reach, max(fit, default=None), prices, amount)


def hold(reach: Reach, most: int | None, prices: dict[int, int | None], amount: int) -> None:
    """The most is that, and what is told of it and of the next is so."""
    assert reach.most == most
    assert reach.proved
    assert reach.next is not None
    after = 1 if most is None else most + 1
    assert reach.next.figure == after
    assert reach.next.price_minor == prices[after]
    assert reach.next.status == ("cannot be met" if prices[after] is None else "cheapest")
    if most is not None:
        assert reach.price_minor == prices[most]
        assert reach.left_minor == amount - (prices[most] or 0)


# --- capacity -------------------------------------------------------------------------------------------


def as_asked(ask: Ask) -> Asked:
    """A demand of one stack that was read from no file."""
    return Asked(Demand(stacks=(ask.stack,)), (ask,), ())


@pytest.mark.parametrize("seed", range(40))
def test_a_bill_carries_the_most_by_arithmetic(seed: int, tmp_path: Path) -> None:
    """Ports are those of all units; powered devices go where both a port and the watts for them are.

    Uplinks take a cage and an optic each, and the optics are those on the bill.
    """
    sold, wanted, catalog, asked = read(seed, tmp_path)
    for stack in configurator.capacity(asked, catalog).stacks:
        made = [one for one in builds(sold, wanted) if one.price * 100 == cheapest(sold, wanted)]
        if not stack.rooms:
            assert not made
            continue
        build = stack.builds[0]
        units = Counter((u.box, u.supplies[0].supply, len(u.supplies), bool(u.modules)) for u in build.units)
        (same, *_) = [
            one for one in made if Counter((f.box.name, f.supply, f.count, f.module) for f in one.units) == units
        ]
        ports = sum(one.type.ports for one in same.units)
        fed = sum(one.carries(sold, wanted) for one in same.units)
        optics = max(wanted.uplinks, sum(one.box.optics for one in same.units))
        most = {
            "ports[0]": ports - wanted.powered,
            "devices[0]": min(fed, ports - wanted.desks),
            "uplinks[0]": min(optics, sum(CAGES * one.module for one in same.units)),
        }
        found = {room.statement.key: room.most for room in stack.rooms if room.figure == "count"}
        assert found == {key: most[key] for key in found}


def placeable(build: Build, ask: Ask, catalog: Catalog) -> bool:
    """Whether the units as they are can serve a demand, by trying every filling of their ports with every plug."""
    judge = Judge(RULES, ask, catalog)
    asked = totals(judge)
    filled = [list(loads(judge, bare(unit), asked)) for unit in build.units]

    def fill(units: tuple[Loaded, ...], left: Counter[Key]) -> bool:
        if len(units) == len(filled):
            return not left and judge.accepts(_with(build, units))
        for one in filled[len(units)]:
            served = Counter(one.served)
            if all(served[key] <= left[key] for key in served) and fill((*units, one), left - served):
                return True
        return False

    return fill((), asked)


def bare(unit: BuiltUnit) -> BuiltUnit:
    """The unit with nothing in its ports."""
    return unit.model_copy(update={"uses": (), "splits": ()})


def _with(build: Build, units: tuple[Loaded, ...]) -> Build:
    placed = tuple(
        unit.model_copy(update={"uses": one.unit.uses, "splits": one.unit.splits})
        for unit, one in zip(build.units, units, strict=True)
    )
    far_ends = tuple(end for one in units for end in one.far_ends)
    return build.model_copy(update={"units": placed, "far_ends": far_ends})


@pytest.mark.parametrize("world", [*map(tiny_world, range(60)), *map(port_world, range(40))])
def test_a_bill_carries_the_most_by_trying_every_placing(world: World) -> None:
    (stack,) = configurator.capacity(as_asked(world.ask), world.catalog).stacks
    for room, build in zip(stack.rooms, stack.builds, strict=True):
        if room.figure == "poe_class" or room.most - room.asked > 6:
            continue

        def asking(value: Decimal, key: str = room.statement.key, name: str = room.figure) -> Ask:
            said: int | Decimal = int(value) if name == "count" else value
            return with_figure(world.ask, Figure(key, name, said, -1), said)

        assert verify(build, asking(room.most), world.catalog, RULES) == ()
        assert placeable(build, asking(room.most), world.catalog)
        if room.next is not None:
            assert not placeable(build, asking(room.next), world.catalog)


@given(seeds)
@examples(15)
def test_what_a_bill_carries_is_the_same_bill_serving_more(seed: int) -> None:
    for world in (small_world(seed), service_world(seed), port_world(seed)):
        here = price(world)
        (stack,) = configurator.capacity(as_asked(world.ask), world.catalog).stacks
        assert bool(stack.rooms) == (here is not None)
        for room, build in zip(stack.rooms, stack.builds, strict=True):
            assert room.most >= room.asked
            assert bill_minor(build, world.catalog) == here
            assert bill(build) == bill(stack.builds[0])
            said = int(room.most) if room.figure in ("count", "poe_class") else room.most
            ask = with_figure(world.ask, Figure(room.statement.key, room.figure, said, -1), said)
            assert verify(build, ask, world.catalog, RULES) == ()
            if room.figure == "count" and world.ask.stack.oversubscription is None:
                assert no_dearer(price(World(world.catalog, ask)), here)
