"""Ways to buy, and break-even prices, against enumeration of all builds of tiny worlds."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given

from configurator.buying.break_even import BreakEvenSearch, Flip, times_for
from configurator.buying.compare import compare
from configurator.buying.comparison import Comparison, Style
from configurator.buying.contents import by_unit
from configurator.buying.later import keeping
from configurator.buying.prices import Repriced, priced, with_price
from configurator.buying.styles import bundles_of, in_style, of_type
from configurator.catalog import Catalog
from configurator.demand import Demand
from configurator.engine.order import solve_order
from configurator.engine.search import solve_stack
from configurator.reading import Asked
from configurator.setting import Ask, OrderAsk
from configurator_rules import RULES
from tests.oracles.draft import fresh
from tests.oracles.order_worlds import OrderWorld, order_world
from tests.oracles.part_forced import least_with, least_without
from tests.oracles.random_worlds import World
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import examples, price, seeds, small_world

# Worlds that are small enough to try every build of; each was drawn by its seed alone.
TRIED = [0, 1, 2, 3, 4, 5, 10, 12, 13, 33, 47, 116, 138]
STYLES: tuple[Style, ...] = ("bundles", "base_units", "either")
NOTHING = "no such part"  # units are told apart by what may not move: with base units out of reach it matters


def asked_of(*asks: Ask) -> Asked:
    """The demand of these stacks."""
    return Asked(Demand(stacks=tuple(ask.stack for ask in asks)), asks, ())


def compared(world: World) -> Comparison:
    """All ways to buy one stack; no break-even."""
    return compare(asked_of(world.ask), world.catalog, bundles=())


def said(ask: Ask, style: Style) -> Ask:
    """The stack with its style in the setting alone: the check of the rule reads nothing else."""
    return replace(ask, setting=replace(ask.setting, bought_as=style))


def flip(asked: Asked, catalog: Catalog, bundle: str) -> Flip:
    """Break-even of one bundle, from nothing known."""
    prices = Repriced(catalog, times_for(asked.order, catalog))
    return BreakEvenSearch(bundle, asked, prices, RULES).run()


@pytest.mark.parametrize("seed", TRIED)
def test_each_way_to_buy_is_the_cheapest_of_all_builds_that_are_bought_so(seed: int) -> None:
    world = tiny_world(seed)
    found = {side.key: side.total_minor for side in compared(world).sides}
    for style in STYLES:
        assert found[style] == least_without(said(world.ask, style), NOTHING, world.catalog, RULES), style


@pytest.mark.parametrize("seed", TRIED)
def test_a_bundle_breaks_even_at_the_last_price_at_which_some_build_with_it_is_as_cheap(seed: int) -> None:
    """At that price a build with it costs no more than any without, at one minor unit more every one does."""
    world = tiny_world(seed)
    for box in bundles_of(world.catalog):
        found = flip(asked_of(world.ask), world.catalog, box.id)
        assert found.decided
        none = least_without(world.ask, box.id, world.catalog, RULES)
        assert found.without_minor == none

        def having(minor: int, bundle: str = box.id) -> int | None:
            return least_with(world.ask, bundle, 1, with_price(world.catalog, bundle, minor), RULES)

        if none is None:
            assert found.price_minor is None
        elif found.price_minor is None:  # it would not pay for nothing
            least = having(0)
            assert least is None or least >= none
        else:
            at, above = having(found.price_minor), having(found.price_minor + 1)
            assert at is not None
            assert at <= none
            assert at == found.with_minor
            assert above is not None
            assert above > none


@given(seeds)
@examples(15)
def test_ways_to_buy_are_separate_solves_and_none_beats_the_free_mix(seed: int) -> None:
    world = small_world(seed)
    found = compared(world)
    sides = {side.key: side for side in found.sides}
    for style in STYLES:
        alone = World(fresh(world.catalog), said(world.ask, style))
        assert sides[style].total_minor == price(alone)
    free = sides["either"].total_minor
    assert all(free is not None and free <= (side.total_minor or free) for side in found.sides if side.total_minor)
    for each in found.types:
        ask = of_type(asked_of(world.ask), each.unit_type, each.style).asks[0]
        assert each.total_minor == price(World(fresh(world.catalog), ask))
    for line in found.lines:
        assert len(line.cells) == len(found.sides)
    for n, side in enumerate(found.sides):
        cells = [line.cells[n] for line in found.lines]
        if side.total_minor is not None:
            assert sum(cell.amount_minor for cell in cells if cell is not None) == side.total_minor
            assert sum(cell.difference_minor or 0 for cell in cells if cell is not None) == side.difference_minor


@given(seeds)
@examples(12)
def test_the_break_even_of_an_order_is_the_highest_of_its_stacks(seed: int) -> None:
    """Where nothing couples the stacks, an order has a bundle as long as some stack has it."""
    rng = random.Random(seed)
    world = small_world(seed)
    box = rng.choice(bundles_of(world.catalog) or [None])
    if box is None:
        return
    fewer = [one.model_copy(update={"count": max(1, one.count // 2)}) for one in world.ask.stack.devices]
    stack = world.ask.stack.model_copy(update={"name": "second", "copies": 2, "devices": tuple(fewer)})
    other = replace(world.ask, stack=stack)
    if price(world) is None or price(World(world.catalog, other)) is None:
        return
    each = [flip(asked_of(ask), world.catalog, box.id) for ask in (world.ask, other)]
    both = flip(asked_of(world.ask, other), world.catalog, box.id)
    if any(one.without_minor is None for one in each):
        assert both.price_minor is None
        assert both.without_minor is None
        return
    assert both.price_minor == max((one.price_minor for one in each if one.price_minor is not None), default=None)


@given(seeds)
@examples(12)
def test_an_order_with_packs_and_spares_flips_at_the_break_even(seed: int) -> None:
    """Solved anew at that price and one above: as cheap as without the bundle at most, then not cheaper."""
    world: OrderWorld = order_world(seed)
    rng = random.Random(seed)
    found = solve_order(world.order, world.catalog, RULES)
    bundles = bundles_of(world.catalog)
    if found.price_minor is None or found.status != "cheapest" or not bundles:
        return
    box = rng.choice(bundles)
    asked = Asked(
        Demand(stacks=tuple(ask.stack for ask in world.order.asks), spares=world.order.spares), world.order.asks, ()
    )
    flipped = flip(asked, world.catalog, box.id)
    if flipped.price_minor is None or flipped.without_minor is None:
        return
    at = _total(world.order, with_price(world.catalog, box.id, flipped.price_minor))
    above = _total(world.order, with_price(world.catalog, box.id, flipped.price_minor + 1))
    assert at is not None
    assert at <= flipped.without_minor
    assert above == flipped.without_minor


def _total(order: OrderAsk, catalog: Catalog) -> int | None:
    return solve_order(order, catalog, RULES).price_minor


@given(seeds)
@examples(12)
def test_what_was_learnt_under_other_prices_changes_no_answer(seed: int) -> None:
    """A catalog that shares what doesn't depend on a box's price, against one that knows nothing."""
    rng = random.Random(seed)
    world = small_world(seed)
    boxes = [box for box in world.catalog.parts.boxes if box.id in world.catalog.prices.rows]
    shared = Repriced(world.catalog, 7)
    for _ in range(4):
        box = rng.choice(boxes)
        minor = rng.randrange(2 * 7 * (world.catalog.price_minor(box.id) or 1))
        catalog = shared.at(box, minor)
        found = solve_stack(world.ask, catalog, RULES, explain=False)
        shared.learnt(catalog, box)
        anew = priced(priced(world.catalog, {}, 7), {box.id: minor})
        assert found.price_minor == solve_stack(world.ask, anew, RULES, explain=False).price_minor


@given(seeds)
@examples(25)
def test_a_second_supply_later_costs_no_less_than_now(seed: int) -> None:
    world = small_world(seed)
    found = compared(world)
    for one in found.later:
        ask = keeping(in_style(asked_of(world.ask), "either").asks[0])
        now = price(World(fresh(world.catalog), ask))
        here = price(world)
        assert here is not None
        assert one.now_minor == (None if now is None else now - here)
        if one.later_minor is None:
            assert one.why_not
        else:
            assert one.now_minor is not None
            assert one.later_minor >= one.now_minor
            assert one.more_minor == one.later_minor - one.now_minor


@given(seeds)
@examples(25)
def test_contents_are_used_or_not_needed_and_no_part_is_used_twice(seed: int) -> None:
    """What a box holds is told once; what boxes give and what is bought by itself are no fewer than what is used."""
    world = small_world(seed)
    build = solve_stack(world.ask, world.catalog, RULES, explain=False).build
    if build is None:
        return
    for unit, used, idle in by_unit(build, world.catalog):
        inside = {content.part: content.count for content in world.catalog.by_id[unit.box].contents}
        assert dict(used + idle) == inside
        for content in world.catalog.by_id[unit.box].contents:
            own = [supply.supply for supply in unit.supplies] + list(unit.fan_trays)
            own += [module.module for module in unit.modules]
            if content.part in own:
                assert used[content.part] >= min(content.count, own.count(content.part))
