"""The warmest air at the inlets is within what each unit takes in at the site's altitude."""

from __future__ import annotations

import pytest

from configurator_rules.site.inlet_air import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type

TYPES = [
    unit_type(group("access", 24), hottest_inlet_c=45, cooler_each_m=300),
    unit_type(group("access", 24), id="FLAT", hottest_inlet_c=45),
    unit_type(group("access", 24), id="UNKNOWN"),
]
CATALOG = make_catalog(unit_types=TYPES)
ONE, FLAT = build(unit()), build(unit(unit_type="FLAT"))


@pytest.mark.parametrize(("inlet_c", "altitude_m"), [(45, 0), (44, 1), (44, 300), (41, 1200), (-5, 9000)])
def test_a_degree_less_for_each_step_of_300_m(inlet_c: int, altitude_m: int) -> None:
    assert breaches(RULE, ONE, make_ask(inlet_c=inlet_c, altitude_m=altitude_m), CATALOG) == []


@pytest.mark.parametrize(
    ("inlet_c", "altitude_m", "up_to_m"), [(45, 1, 0), (44, 301, 300), (42, 901, 900), (41, 1201, 1200)]
)
def test_a_step_begun_is_a_whole_degree(inlet_c: int, altitude_m: int, up_to_m: int) -> None:
    takes = "T takes in air of 45 °C, 1 degree less for each 300 m"
    assert breaches(RULE, ONE, make_ask(inlet_c=inlet_c, altitude_m=altitude_m), CATALOG) == [
        f"unit 1: {takes}: air of {inlet_c} °C up to {up_to_m} m, the site is at {altitude_m} m"
    ]


def test_too_warm_anywhere() -> None:
    for one in (ONE, FLAT):
        assert breaches(RULE, one, make_ask(inlet_c=46), CATALOG) == [
            f"unit 1: {one.units[0].unit_type} takes in air of 45 °C, the warmest is 46 °C"
        ]


def test_a_type_without_steps_is_the_same_everywhere() -> None:
    assert breaches(RULE, FLAT, make_ask(inlet_c=45, altitude_m=3000), CATALOG) == []


def test_nothing_stated_or_nothing_known_passes() -> None:
    assert breaches(RULE, ONE, make_ask(altitude_m=9000), CATALOG) == []
    assert breaches(RULE, build(unit(unit_type="UNKNOWN")), make_ask(inlet_c=80), CATALOG) == []


def test_a_catalog_without_temperatures_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=TYPES[2:]))
