"""The site is no higher than each unit works at."""

from __future__ import annotations

from configurator_rules.site.altitude import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type

TYPES = [unit_type(group("access", 24), highest_m=2000), unit_type(group("access", 24), id="UNKNOWN")]
CATALOG = make_catalog(unit_types=TYPES)


def test_a_unit_works_as_high_as_it_says() -> None:
    assert breaches(RULE, build(unit()), make_ask(altitude_m=2000), CATALOG) == []


def test_a_metre_too_high() -> None:
    assert breaches(RULE, build(unit()), make_ask(altitude_m=2001), CATALOG) == [
        "unit 1: T works up to 2000 m, the site is at 2001 m: over by 1 m"
    ]


def test_each_unit_is_looked_at() -> None:
    two = build(unit(unit_type="UNKNOWN"), unit(position=2))
    assert breaches(RULE, two, make_ask(altitude_m=3000), CATALOG) == [
        "unit 2: T works up to 2000 m, the site is at 3000 m: over by 1000 m"
    ]


def test_nothing_stated_or_nothing_known_passes() -> None:
    assert breaches(RULE, build(unit()), make_ask(), CATALOG) == []
    assert breaches(RULE, build(unit(unit_type="UNKNOWN")), make_ask(altitude_m=9000), CATALOG) == []


def test_a_catalog_without_altitudes_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=TYPES[1:]))
