"""Each unit is no deeper than the rack's usable depth."""

from __future__ import annotations

from configurator_rules.racking.depth import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type

TYPES = [unit_type(group("access", 24), depth_mm=350), unit_type(group("access", 24), id="UNKNOWN")]
CATALOG = make_catalog(unit_types=TYPES)


def test_a_unit_as_deep_as_the_rack_fits() -> None:
    assert breaches(RULE, build(unit()), make_ask(rack_depth_mm=350), CATALOG) == []


def test_a_millimetre_too_much() -> None:
    assert breaches(RULE, build(unit()), make_ask(rack_depth_mm=349), CATALOG) == [
        "unit 1: T is 350 mm deep, usable are 349 mm: over by 1 mm"
    ]


def test_each_unit_is_looked_at() -> None:
    two = build(unit(unit_type="UNKNOWN"), unit(position=2))
    assert breaches(RULE, two, make_ask(rack_depth_mm=300), CATALOG) == [
        "unit 2: T is 350 mm deep, usable are 300 mm: over by 50 mm"
    ]


def test_nothing_stated_or_nothing_known_passes() -> None:
    assert breaches(RULE, build(unit()), make_ask(), CATALOG) == []
    assert breaches(RULE, build(unit(unit_type="UNKNOWN")), make_ask(rack_depth_mm=1), CATALOG) == []


def test_a_catalog_without_depths_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=TYPES[1:]))
