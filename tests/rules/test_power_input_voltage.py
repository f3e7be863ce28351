"""A supply works at the site's input voltage."""

from __future__ import annotations

from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, unit

WIDE = supply("WIDE", (100, 127, 250), (200, 240, 300))
HIGH = supply("HIGH", (200, 240, 900))
DIRECT = supply("DIRECT", (40, 60, 300))
CATALOG = world(powered_type(60, "WIDE", "HIGH", "DIRECT"), WIDE, HIGH, DIRECT)
RULE = "power.input_voltage"


def test_a_supply_works_from_its_lowest_to_its_highest_voltage() -> None:
    """100, 127, 200 and 240 V are the ends of two ranges; at 48 V a direct-current supply works."""
    for input_v in (100, 127, 200, 240):
        assert found(build(unit(supplies=fitted("WIDE"))), make_ask(input_v=input_v), CATALOG) == {}
    assert found(build(unit(supplies=fitted("DIRECT"))), make_ask(input_v=48), CATALOG) == {}


def test_a_high_line_supply_does_not_work_at_120_v() -> None:
    """A supply for 200 to 240 V gives nothing at 120 V."""
    one = build(unit(supplies=fitted("HIGH")))
    assert found(one, make_ask(input_v=120), CATALOG) == {
        RULE: ["unit 1: HIGH works at 200 to 240 V, the site has 120 V"]
    }


def test_between_two_ranges_a_supply_does_not_work() -> None:
    """150 V is in neither 100 to 127 V nor 200 to 240 V; each kind of supply is told once."""
    one = build(unit(supplies=fitted("WIDE", "WIDE")))
    assert found(one, make_ask(input_v=150), CATALOG) == {
        RULE: ["unit 1: WIDE works at 100 to 127 V, 200 to 240 V, the site has 150 V"]
    }


def test_a_direct_current_supply_does_not_work_on_mains() -> None:
    """A supply for 40 to 60 V gives nothing at 230 V."""
    one = build(unit(supplies=fitted("DIRECT")))
    assert list(found(one, make_ask(input_v=230), CATALOG)) == [RULE]


def test_without_a_voltage_every_supply_works() -> None:
    """Where nobody says the voltage, there is nothing to disagree with."""
    assert found(build(unit(supplies=fitted("DIRECT"))), make_ask(), CATALOG) == {}
