"""A unit has as many fan trays as its number of supplies needs, all the same part."""

from __future__ import annotations

import pytest

from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, part, unit

PS = supply("PS", (100, 240, 500))
TRAYS = [part(number, airflow="front-to-back") for number in ("FAN", "FAN-2", "FAN-X")]
CATALOG = world(
    powered_type(
        60,
        supply_bays={"count": 3, "takes": ["PS"]},
        fan_bays={"takes": ["FAN", "FAN-2"], "by_supplies": [1, 2]},
    ),
    PS,
    fan_trays=TRAYS,
)
PLAIN = world(powered_type(60, "PS"), PS, fan_trays=TRAYS)
RULE = "power.fan_trays"


@pytest.mark.parametrize(("supplies", "trays"), [(1, 1), (2, 2), (3, 2)])
def test_trays_follow_the_number_of_supplies(supplies: int, trays: int) -> None:
    """One supply needs one tray, two need two; the last figure holds for three as well."""
    one = unit(supplies=fitted(*["PS"] * supplies), fan_trays=("FAN",) * trays)
    assert found(build(one), make_ask(), CATALOG) == {}


def test_a_second_supply_needs_a_second_tray() -> None:
    """Two supplies with one tray lack one."""
    one = build(unit(supplies=fitted("PS", "PS"), fan_trays=("FAN",)))
    assert found(one, make_ask(), CATALOG) == {RULE: ["unit 1: 1 fan trays, T with 2 supplies has 2"]}


def test_a_tray_too_many_has_no_place() -> None:
    """Three supplies with three trays have one too many."""
    one = build(unit(supplies=fitted("PS", "PS", "PS"), fan_trays=("FAN",) * 3))
    assert found(one, make_ask(), CATALOG) == {RULE: ["unit 1: 3 fan trays, T with 3 supplies has 2"]}


def test_a_tray_of_another_line_up_does_not_fit() -> None:
    """The type takes FAN and FAN-2."""
    one = build(unit(supplies=fitted("PS"), fan_trays=("FAN-X",)))
    assert found(one, make_ask(), CATALOG) == {RULE: ["unit 1: FAN-X is a fan tray, T takes FAN, FAN-2"]}


def test_trays_of_a_unit_are_alike() -> None:
    """FAN beside FAN-2 is one kind too many."""
    one = build(unit(supplies=fitted("PS", "PS"), fan_trays=("FAN", "FAN-2")))
    assert found(one, make_ask(), CATALOG) == {RULE: ["unit 1: 2 kinds of fan tray, a unit takes 1: FAN, FAN-2"]}


def test_a_type_without_fan_bays_has_no_trays() -> None:
    """Nothing to fit, nothing to order."""
    assert found(build(unit(supplies=fitted("PS"))), make_ask(), PLAIN) == {}
    one = build(unit(supplies=fitted("PS"), fan_trays=("FAN",)))
    assert found(one, make_ask(), PLAIN) == {RULE: ["unit 1: 1 fan trays, T with 1 supplies has 0"]}
