"""When one supply of a unit is lost, the rest carries what the customer asked to survive it."""

from __future__ import annotations

from tests.rules.power_world import fed, fitted, found, phones, powered_type, supply, world
from tests.rules.worlds import build, unit

PS = supply("PS", (100, 240, 150))
CATALOG = world(powered_type(100, "PS"), PS)
TWO = build(unit(*fed(3), supplies=fitted("PS", "PS")))
RULE = "power.supply_loss"


def test_a_unit_that_may_stop_needs_no_spare() -> None:
    """190 W on two supplies of 150 W: nothing is asked of the loss of one."""
    assert found(TWO, phones(3, on_supply_loss="stops"), CATALOG) == {}


def test_a_unit_that_sheds_poe_keeps_its_own_draw() -> None:
    """One supply of 150 W carries the unit's 100 W, and its devices' 90 W go."""
    assert found(TWO, phones(3, on_supply_loss="sheds_poe"), CATALOG) == {}


def test_a_unit_that_carries_all_needs_the_whole_load_on_the_rest() -> None:
    """One supply of 150 W doesn't carry 190 W; it carries 130 W."""
    text = "unit 1: with PS lost the rest must carry everything and gives 150.0 W for 190.0 W: short by 40.0 W"
    assert found(TWO, phones(3, on_supply_loss="carries_all"), CATALOG) == {RULE: [text]}
    light = build(unit(*fed(1), supplies=fitted("PS", "PS")))
    assert found(light, phones(1, on_supply_loss="carries_all"), CATALOG) == {}


def test_a_single_supply_leaves_nothing() -> None:
    """A unit with one supply stops when it is lost."""
    one = build(unit(supplies=fitted("PS")))
    text = "unit 1: with PS lost the rest must carry everything but PoE and gives 0.0 W for 100.0 W: short by 100.0 W"
    assert found(one, phones(1, on_supply_loss="sheds_poe"), CATALOG) == {RULE: [text]}


def test_the_strongest_supply_is_the_one_lost() -> None:
    """Of 300 W and 100 W the 300 W are lost: 100 W carry a unit of 100 W and none of 101 W."""
    bays = {"count": 2, "takes": ["STRONG", "WEAK"], "mixed": True}
    supplies = (supply("STRONG", (100, 240, 300)), supply("WEAK", (100, 240, 100)))
    one = build(unit(supplies=fitted("WEAK", "STRONG")))
    ask = phones(1, on_supply_loss="sheds_poe")
    assert found(one, ask, world(powered_type(100, supply_bays=bays), *supplies)) == {}
    text = (
        "unit 1: with STRONG lost the rest must carry everything but PoE and gives 100.0 W for 101.0 W: short by 1.0 W"
    )
    assert found(one, ask, world(powered_type(101, supply_bays=bays), *supplies)) == {RULE: [text]}


def test_the_rest_counts_at_the_sites_voltage() -> None:
    """A supply of 200 W at 230 V and 180 W at 120 V carries 190 W at 230 V only."""
    catalog = world(powered_type(100, "PS"), supply("PS", (100, 127, 180), (200, 240, 200)))
    assert found(TWO, phones(3, on_supply_loss="carries_all", input_v=230), catalog) == {}
    text = "unit 1: with PS lost the rest must carry everything and gives 180.0 W for 190.0 W: short by 10.0 W"
    assert found(TWO, phones(3, on_supply_loss="carries_all", input_v=120), catalog) == {RULE: [text]}


def test_the_rest_feeds_by_its_row_of_the_table() -> None:
    """Two supplies feed 180 W of PoE, one feeds 60 W: 90 W don't survive the loss of one."""
    rows = [{"supplies": ["PS"], "poe_w": 60}, {"supplies": ["PS", "PS"], "poe_w": 180}]
    catalog = world(powered_type(100, "PS", poe_table=rows), PS)
    text = "unit 1: with PS lost the rest must carry everything and gives 60.0 W of PoE for 90.0 W: short by 30.0 W"
    assert found(TWO, phones(3, on_supply_loss="carries_all"), catalog) == {RULE: [text]}
    assert found(TWO, phones(3, on_supply_loss="sheds_poe"), catalog) == {}


def test_whichever_supply_is_lost_counts_by_the_table() -> None:
    """The weaker supply feeds 90 W by its row and the stronger one 60 W: losing the weaker one is too much."""
    bays = {"count": 2, "takes": ["STRONG", "WEAK"], "mixed": True}
    rows = [
        {"supplies": ["WEAK"], "poe_w": 90},
        {"supplies": ["STRONG"], "poe_w": 60},
        {"supplies": ["WEAK", "STRONG"], "poe_w": 180},
    ]
    supplies = (supply("STRONG", (100, 240, 300)), supply("WEAK", (100, 240, 200)))
    catalog = world(powered_type(100, supply_bays=bays, poe_table=rows), *supplies)
    one = build(unit(*fed(3), supplies=fitted("STRONG", "WEAK")))
    text = "unit 1: with WEAK lost the rest must carry everything and gives 60.0 W of PoE for 90.0 W: short by 30.0 W"
    assert found(one, phones(3, on_supply_loss="carries_all"), catalog) == {RULE: [text]}


def test_a_load_that_all_supplies_together_do_not_carry_is_another_rules_business() -> None:
    """310 W are too much for two supplies of 150 W before any is lost."""
    one = build(unit(*fed(7), supplies=fitted("PS", "PS")))
    assert list(found(one, phones(7, on_supply_loss="carries_all"), CATALOG)) == ["power.supplies_cover_load"]
