"""Plug watts less the PoE that leaves on the cables are within what the closet's cooling takes away."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Build, BuiltUnit, PortUse
from configurator.setting import Ask
from configurator_rules.site.heat import RULE
from tests.rules.closet_world import shares
from tests.rules.power_world import ACCESS, fed, fitted, phones, powered_type, supply, world
from tests.rules.worlds import breaches, build, cage, make_ask, optic, part, split, twinax, unit, uplink, use

SUPPLIES = [supply("GOOD", (90, 240, 900)), supply("POOR", (90, 240, 900), efficiency="0.8")]
UP = cage("up", 4, speeds_mbps=[10_000, 40_000], roles=["network", "split", "stack"], stack_reserve_w="4.5")
SLOTS: dict[str, Any] = {"ports": (ACCESS, UP), "module_slots": [{"id": "S", "takes": ["CARD"]}]}
CATALOG = world(
    powered_type(90, "GOOD", "POOR", **SLOTS),
    *SUPPLIES,
    modules=[part("CARD", draw_w=9)],
    optics=[optic("SR", draw_w="0.9"), optic("ER", draw_w="1.8"), optic("SLOW", draw_w=9, speeds_mbps=[1000])],
    cables=[twinax("DAC", 3, draw_w="0.1"), twinax("FAN", 3, ways=4, draw_w="2.7", speeds_mbps=[40_000])],
)
FIBRE = {"count": 1, "speed_mbps": "10G", "over": "fibre", "fibre": "OM4", "length_m": 20}


def one(supply: str = "GOOD", *uses: PortUse, **said: Any) -> BuiltUnit:
    """A unit with one supply."""
    return unit(*uses, supplies=fitted(supply), **said)


def told(wrong: Build, ask: Ask) -> list[str]:
    """What the check finds, without the words that are always there."""
    return [
        text.replace(" stay in the closet", "").replace(" are allowed", "")
        for text in breaches(RULE, wrong, ask, CATALOG)
    ]


def test_what_a_unit_draws_stays_with_what_its_supply_loses() -> None:
    """90 W at 90 % are 100 W at the plug."""
    assert breaches(RULE, build(one()), make_ask(heat_w=100), CATALOG) == []
    assert breaches(RULE, build(one()), make_ask(heat_w="99.9"), CATALOG) == [
        "100.00 W stay in the closet, 99.90 W are allowed: over by 0.10 W"
    ]
    assert breaches(RULE, build(one()), make_ask(), CATALOG) == []


def test_of_poe_only_the_loss_stays() -> None:
    """Three phones of 30 W take 100 W at the plug, 10 W of which stay; a port's 3.333 W are rounded up."""
    three = build(one("GOOD", *fed(3)))
    assert told(three, phones(3, heat_w="110.1")) == []
    assert told(three, phones(3, heat_w=110)) == ["110.02 W, 110.00 W: over by 0.02 W"]


def test_the_poorest_supply_of_a_unit_counts() -> None:
    """90 W at 80 % are 112.5 W, whatever the other supply loses."""
    mixed = build(unit(supplies=fitted("GOOD", "POOR")))
    assert told(mixed, make_ask(heat_w="112.5")) == []
    assert told(mixed, make_ask(heat_w=112)) == ["112.50 W, 112.00 W: over by 0.50 W"]


def test_poe_counts_at_the_poorest_supply_of_the_stack() -> None:
    """90 W at 90 % and at 80 % are 212.5 W; 30 W from the better unit lose 7.5 W all the same."""
    two = build(one("GOOD", *fed(1)), one("POOR", position=2))
    assert told(two, phones(1, heat_w=220)) == []
    assert told(two, phones(1, heat_w=219)) == ["220.00 W, 219.00 W: over by 1.00 W"]


@pytest.mark.parametrize(
    ("said", "more_w"),
    [
        ({"modules": [{"slot": "S", "module": "CARD"}]}, 10),  # 9 W
        ({"stack_group": "up", "stack_ports": [1, 2]}, 10),  # twice 4.5 W
        ({"splits": [split("up", 1, "FAN")]}, 3),  # 2.7 W
    ],
)
def test_everything_in_the_unit_counts(said: dict[str, Any], more_w: int) -> None:
    assert told(build(one(**said)), make_ask(heat_w=100 + more_w)) == []
    assert len(told(build(one(**said)), make_ask(heat_w=f"{100 + more_w - 0.1:.1f}"))) == 1


def test_what_is_plugged_in_counts() -> None:
    """0.9 W at 90 % are 1 W."""
    linked = build(one("GOOD", uplink("up", 1, "SR")))
    assert told(linked, make_ask(uplinks=[FIBRE], heat_w=101)) == []
    assert told(linked, make_ask(uplinks=[FIBRE], heat_w="100.9")) == ["101.00 W, 100.90 W: over by 0.10 W"]


def test_unpowered_copper_adds_nothing() -> None:
    assert told(build(one("GOOD", use("access", 1))), make_ask(ports=[{"count": 1}], heat_w=100)) == []


def test_a_type_of_whose_supplies_nothing_is_known_loses_nothing() -> None:
    bare = world(powered_type(90, supply_bays=None))
    assert breaches(RULE, build(unit(*fed(1))), phones(1, heat_w=90), bare) == []
    assert breaches(RULE, build(unit()), make_ask(heat_w="89.9"), bare) != []


def test_stacks_of_one_closet_share_it() -> None:
    """What is enough for one is not for two."""
    shares("site.heat")
