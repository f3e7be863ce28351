"""Supplies are spread evenly over two feeds, and each feed carries what the customer asked to survive."""

from __future__ import annotations

from configurator.build import Build
from tests.rules.power_world import fed, fitted, found, phones, powered_type, supply, world
from tests.rules.worlds import build, unit

PS = supply("PS", (100, 240, 150))
CATALOG = world(powered_type(100, supply_bays={"count": 4, "takes": ["PS"]}), PS)
RULE = "power.feed_loss"


def stack(feeds: str, devices: int) -> Build:
    """One unit with a supply of 150 W on each of these feeds."""
    return build(unit(*fed(devices), supplies=fitted(*("PS" for _ in feeds), feeds=feeds)))


def test_each_feed_carries_everything() -> None:
    """150 W on each feed carry 100 W and one device of 30 W."""
    assert found(stack("AB", 1), phones(1, on_feed_loss="carries_all"), CATALOG) == {}
    assert found(stack("BA", 1), phones(1, on_feed_loss="carries_all"), CATALOG) == {}


def test_a_feed_that_is_too_weak_is_named() -> None:
    """300 W on feed A carry 190 W, 150 W on feed B don't."""
    text = "unit 1: with feed A lost feed B must carry everything and gives 150.0 W for 190.0 W: short by 40.0 W"
    assert found(stack("AAB", 3), phones(3, on_feed_loss="carries_all"), CATALOG) == {RULE: [text]}


def test_a_feed_may_shed_poe() -> None:
    """150 W on each feed carry the unit's own 100 W."""
    assert found(stack("AAB", 3), phones(3, on_feed_loss="sheds_poe"), CATALOG) == {}


def test_a_single_supply_hangs_on_one_feed() -> None:
    """With one supply, on feed A, the loss of feed A leaves nothing."""
    text = "unit 1: with feed A lost feed B must carry everything but PoE and gives 0.0 W for 100.0 W: short by 100.0 W"
    assert found(stack("A", 0), phones(1, on_feed_loss="sheds_poe"), CATALOG) == {RULE: [text]}


def test_feeds_differ_by_one_supply_at_most() -> None:
    """Three supplies on feed A and one on feed B are uneven, although each feed is strong enough."""
    text = "unit 1: 3 supplies are on feed A and 1 on feed B: their numbers differ by more than one"
    assert found(stack("AAAB", 1), phones(1, on_feed_loss="carries_all"), CATALOG) == {RULE: [text]}


def test_a_supply_on_neither_feed_is_told() -> None:
    """Of three supplies one hangs on no feed that anybody named."""
    text = "unit 1: 1 of 3 supplies are on neither feed"
    assert found(stack("AB ", 1), phones(1, on_feed_loss="carries_all"), CATALOG) == {RULE: [text]}


def test_without_the_wish_feeds_do_not_matter() -> None:
    """Both supplies may hang on feed A, or on none."""
    assert found(stack("AA", 3), phones(3), CATALOG) == {}
    assert found(stack("  ", 3), phones(3), CATALOG) == {}


def test_a_feed_counts_at_the_sites_voltage() -> None:
    """130 W are carried by 150 W at 230 V, not by 120 W at 120 V."""
    catalog = world(powered_type(100, "PS"), supply("PS", (100, 127, 120), (200, 240, 150)))
    assert found(stack("AB", 1), phones(1, on_feed_loss="carries_all", input_v=230), catalog) == {}
    texts = found(stack("AB", 1), phones(1, on_feed_loss="carries_all", input_v=120), catalog)
    assert texts == {
        RULE: [
            "unit 1: with feed B lost feed A must carry everything and gives 120.0 W for 130.0 W: short by 10.0 W",
            "unit 1: with feed A lost feed B must carry everything and gives 120.0 W for 130.0 W: short by 10.0 W",
        ]
    }
