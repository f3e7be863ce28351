"""Every inlet has a cord for the country, of the right connector, rating and length."""

from __future__ import annotations

from typing import Any

import pytest

from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, part, unit

# 900 W at 90 % and a power factor of 1 are 1000 VA: 10 A at 100 V, 10.1 A at 99 V
PS = supply("PS", (90, 240, 900), inlet="C14")
OPEN = supply("OPEN", (40, 60, 900))
# IEC 60320: C13 mates with C14, C15 with C16 and C14, C19 with C20
COUPLERS = [
    {"connector": "C13", "inlets": ["C14"], "rating_a": 10},
    {"connector": "C15", "inlets": ["C16", "C14"], "rating_a": 10},
    {"connector": "C19", "inlets": ["C20"], "rating_a": 16},
]


def cord(number: str, **said: Any) -> dict[str, Any]:
    """A 2 m cord of 10 A for Germany and France."""
    own = {"countries": ["DE", "FR"], "coupler": "C13", "plug": "CEE 7/7", "rating_a": 10, "length_m": 2}
    return part(number, **{**own, **said})


CORDS = [
    cord("CORD"),
    cord("HOT", coupler="C15"),
    cord("THICK", coupler="C19", rating_a=16),
    cord("WEAK", rating_a="2.5"),
    cord("US", countries=["US"], plug="NEMA 5-15"),
]
CATALOG = world(powered_type(60, "PS", "OPEN"), PS, OPEN, cords=CORDS, couplers=COUPLERS)
SITE: dict[str, Any] = {"country": "DE", "input_v": 230, "cord_m": "2"}
RULE = "power.cord"


@pytest.mark.parametrize("number", ["CORD", "HOT"])
def test_a_cord_fits_country_inlet_current_and_way(number: str) -> None:
    """900 W take 4.35 A at 230 V; a connector may mate with more than one inlet."""
    one = build(unit(supplies=fitted("PS", "PS", cord=number)))
    assert found(one, make_ask(**SITE), CATALOG) == {}


@pytest.mark.parametrize(
    ("number", "site", "text"),
    [
        (None, {}, "inlet C14 has no cord"),
        ("US", {}, "US is for US, the site is in DE"),
        ("CORD", {"country": "US"}, "CORD is for DE, FR, the site is in US"),
        ("THICK", {}, "THICK has a C19 connector, which doesn't mate with inlet C14"),
        ("WEAK", {}, "WEAK is rated 2.5 A, PS takes 4.35 A"),
        ("CORD", {"input_v": 99}, "CORD is rated 10 A, PS takes 10.11 A"),
        ("CORD", {"cord_m": "2.5"}, "CORD is 2 m long, the outlet needs 2.5 m"),
    ],
)
def test_a_cord_that_fails_in_one_way_is_told(number: str | None, site: dict[str, Any], text: str) -> None:
    """Missing, for another country, for another inlet, too weak, too short."""
    one = build(unit(supplies=fitted("PS", cord=number)))
    assert found(one, make_ask(**{**SITE, **site}), CATALOG) == {RULE: [f"unit 1: bay 1: {text}"]}


def test_a_cord_carries_its_rated_current() -> None:
    """900 W take 10 A at 100 V, which is all that a cord of 10 A carries."""
    one = build(unit(supplies=fitted("PS", cord="CORD")))
    assert found(one, make_ask(**{**SITE, "input_v": 100}), CATALOG) == {}


def test_power_factor_counts() -> None:
    """At a power factor of 0.95 the same supply takes 10.53 A at 100 V."""
    poor = supply("PS", (90, 240, 900), inlet="C14", power_factor="0.95")
    one = build(unit(supplies=fitted("PS", cord="CORD")))
    catalog = world(powered_type(60, "PS"), poor, cords=CORDS, couplers=COUPLERS)
    texts = found(one, make_ask(**{**SITE, "input_v": 100}), catalog)
    assert texts == {RULE: ["unit 1: bay 1: CORD is rated 10 A, PS takes 10.53 A"]}


def test_every_inlet_needs_a_cord() -> None:
    """Of two supplies one has a cord."""
    bays = ({"bay": 1, "supply": "PS", "cord": "CORD"}, {"bay": 2, "supply": "PS"})
    assert found(build(unit(supplies=bays)), make_ask(**SITE), CATALOG) == {
        RULE: ["unit 1: bay 2: inlet C14 has no cord"]
    }


def test_a_supply_without_an_inlet_needs_no_cord() -> None:
    """Direct current comes over terminals."""
    one = build(unit(supplies=fitted("OPEN")))
    assert found(one, make_ask(country="DE", input_v=48), CATALOG) == {}


def test_a_catalog_without_cords_asks_for_none() -> None:
    """Where cords are no parts, units are built without."""
    one = build(unit(supplies=fitted("PS")))
    assert found(one, make_ask(**SITE), world(powered_type(60, "PS"), PS)) == {}
