"""Whole orders: their least price by two oracles, and laws that hold whatever is asked."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from math import prod

from hypothesis import assume, example, given

from configurator.catalog import Catalog
from configurator.demand import Spares
from configurator.engine.order import solve_order
from configurator.engine.search import solve_stack
from configurator.setting import Ask
from configurator.solved import SolvedOrder
from configurator.verify import verify, verify_order
from configurator_rules import RULES
from tests.oracles.order_blocks import least_order
from tests.oracles.order_worlds import OrderWorld, order_world, sold_so
from tests.oracles.service_brute import bills, least_minor, trials
from tests.oracles.service_worlds import service_order, service_world
from tests.properties.asking import bill, examples, no_dearer, seeds

MOST_TRIALS = 6_000  # choices of units, and of parts that bring others along: a second or two
MOST_PAIRS = 10_000  # pairs of bills to try, one of each stack


def answered(world: OrderWorld) -> SolvedOrder:
    """The engine's answer, proved, with which no check finds fault."""
    found = solve_order(world.order, world.catalog, RULES)
    assert found.status in ("cheapest", "cannot be met")
    if found.order is not None:
        assert found.price_minor == found.bound_minor
        asks = {ask.stack.name: ask for ask in world.order.asks}
        for one in found.order.stacks:
            assert verify(one.build, asks[one.build.stack], world.catalog, RULES) == ()
        assert verify_order(found.order, world.order, world.catalog, RULES) == ()
    return found


def price(world: OrderWorld) -> int | None:
    """The least price of all that can be met; none where its cold spares can't be had."""
    return answered(world).price_minor


def sold(world: OrderWorld, factor: int, more: int) -> OrderWorld:
    """Packs so many times as large, and least quantities higher by so many."""
    rows = world.catalog.prices.rows.values()
    said = {row.part: (row.pack_size * factor, row.least_quantity + more) for row in rows}
    return replace(world, catalog=sold_so(world.catalog, said))


def without_spares(world: OrderWorld) -> OrderWorld:
    """The order with nothing for the shelf."""
    return replace(world, order=replace(world.order, spares=()))


def named(ask: Ask, name: str, copies: int | None = None) -> Ask:
    """The stack by another name."""
    said = ask.stack.model_copy(update=dict(name=name, copies=ask.stack.copies if copies is None else copies))
    return replace(ask, stack=said)


# --- oracles


@given(seeds)
@example(2222)  # a cord in a box, of which cold spares would be dearer than the other cord
@example(4163)  # the MIP solver's presolve calls both stacks impossible
@examples(18)
def test_nothing_is_cheaper_by_the_block_model(seed: int) -> None:
    """Stacks, copies, packs, least quantities and cold spares: the MIP solver agrees on the price."""
    world = order_world(seed)
    least = least_order(world.order, world.catalog)
    assert least.together.status != "undecided"
    found = answered(world)
    met = [answer.price_minor is not None for answer in least.alone]
    assert [some[0][1].build is not None for some in found.stacks] == met
    assert found.price_minor == least.together.price_minor


@given(seeds)
@example(207)  # a loose part brings what both halves of a unit need
@example(2108)  # one licence out of another box serves all that it licenses
@example(3046)  # a port licence in a box, where every unit is licensed
@example(802)  # licences for ports bring cables along
@example(1216)  # a licence for the stack brings contracts
@examples(15)
def test_nothing_is_cheaper_by_trying_all_licences_and_contracts(seed: int) -> None:
    """Licences, subscriptions, support, fixings, and boxes with such in them: the least of all bills."""
    world = service_world(seed)
    assume(trials(world.catalog) <= MOST_TRIALS)
    found = solve_stack(world.ask, world.catalog, RULES, explain=False)
    assert found.price_minor == least_minor([bills(world.ask, world.catalog)], world.catalog)
    assert found.build is None or verify(found.build, world.ask, world.catalog, RULES) == ()


@given(seeds)
@examples(6)
def test_nothing_is_cheaper_by_trying_all_licences_of_two_stacks(seed: int) -> None:
    """Two stacks that share packs of licences and contracts: the least of all pairs of bills."""
    world = service_order(seed)
    assume(trials(world.catalog) <= MOST_TRIALS)
    every = [found for ask in world.order.asks if (found := bills(ask, world.catalog))]
    assume(prod(map(len, every)) <= MOST_PAIRS)
    assert price(world) == least_minor(every, world.catalog)


def test_most_worlds_are_small_enough_to_try_everything() -> None:
    """What is too large is no agreement: most worlds are tried, and so is every example that is named above."""
    tried = [trials(service_world(seed).catalog) <= MOST_TRIALS for seed in range(0, 10_000, 100)]
    assert sum(tried) >= 85
    assert all(trials(service_world(seed).catalog) <= MOST_TRIALS for seed in (207, 2108, 3046, 802, 1216))
    orders = [service_order(seed) for seed in range(0, 1_000, 50)]
    pairs = [
        trials(world.catalog) <= MOST_TRIALS
        and prod(len(found) for ask in world.order.asks if (found := bills(ask, world.catalog))) <= MOST_PAIRS
        for world in orders
    ]
    assert sum(pairs) >= 12


# --- laws


@given(seeds)
@examples(8)
def test_an_order_costs_no_less_than_its_stacks_and_no_more_than_these_in_whole_packs(seed: int) -> None:
    """One by one is a lower bound, the same builds with each part rounded up is an upper one."""
    world = without_spares(order_world(seed))
    alone = [(ask, solve_stack(ask, world.catalog, RULES, explain=False)) for ask in world.order.asks]
    least = sum((one.price_minor or 0) * ask.stack.copies for ask, one in alone)
    needed = Counter[str]()
    for ask, one in alone:
        needed.update({part: count * ask.stack.copies for part, count in bill(one.build).items()})
    least_to_order = sum(_in_packs(part, count, world.catalog) for part, count in needed.items())
    assert least <= (price(world) or 0) <= least_to_order
    assert (
        price(replace(world, catalog=sold_so(world.catalog, dict.fromkeys(world.catalog.prices.rows, (1, 1))))) == least
    )


def _in_packs(part: str, count: int, catalog: Catalog) -> int:
    row = catalog.prices.rows[part]
    return -(-max(count, row.least_quantity) // row.pack_size) * row.pack_size * row.price_minor


@given(seeds)
@examples(5)
def test_coarser_packs_and_larger_quantities_make_nothing_cheaper(seed: int) -> None:
    """Whatever can be ordered in packs of 2n could be in packs of n, and so with least quantities."""
    world = order_world(seed)
    assert no_dearer(price(world), price(sold(world, 2, 0)))
    assert no_dearer(price(world), price(sold(world, 1, 2)))


@given(seeds)
@examples(8)
def test_more_on_the_shelf_and_more_stacks_make_nothing_cheaper(seed: int) -> None:
    """An order with more in it would do for the one with less."""
    world = order_world(seed)
    more = replace(world.order, spares=(*world.order.spares, Spares(of="supplies", count=1)))
    assert no_dearer(price(world), price(replace(world, order=more)))
    if len(world.order.asks) > 1:
        fewer = replace(world.order, asks=world.order.asks[1:])
        assert no_dearer(price(replace(world, order=fewer)), price(world))


@given(seeds)
@examples(8)
def test_order_names_and_copies_decide_nothing(seed: int) -> None:
    """Stacks the other way round, by other names, and each copy written out, come to the same."""
    world = order_world(seed)
    turned = tuple(named(ask, f"room {n}") for n, ask in enumerate(reversed(world.order.asks)))
    written = tuple(
        named(ask, f"{ask.stack.name} {copy}", 1) for ask in world.order.asks for copy in range(ask.stack.copies)
    )
    for asks in (turned, written):
        assert price(replace(world, order=replace(world.order, asks=asks))) == price(world)
