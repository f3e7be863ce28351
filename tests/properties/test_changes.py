"""What must not matter, and which way a change may move the price."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

from hypothesis import given

from configurator.parts import Box, Kit
from tests.oracles.draft import fresh, prices_of
from tests.oracles.random_worlds import World
from tests.properties.asking import (
    asked_otherwise,
    bill,
    examples,
    no_dearer,
    price,
    seeds,
    small_world,
    solved,
    with_parts,
)


@given(seeds)
@examples(12)
def test_the_price_follows_the_currency(seed: int) -> None:
    """Prices three times as high make a bill three times as high."""
    world = small_world(seed)
    tripled = {part: 3 * minor for part, minor in prices_of(world.catalog).items()}
    once, thrice = price(world), price(with_parts(world, {}, tripled))
    assert thrice == (None if once is None else 3 * once)


@given(seeds)
@examples(12)
def test_asking_for_less_never_costs_more(seed: int) -> None:
    """Without a statement, with one device fewer, or without a wish, the price is at most the same."""
    world = small_world(seed)
    whole = price(world)
    for laxer in _laxer(world):
        assert no_dearer(price(laxer), whole)


def _laxer(world: World) -> Iterator[World]:
    """Demands that every build of this one meets."""
    stack, ask = world.ask.stack, world.ask
    for name in ("ports", "devices", "uplinks"):
        said = getattr(stack, name)
        for index, one in enumerate(said):
            if len(stack.ports) + len(stack.devices) + len(stack.uplinks) > 1:
                yield asked_otherwise(world, {name: said[:index] + said[index + 1 :]})
            spread = getattr(one, "spread_over_units", 1)
            if one.count > spread:
                fewer = one.model_copy(update={"count": one.count - 1})
                yield asked_otherwise(world, {name: (*said[:index], fewer, *said[index + 1 :])})
    wishes: dict[str, Any] = dict(airflow=None, on_supply_loss="stops", on_feed_loss="stops", headroom_percent=0,
                                  headroom_draws=False)  # fmt: skip
    for wish, least in wishes.items():
        if getattr(ask.setting, wish, getattr(ask, wish, None)) != least:
            yield asked_otherwise(world, **{wish: least})
    for wish in ("units_at_least", "units_at_most"):
        if getattr(stack, wish) is not None:
            yield asked_otherwise(world, {wish: None})


@given(seeds)
@examples(12)
def test_the_order_of_declarations_does_not_matter(seed: int) -> None:
    """A catalog and a demand written down in another order give the same bill."""
    world, rng = small_world(seed), random.Random(seed)
    sections = {}
    for name, rows in world.catalog.parts:
        if isinstance(rows, tuple):
            sections[name] = tuple(rng.sample(rows, len(rows)))
    prices = list(prices_of(world.catalog).items())
    rng.shuffle(prices)
    shuffled = with_parts(world, sections, dict(prices))
    stack = world.ask.stack
    mixed = {
        "devices": tuple(rng.sample(stack.devices, len(stack.devices))),
        "uplinks": tuple(rng.sample(stack.uplinks, len(stack.uplinks))),
    }
    assert bill(solved(asked_otherwise(shuffled, mixed)).build) == bill(solved(world).build)


@given(seeds)
@examples(12)
def test_a_new_part_never_raises_the_price(seed: int) -> None:
    """One more box or kit can only make it cheaper."""
    world, rng = small_world(seed), random.Random(seed)
    parts = world.catalog.parts
    old = rng.choice(parts.boxes)
    bays = world.catalog.unit_types[old.unit].supply_bays
    assert bays is not None  # generated types have bays
    supply = rng.choice(bays.takes)
    content = [dict(part=supply, count=rng.randint(1, 2), movable=True)]
    box = Box.model_validate(dict(id="NEW-BOX", description="new", unit=old.unit, contents=content))
    kit = Kit.model_validate(dict(id="NEW-KIT", description="new", contents=content))
    was = price(world)
    prices = prices_of(world.catalog)
    for sections, name in (({"boxes": (*parts.boxes, box)}, "NEW-BOX"), ({"kits": (kit,)}, "NEW-KIT")):
        dear, cheap = prices | {name: 10**7}, prices | {name: 1 + prices[old.id] // 10}
        assert price(with_parts(world, sections, dear)) == was
        assert no_dearer(price(with_parts(world, sections, cheap)), was)


@given(seeds)
@examples(12)
def test_a_part_nobody_buys_can_go(seed: int) -> None:
    """Taking what isn't on the bill off the price list, all at once, changes nothing."""
    world = small_world(seed)
    answer = solved(world)
    if answer.build is None:
        return
    bought = bill(answer.build)
    kept = {part: minor for part, minor in prices_of(world.catalog).items() if part in bought}
    boxes = tuple(box for box in world.catalog.parts.boxes if box.id in bought)
    again = solved(with_parts(world, {"boxes": boxes}, kept))
    assert again.price_minor == answer.price_minor
    assert bill(again.build) == bought


@given(seeds)
@examples(8)
def test_the_same_question_gets_the_same_answer(seed: int) -> None:
    """Twice over, with everything remembered and with nothing, the build is the same to the last port."""
    world = small_world(seed)
    first, again = solved(world), solved(world)
    anew = solved(World(fresh(world.catalog), world.ask))
    assert first.build == again.build == anew.build
