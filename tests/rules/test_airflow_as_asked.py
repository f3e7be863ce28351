"""Every unit blows in the direction asked."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.catalog import Catalog
from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, part, unit

OUT, IN = "front-to-back", "back-to-front"
SUPPLIES = [
    supply("PS-OUT", (100, 240, 500), airflow=OUT),
    supply("PS-IN", (100, 240, 500), airflow=IN),
    supply("PS-STILL", (100, 240, 500)),
]
RULE = "airflow.as_asked"


def catalog(**said: Any) -> Catalog:
    """A type with one supply bay and no fan bay."""
    bays = {"supply_bays": {"count": 1, "takes": ["PS-OUT", "PS-IN", "PS-STILL"]}}
    trays = [part("FAN-OUT", airflow=OUT), part("FAN-IN", airflow=IN)]
    return world(powered_type(60, **{**bays, **said}), *SUPPLIES, fan_trays=trays)


def test_a_supply_blows_as_asked() -> None:
    """Asked is back to front."""
    assert found(build(unit(supplies=fitted("PS-IN"))), make_ask(airflow=IN), catalog()) == {}


def test_a_supply_that_blows_the_other_way_is_wrong() -> None:
    """Asked is back to front, the supply blows from front to back."""
    one = build(unit(supplies=fitted("PS-OUT")))
    assert found(one, make_ask(airflow=IN), catalog()) == {
        RULE: ["unit 1: T blows front-to-back, asked is back-to-front"]
    }


def test_a_tray_that_blows_the_other_way_is_wrong() -> None:
    """The supply has no fan of its own, the tray blows from back to front."""
    trays = {"takes": ["FAN-IN"], "by_supplies": [1]}
    one = build(unit(supplies=fitted("PS-STILL"), fan_trays=("FAN-IN",)))
    assert found(one, make_ask(airflow=IN), catalog(fan_bays=trays)) == {}
    assert found(one, make_ask(airflow=OUT), catalog(fan_bays=trays)) == {
        RULE: ["unit 1: T blows back-to-front, asked is front-to-back"]
    }


def test_a_type_that_blows_the_other_way_is_wrong() -> None:
    """Nothing in the unit can be changed, its own fan blows from front to back."""
    one = build(unit(supplies=fitted("PS-STILL")))
    assert found(one, make_ask(airflow=OUT), catalog(airflow=OUT)) == {}
    assert found(one, make_ask(airflow=IN), catalog(airflow=OUT)) == {
        RULE: ["unit 1: T blows front-to-back, asked is back-to-front"]
    }


@pytest.mark.parametrize("asked", [OUT, IN])
def test_types_without_direction_say_so(asked: str) -> None:
    """A fanless type is right everywhere, one that blows sideways nowhere, one of which nothing is known is let be."""
    one = build(unit(supplies=fitted("PS-STILL")))
    assert found(one, make_ask(airflow=asked), catalog(airflow="fanless")) == {}
    assert found(one, make_ask(airflow=asked), catalog()) == {}
    assert found(one, make_ask(airflow=asked), catalog(airflow="side-to-side")) == {
        RULE: [f"unit 1: T blows side-to-side, asked is {asked}"]
    }


def test_every_unit_counts() -> None:
    """The second of two units blows the other way."""
    two = build(unit(supplies=fitted("PS-IN")), unit(supplies=fitted("PS-OUT"), position=2))
    texts = found(two, make_ask(airflow=IN), catalog())[RULE]
    assert texts == ["unit 2: T blows front-to-back, asked is back-to-front"]


def test_where_nobody_asks_each_direction_is_right() -> None:
    """Nothing is said about airflow."""
    assert found(build(unit(supplies=fitted("PS-OUT"))), make_ask(), catalog()) == {}
