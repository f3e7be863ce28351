"""There are spare ports and uplinks for growth, and growth draws watts unless the demand says otherwise."""

from __future__ import annotations

from configurator.build import Build
from configurator_rules.ports.headroom import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type, uplink, use

CATALOG = make_catalog(unit_types=[unit_type(group("access", 48, poe_class=4))])


def served(count: int, powered: int = 0) -> Build:
    """So many ports for the first devices, the first of them powered."""
    return build(unit(*(use("access", n + 1, "devices[0]", powered=n < powered) for n in range(count))))


def test_twenty_percent_of_eleven_is_rounded_up() -> None:
    """11 and 20 % are 13.2: 14 ports."""
    ask = make_ask(devices=[{"kind": "desk", "count": 11}], headroom_percent=20)
    assert breaches(RULE, served(14), ask, CATALOG) == []
    assert breaches(RULE, served(13), ask, CATALOG) == [
        "devices[0] (desk): 11 and 20 % growth need 14 ports, 13 are there for it"
    ]


def test_growth_draws_watts() -> None:
    """10 powered and 30 % growth are 13 powered."""
    ask = make_ask(devices=[{"kind": "phone", "count": 10, "poe_class": 2}], headroom_percent=30)
    assert breaches(RULE, served(13, powered=13), ask, CATALOG) == []
    assert breaches(RULE, served(13, powered=10), ask, CATALOG) == [
        "devices[0] (phone): 10 and 30 % growth need 13 powered ports, 10 are powered"
    ]


def test_growth_draws_nothing_when_the_demand_says_so() -> None:
    """Spare ports are ports, not watts, where growth doesn't draw."""
    ask = make_ask(devices=[{"kind": "phone", "count": 10, "poe_class": 2}], headroom_percent=30, headroom_draws=False)
    assert breaches(RULE, served(13, powered=10), ask, CATALOG) == []


def test_growth_by_number() -> None:
    """11 and 3 more are 14 ports."""
    ask = make_ask(devices=[{"kind": "desk", "count": 11}], headroom_count=3)
    assert breaches(RULE, served(14), ask, CATALOG) == []
    assert breaches(RULE, served(13), ask, CATALOG) == [
        "devices[0] (desk): 11 and 3 more need 14 ports, 13 are there for it"
    ]


def test_of_percent_and_number_the_larger_counts() -> None:
    """20 % of 11 are 3 ports, rounded up; 4 more are more, and 2 more are less."""
    four = make_ask(devices=[{"kind": "desk", "count": 11}], headroom_percent=20, headroom_count=4)
    two = make_ask(devices=[{"kind": "desk", "count": 11}], headroom_percent=20, headroom_count=2)
    assert breaches(RULE, served(15), four, CATALOG) == []
    assert breaches(RULE, served(14), four, CATALOG) == [
        "devices[0] (desk): 11 and 4 more need 15 ports, 14 are there for it"
    ]
    assert breaches(RULE, served(14), two, CATALOG) == []
    assert breaches(RULE, served(13), two, CATALOG) == [
        "devices[0] (desk): 11 and 20 % growth need 14 ports, 13 are there for it"
    ]


def test_growth_by_number_draws_watts_too() -> None:
    ask = make_ask(devices=[{"kind": "phone", "count": 10, "poe_class": 2}], headroom_count=2)
    assert breaches(RULE, served(12, powered=12), ask, CATALOG) == []
    assert breaches(RULE, served(12, powered=10), ask, CATALOG) == [
        "devices[0] (phone): 10 and 2 more need 12 powered ports, 10 are powered"
    ]


def linked(count: int) -> Build:
    """So many uplinks."""
    return build(unit(*(uplink("up", n + 1) for n in range(count))))


def test_growth_of_devices_is_none_of_uplinks() -> None:
    """And without head-room asked nothing is spare."""
    grown = make_ask(uplinks=[{"count": 2, "speed_mbps": "10G"}], headroom_percent=50, headroom_count=3)
    assert breaches(RULE, linked(2), grown, CATALOG) == []
    assert breaches(RULE, served(1), make_ask(devices=[{"kind": "desk", "count": 4}]), CATALOG) == []


def test_uplinks_grow_by_their_own_percent_or_number() -> None:
    """3 and 50 % are 4.5: 5 uplinks; 3 and 3 more are 6."""
    links = [{"count": 3, "speed_mbps": "10G"}]
    half = make_ask(uplinks=links, headroom_uplinks_percent=50)
    more = make_ask(uplinks=links, headroom_uplinks_percent=50, headroom_uplinks_count=3)
    assert breaches(RULE, linked(5), half, CATALOG) == []
    assert breaches(RULE, linked(4), half, CATALOG) == [
        "uplinks[0]: 3 and 50 % growth need 5 ports, 4 are there for it"
    ]
    assert breaches(RULE, linked(6), more, CATALOG) == []
    assert breaches(RULE, linked(5), more, CATALOG) == ["uplinks[0]: 3 and 3 more need 6 ports, 5 are there for it"]


def test_growth_of_uplinks_is_none_of_devices() -> None:
    ask = make_ask(devices=[{"kind": "desk", "count": 4}], headroom_uplinks_percent=50, headroom_uplinks_count=3)
    assert breaches(RULE, served(4), ask, CATALOG) == []
