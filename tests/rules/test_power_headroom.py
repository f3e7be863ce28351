"""While all its supplies work, each unit has the watts left that are asked, in watts or in percent."""

from __future__ import annotations

from tests.rules.power_world import fed, fitted, found, phones, powered_type, supply, world
from tests.rules.worlds import build, make_ask, unit

PS = supply("PS", (100, 127, 250), (200, 240, 300))
ONE = build(unit(supplies=fitted("PS")))
TWO = build(unit(supplies=fitted("PS", "PS")))
RULE = "power.headroom"


def test_watts_are_left() -> None:
    """260 W of 300 W leave 40 W."""
    catalog = world(powered_type(260, "PS"), PS)
    assert found(ONE, make_ask(input_v=230, headroom_w=40), catalog) == {}
    assert found(ONE, make_ask(input_v=230, headroom_w="40.1"), catalog) == {
        RULE: ["unit 1: supplies leave 40.0 W, 40.1 W asked"]
    }


def test_a_share_of_the_output_is_left() -> None:
    """Two supplies give 600 W, of which 10 % are 60 W."""
    asked = make_ask(input_v=230, headroom_w_percent=10)
    assert found(TWO, asked, world(powered_type(540, "PS"), PS)) == {}
    assert found(TWO, asked, world(powered_type("540.1", "PS"), PS)) == {
        RULE: ["unit 1: supplies leave 59.9 W, 10 % of their 600.0 W asked"]
    }


def test_both_are_looked_at() -> None:
    """20 % of 300 W are 60 W: 50 W are enough for one, and not for the other."""
    catalog = world(powered_type(250, "PS"), PS)
    asked = make_ask(input_v=230, headroom_w=50, headroom_w_percent=20)
    assert found(ONE, asked, catalog) == {RULE: ["unit 1: supplies leave 50.0 W, 20 % of their 300.0 W asked"]}
    asked = make_ask(input_v=230, headroom_w=60, headroom_w_percent=10)
    assert found(ONE, asked, catalog) == {RULE: ["unit 1: supplies leave 50.0 W, 60.0 W asked"]}


def test_output_is_that_at_the_sites_voltage() -> None:
    """At 120 V the supply gives 250 W."""
    catalog = world(powered_type(220, "PS"), PS)
    assert found(ONE, make_ask(input_v=230, headroom_w=80), catalog) == {}
    assert found(ONE, make_ask(input_v=120, headroom_w=80), catalog) == {
        RULE: ["unit 1: supplies leave 30.0 W, 80.0 W asked"]
    }


def test_poe_is_part_of_the_load() -> None:
    """100 W and five phones of 30 W are 250 W of 300 W."""
    catalog = world(powered_type(100, "PS"), PS)
    one = build(unit(*fed(5), supplies=fitted("PS")))
    assert found(one, phones(5, input_v=230, headroom_w=50), catalog) == {}
    assert found(one, phones(5, input_v=230, headroom_w=51), catalog) == {
        RULE: ["unit 1: supplies leave 50.0 W, 51.0 W asked"]
    }


def test_poe_by_a_table_is_not() -> None:
    """The table feeds the phones; 200 W of 300 W are left."""
    table = [{"supplies": ["PS"], "poe_w": 150}]
    catalog = world(powered_type(100, "PS", poe_table=table), PS)
    one = build(unit(*fed(5), supplies=fitted("PS")))
    assert found(one, phones(5, input_v=230, headroom_w=200), catalog) == {}
    assert list(found(one, phones(5, input_v=230, headroom_w=201), catalog)) == [RULE]


def test_a_load_that_isnt_carried_is_another_rules_business() -> None:
    rejecting = found(ONE, make_ask(input_v=230, headroom_w=10), world(powered_type(310, "PS"), PS))
    assert list(rejecting) == ["power.supplies_cover_load"]


def test_nothing_is_asked() -> None:
    assert found(ONE, make_ask(input_v=230), world(powered_type(300, "PS"), PS)) == {}
