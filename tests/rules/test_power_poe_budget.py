"""A unit feeds no more PoE than its chassis and its combination of supplies allow."""

from __future__ import annotations

from tests.rules.power_world import fed, fitted, found, phones, powered_type, supply, world
from tests.rules.worlds import build, unit

SMALL = supply("SMALL", (100, 240, 500))
LARGE = supply("LARGE", (100, 240, 900))
CAPPED = world(powered_type(60, "SMALL", poe_cap_w=100), SMALL)
MIXED = {"count": 2, "takes": ["SMALL", "LARGE"], "mixed": True}
TABLE = world(
    powered_type(
        60,
        supply_bays=MIXED,
        poe_table=[
            {"supplies": ["SMALL"], "poe_w": 90},
            {"supplies": ["SMALL", "LARGE"], "poe_w": 150},
            {"supplies": ["LARGE"], "poe_w": 120, "to_v": 127},
            {"supplies": ["LARGE"], "poe_w": 240, "from_v": 200},
        ],
    ),
    SMALL,
    LARGE,
)
RULE = "power.poe_budget"


def test_a_chassis_feeds_up_to_its_cap() -> None:
    """Three devices of 30 W are within a cap of 100 W."""
    assert found(build(unit(*fed(3), supplies=fitted("SMALL"))), phones(3), CAPPED) == {}


def test_strong_supplies_do_not_lift_the_cap() -> None:
    """Four devices of 30 W are 120 W; 1000 W of supplies don't lift a cap of 100 W."""
    one = build(unit(*fed(4), supplies=fitted("SMALL", "SMALL")))
    text = "unit 1: ports reserve 120.0 W of PoE, T feeds at most 100.0 W: short by 20.0 W"
    assert found(one, phones(4), CAPPED) == {RULE: [text]}


def test_the_row_of_exactly_these_supplies_counts() -> None:
    """One small supply feeds 90 W, a small and a large one 150 W, in whichever bays they are."""
    assert found(build(unit(*fed(3), supplies=fitted("SMALL"))), phones(3), TABLE) == {}
    assert found(build(unit(*fed(5), supplies=fitted("LARGE", "SMALL"))), phones(5), TABLE) == {}
    text = "unit 1: ports reserve 120.0 W of PoE, T with SMALL feeds at most 90.0 W: short by 30.0 W"
    assert found(build(unit(*fed(4), supplies=fitted("SMALL"))), phones(4), TABLE) == {RULE: [text]}


def test_a_combination_without_a_row_feeds_nothing() -> None:
    """Two small supplies have no row, although one has."""
    one = build(unit(*fed(1), supplies=fitted("SMALL", "SMALL")))
    text = "unit 1: ports reserve 30.0 W of PoE, T with SMALL and SMALL feeds at most 0.0 W: short by 30.0 W"
    assert found(one, phones(1), TABLE) == {RULE: [text]}
    assert found(build(unit(supplies=fitted("SMALL", "SMALL"))), phones(1), TABLE) == {}


def test_a_row_counts_at_its_voltages() -> None:
    """A large supply feeds 240 W from 200 V on, 120 W up to 127 V, and the less where nobody says the voltage."""
    one = build(unit(*fed(5), supplies=fitted("LARGE")))
    assert found(one, phones(5, input_v=200), TABLE) == {}
    text = "unit 1: ports reserve 150.0 W of PoE, T with LARGE feeds at most 120.0 W: short by 30.0 W"
    assert found(one, phones(5, input_v=127), TABLE) == {RULE: [text]}
    assert found(one, phones(5), TABLE) == {RULE: [text]}
