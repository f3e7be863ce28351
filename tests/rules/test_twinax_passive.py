"""Passive twinax is used only below the length from which active cables are."""

from __future__ import annotations

from typing import Any

from configurator.setting import Ask
from configurator_rules.twinax.passive import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    make_ask,
    make_catalog,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
)

PARTS: dict[str, Any] = {
    "unit_types": [unit_type(cage("up", 4))],
    "cables": [twinax("PASSIVE", 7), twinax("ACTIVE", 7, kind="active twinax"), twinax("FAN", 7, ways=4)],
}
CATALOG = make_catalog(practice={"passive_twinax_below_m": 5}, **PARTS)  # common practice


def asked(length_m: str) -> Ask:
    """One uplink over this way."""
    return make_ask(uplinks=[{"count": 1, "speed_mbps": "10G", "length_m": length_m}])


def test_passive_to_just_under_five_metres_and_active_from_there() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "PASSIVE"))), asked("4.9"), CATALOG) == []
    assert breaches(RULE, build(unit(uplink("up", 1, "ACTIVE"))), asked("5"), CATALOG) == []


def test_passive_from_five_metres_on() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "PASSIVE"))), asked("5"), CATALOG) == [
        "unit 1: port 1 of up, uplinks[0]: passive twinax over 5 m, it is used below 5 m"
    ]


def test_a_passive_split_cable_over_a_long_way() -> None:
    bad = unit(uplink("up", 2, way=3), splits=[split("up", 2, "FAN")])
    assert breaches(RULE, build(bad), asked("6.5"), CATALOG) == [
        "unit 1: port 2 of up, uplinks[0]: passive twinax over 6.5 m, it is used below 5 m"
    ]


def test_a_passive_cable_over_a_long_way_between_units() -> None:
    links = [
        {"from_unit": 1, "to_unit": 2, "way_m": "0.5", "speed_mbps": 40_000, "parts": ["PASSIVE"]},
        {"from_unit": 2, "to_unit": 1, "way_m": "5.2", "speed_mbps": 40_000, "parts": ["ACTIVE", "PASSIVE"]},
    ]
    bad = build(unit(), unit(position=2), links=links)
    assert breaches(RULE, bad, asked("1"), CATALOG) == [
        "link of units 2 and 1: passive twinax over 5.2 m, it is used below 5 m"
    ]


def test_a_catalog_without_the_habit_is_free_of_it() -> None:
    free = make_catalog(**PARTS)
    assert breaches(RULE, build(unit(uplink("up", 1, "PASSIVE"))), asked("6"), free) == []
    assert not RULE.applies(free)
