"""Discounts: the engine's price is the least of all builds with what each earns; and laws that hold of any world."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest
from hypothesis import given

from configurator.catalog import Catalog
from configurator.demand import Spares
from configurator.engine.tiers import solve_discounted, value_minor
from configurator.setting import OrderAsk
from configurator.solved import SolvedOrder
from configurator.verify import verify
from configurator_rules import RULES
from tests.oracles.brute_force import price_of
from tests.oracles.discounted import Off, discounted, draw, least_discounted, net_prices
from tests.oracles.draft import make_catalog, prices_of
from tests.oracles.order_worlds import SOLD_SO, OrderWorld, order_world, sold_so
from tests.oracles.random_worlds import World
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import examples, price, seeds, small_world
from tests.unit.small_shop import shop, stack


def solved(world: World, rows: list[Off]) -> tuple[SolvedOrder, Catalog]:
    return solve_discounted(OrderAsk((world.ask,)), discounted(world.catalog, rows), RULES)


def drawn(world: World, seed: int, cheapest: int) -> list[Off]:
    return draw(random.Random(f"discounts {seed}"), world.catalog, cheapest)


# Worlds that are small enough to try every build with.  In the first a dearer build is found that comes to
# a threshold, and mostly pays; in the last seven there is none that pays, or the cheapest comes to it by itself.
@pytest.mark.parametrize(
    "seed",
    [3, 17, 27, 31, 35, 37, 38, 56, 65, 70, 72, 78, 104, 105, 114, 145, *(0, 2, 6, 19, 39, 40, 119)],
)
def test_nothing_is_cheaper_with_what_it_earns_by_trying_every_build(seed: int) -> None:
    world = tiny_world(seed)
    cheapest = price(world)
    assert cheapest is not None
    rows = drawn(world, seed, cheapest)
    found, at = solved(world, rows)
    assert found.status == "cheapest"
    assert found.price_minor == least_discounted(world.ask, world.catalog, rows, RULES)
    build = found.stacks[0][0][1].build
    assert build is not None
    assert verify(build, world.ask, at, RULES) == ()
    earned = net_prices(world.catalog, rows, value_minor(found, at))
    assert price_of(build, make_catalog(world.catalog.parts, earned)) == found.price_minor


@given(seeds)
@examples(20)
def test_a_discount_on_everything_scales_the_price(seed: int) -> None:
    """A fifth off prices of which each is five times a whole number leaves four of its five parts."""
    world = small_world(seed)
    five = make_catalog(world.catalog.parts, {part: 5 * minor for part, minor in prices_of(world.catalog).items()})
    before = price(World(five, world.ask))
    if before is not None:
        found, _ = solved(World(five, world.ask), [Off(Decimal(20))])
        assert found.price_minor == before * 4 // 5


@given(seeds)
@examples(20)
def test_discounts_without_thresholds_are_just_other_prices(seed: int) -> None:
    world = small_world(seed)
    rows = [one for one in drawn(world, seed, 1) if not one.order_from]
    net = price(World(make_catalog(world.catalog.parts, net_prices(world.catalog, rows, 0)), world.ask))
    if net is not None:
        assert solved(world, rows)[0].price_minor == net


@given(seeds)
@examples(20)
def test_a_threshold_out_of_reach_changes_nothing_and_one_in_reach_never_costs_more(seed: int) -> None:
    world = small_world(seed)
    if price(world) is None:
        return
    here, _ = solved(world, [])
    assert here.price_minor is not None
    far, at = solved(world, [Off(Decimal(50), order_from=10**12)])
    assert (far.price_minor, far.order, at.prices.order_minor) == (here.price_minor, here.order, 0)
    near, _ = solved(world, [Off(Decimal(3), order_from=here.price_minor + here.price_minor // 50)])
    assert near.price_minor is not None
    assert near.price_minor <= here.price_minor


@given(seeds)
@examples(12)
def test_an_order_earns_what_it_comes_to_and_pays_no_more_than_the_cheapest_without(seed: int) -> None:
    """With packs, least quantities and cold spares: the price is that of the lines with what they earn."""
    world: OrderWorld = order_world(seed, stacks=2)
    plain, _ = solve_discounted(world.order, world.catalog, RULES)
    if plain.price_minor is None or any(one.build is None for some in plain.stacks for _, one in some):
        return
    rows = draw(random.Random(f"discounts {seed}"), world.catalog, plain.price_minor)
    found, at = solve_discounted(world.order, discounted(world.catalog, rows), RULES)
    assert found.order is not None
    assert found.status == "cheapest"
    net = net_prices(world.catalog, rows, value_minor(found, at))
    assert found.price_minor == sum(net[line.part] * line.count for line in found.order.ordered)
    assert plain.order is not None
    own = net_prices(world.catalog, rows, value_minor(plain, at))
    assert found.price_minor <= sum(own[line.part] * line.count for line in plain.order.ordered)


@given(seeds)
@examples(60)
def test_orders_with_packs_and_spares_cost_the_least_of_all_ways_to_plug_them(seed: int) -> None:
    """Units of 100 with uplinks through an optic or a cable each: all numbers of optics are tried."""
    rng = random.Random(seed)
    draft = shop()
    draft.add("boxes", 100, id="BOX", unit="T")
    draft.prices.update(O=rng.randint(5, 40), D=rng.randint(5, 40))
    sold = {part: rng.choice(SOLD_SO) for part in "OD" if rng.random() < 0.6}
    catalog = sold_so(draft.catalog(), sold)
    uplinks = [rng.randint(0, 3) for _ in range(rng.randint(1, 3))]
    kept = {part: rng.randint(1, 3) if rng.random() < 0.3 else 0 for part in "OD"}
    percents = {part: rng.choice((34, 50, 100)) if rng.random() < 0.3 and not kept[part] else 0 for part in "OD"}
    words = {"O": "optics", "D": "cables"}
    spares = [Spares.model_validate({"of": words[part], "count": kept[part]}) for part in "OD" if kept[part]]
    spares += [Spares.model_validate({"of": words[part], "percent": percents[part]}) for part in "OD" if percents[part]]

    def ordered(part: str, used: int) -> int:
        pack, least = sold.get(part, (1, 1))
        need = used + max(kept[part] if used else 0, -(-used * percents[part] // 100))
        return -(-max(need, least) // pack) * pack if need else 0

    orders = [
        {"BOX": len(uplinks), "O": ordered("O", optics), "D": ordered("D", sum(uplinks) - optics)}
        for optics in range(sum(uplinks) + 1)
    ]
    listed = prices_of(catalog)
    values = [sum(listed[part] * n for part, n in order.items()) for order in orders]
    rows = [Off(Decimal(rng.randint(1, 3000)) / 100, order_from=max(1, rng.choice(values) + rng.randint(-3, 1)))
            for _ in range(rng.randint(1, 3))]  # fmt: skip
    rows += [
        Off(Decimal(rng.randint(1, 3000)) / 100, part=rng.choice(("O", "D", "BOX"))) for _ in range(rng.randint(0, 1))
    ]
    least = min(
        sum(net_prices(catalog, rows, value)[part] * n for part, n in order.items())
        for order, value in zip(orders, values, strict=True)
    )
    asks = tuple(stack(2, count, name=f"stack {n}") for n, count in enumerate(uplinks))
    found, _ = solve_discounted(OrderAsk(asks, tuple(spares)), discounted(catalog, rows), RULES)
    assert (found.status, found.price_minor, found.bound_minor) == ("cheapest", least, least)
