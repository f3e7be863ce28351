"""All supplies and fan trays of a unit blow in one direction, the type's own if it has one."""

from __future__ import annotations

from typing import Any

from configurator.catalog import Catalog
from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, part, unit

OUT, IN = "front-to-back", "back-to-front"
SUPPLIES = [
    supply("PS-OUT", (100, 240, 500), airflow=OUT),
    supply("PS-IN", (100, 240, 500), airflow=IN),
    supply("PS-STILL", (100, 240, 500)),
]
RULE = "airflow.one_direction"


def catalog(**said: Any) -> Catalog:
    """A type with two supply bays that may be mixed, and one fan bay."""
    bays = {
        "supply_bays": {"count": 2, "takes": ["PS-OUT", "PS-IN", "PS-STILL"], "mixed": True},
        "fan_bays": {"takes": ["FAN-OUT", "FAN-IN"], "by_supplies": [1]},
    }
    trays = [part("FAN-OUT", airflow=OUT), part("FAN-IN", airflow=IN)]
    return world(powered_type(60, **{**bays, **said}), *SUPPLIES, fan_trays=trays)


def test_all_blow_one_way() -> None:
    """Two supplies and a tray blow from front to back; a supply without a fan blows nowhere."""
    one = build(unit(supplies=fitted("PS-OUT", "PS-OUT"), fan_trays=("FAN-OUT",)))
    assert found(one, make_ask(), catalog()) == {}
    assert found(one, make_ask(), catalog(airflow=OUT)) == {}
    still = build(unit(supplies=fitted("PS-STILL", "PS-IN"), fan_trays=("FAN-IN",)))
    assert found(still, make_ask(), catalog()) == {}


def test_a_tray_does_not_blow_against_the_supplies() -> None:
    """The supplies blow out at the back, the tray blows in there."""
    one = build(unit(supplies=fitted("PS-OUT", "PS-OUT"), fan_trays=("FAN-IN",)))
    text = "unit 1: 2 directions of air in one unit: FAN-IN blow back-to-front; PS-OUT blow front-to-back"
    assert found(one, make_ask(), catalog()) == {RULE: [text]}


def test_supplies_do_not_blow_against_each_other() -> None:
    """One supply blows out, the other in."""
    one = build(unit(supplies=fitted("PS-OUT", "PS-IN"), fan_trays=("FAN-IN",)))
    text = "unit 1: 2 directions of air in one unit: FAN-IN, PS-IN blow back-to-front; PS-OUT blow front-to-back"
    assert found(one, make_ask(), catalog()) == {RULE: [text]}


def test_parts_blow_the_way_of_their_type() -> None:
    """A type that blows from front to back takes no supply that blows the other way."""
    one = build(unit(supplies=fitted("PS-IN")))
    text = "unit 1: 2 directions of air in one unit: PS-IN blow back-to-front; T blow front-to-back"
    assert found(one, make_ask(), catalog(airflow=OUT, fan_bays=None)) == {RULE: [text]}


def test_units_of_a_stack_may_differ() -> None:
    """One unit blows out, the next one in."""
    two = build(
        unit(supplies=fitted("PS-OUT"), fan_trays=("FAN-OUT",)),
        unit(supplies=fitted("PS-IN"), fan_trays=("FAN-IN",), position=2),
    )
    assert RULE not in found(two, make_ask(), catalog())
