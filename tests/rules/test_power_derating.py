"""Supplies cover the load with the output they have at the site's input voltage."""

from __future__ import annotations

from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, unit

PS = supply("PS", (100, 127, 250), (200, 240, 300))
ONE = build(unit(supplies=fitted("PS")))
RULE = "power.derating"


def test_at_high_mains_a_supply_gives_its_best() -> None:
    """260 W are covered by 300 W at 230 V."""
    assert found(ONE, make_ask(input_v=230), world(powered_type(260, "PS"), PS)) == {}


def test_at_low_mains_a_supply_gives_less() -> None:
    """260 W are not covered by 250 W at 120 V, and neither are the 300 W that the supply gives at best."""
    text = "unit 1: supplies give 250.0 W at 120 V (300.0 W at best), the unit draws and feeds 260.0 W: short by 10.0 W"
    assert found(ONE, make_ask(input_v=120), world(powered_type(260, "PS"), PS)) == {RULE: [text]}
    assert list(found(ONE, make_ask(input_v=120), world(powered_type(300, "PS"), PS))) == [RULE]


def test_without_a_voltage_the_worst_counts() -> None:
    """Where nobody says the voltage, a supply counts with 250 W."""
    text = (
        "unit 1: supplies give 250.0 W at the worst input voltage (300.0 W at best), "
        "the unit draws and feeds 250.1 W: short by 0.1 W"
    )
    assert found(ONE, make_ask(), world(powered_type("250.1", "PS"), PS)) == {RULE: [text]}
    assert found(ONE, make_ask(), world(powered_type("250.0", "PS"), PS)) == {}


def test_every_supply_of_a_unit_gives_less() -> None:
    """Two supplies give 500 W at 120 V."""
    two = build(unit(supplies=fitted("PS", "PS")))
    assert found(two, make_ask(input_v=120), world(powered_type(500, "PS"), PS)) == {}
    assert list(found(two, make_ask(input_v=120), world(powered_type(501, "PS"), PS))) == [RULE]


def test_a_load_that_is_too_much_at_any_voltage_is_another_rules_business() -> None:
    """310 W are more than the best 300 W."""
    rejecting = found(ONE, make_ask(input_v=120), world(powered_type(310, "PS"), PS))
    assert list(rejecting) == ["power.supplies_cover_load"]
