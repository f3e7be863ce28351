"""Access bandwidth, growth included, stays within the ratio asked to the uplinks' bandwidth."""

from __future__ import annotations

from typing import Any

from configurator.setting import Ask
from configurator_rules.ports.oversubscription import RULE
from tests.rules.worlds import breaches, build, cage, make_ask, make_catalog, unit, unit_type, uplink

CATALOG = make_catalog(unit_types=[unit_type(cage("up", 4))])
TWO = build(unit(uplink("up", 1), uplink("up", 2)))
ONE = build(unit(uplink("up", 1)))


def asked(**wishes: Any) -> Ask:
    """40 ports and 8 devices of 1 Gb/s, and two uplinks of 10."""
    own = {
        "ports": [{"count": 40}],
        "devices": [{"kind": "server", "count": 8}],
        "uplinks": [{"count": 2, "speed_mbps": "10G"}],
    }
    return make_ask(**own, **wishes)


def test_48_ports_over_two_uplinks_are_2_4_to_1() -> None:
    """The arithmetic of the trade's worked example: 48 over 20 Gb/s."""
    assert breaches(RULE, TWO, asked(oversubscription="2.4"), CATALOG) == []
    assert breaches(RULE, TWO, asked(oversubscription="2.3"), CATALOG) == [
        "48 Gb/s of access over 20 Gb/s of uplinks: 2.3 to 1 asked"
    ]


def test_growth_counts() -> None:
    """40 and 8, each with a quarter more, are 60 Gb/s: 3 to 1."""
    assert breaches(RULE, TWO, asked(oversubscription=3, headroom_percent=25), CATALOG) == []
    assert breaches(RULE, TWO, asked(oversubscription="2.9", headroom_percent=25), CATALOG) == [
        "60 Gb/s of access over 20 Gb/s of uplinks: 2.9 to 1 asked"
    ]


def test_growth_by_number_counts() -> None:
    """40 and 10 more, 8 and 10 more, are 68 Gb/s; 25 % of 40 are as many, of 8 fewer."""
    grown = {"headroom_percent": 25, "headroom_count": 10}
    assert breaches(RULE, TWO, asked(oversubscription="3.4", **grown), CATALOG) == []
    assert breaches(RULE, TWO, asked(oversubscription="3.3", **grown), CATALOG) == [
        "68 Gb/s of access over 20 Gb/s of uplinks: 3.3 to 1 asked"
    ]


def test_uplinks_for_growth_carry_too() -> None:
    """A third uplink that is there counts: 48 over 30 Gb/s."""
    three = build(unit(uplink("up", 1), uplink("up", 2), uplink("up", 3)))
    assert breaches(RULE, three, asked(oversubscription="1.6", headroom_uplinks_count=1), CATALOG) == []
    assert breaches(RULE, TWO, asked(oversubscription="1.6", headroom_uplinks_count=1), CATALOG) == [
        "48 Gb/s of access over 20 Gb/s of uplinks: 1.6 to 1 asked"
    ]


def test_uplinks_that_arent_there_carry_nothing() -> None:
    assert breaches(RULE, ONE, asked(oversubscription=4), CATALOG) == [
        "48 Gb/s of access over 10 Gb/s of uplinks: 4 to 1 asked"
    ]


def test_no_ratio_is_asked() -> None:
    assert breaches(RULE, ONE, asked(), CATALOG) == []
