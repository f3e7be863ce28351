"""Uplinks are on as many units as asked."""

from __future__ import annotations

from configurator_rules.ports.spread import RULE
from tests.rules.worlds import breaches, build, cage, make_ask, make_catalog, unit, unit_type, uplink

CATALOG = make_catalog(unit_types=[unit_type(cage("up", 4))])
ASK = make_ask(uplinks=[{"count": 3, "speed_mbps": "10G", "spread_over_units": 2, "name": "core"}])


def test_three_uplinks_on_two_units() -> None:
    good = build(unit(uplink("up", 1), uplink("up", 2)), unit(uplink("up", 1), position=2))
    assert breaches(RULE, good, ASK, CATALOG) == []


def test_all_uplinks_on_one_of_two_units() -> None:
    bad = build(unit(), unit(uplink("up", 1), uplink("up", 2), uplink("up", 3), position=2))
    assert breaches(RULE, bad, ASK, CATALOG) == ["uplinks[0] (core): on 2 units asked, on 1 found"]


def test_uplinks_of_another_statement_dont_count() -> None:
    uplinks = [{"count": 2, "speed_mbps": "10G", "spread_over_units": 2}, {"count": 1, "speed_mbps": "10G"}]
    bad = build(unit(uplink("up", 1), uplink("up", 2)), unit(uplink("up", 1, statement="uplinks[1]"), position=2))
    assert breaches(RULE, bad, make_ask(uplinks=uplinks), CATALOG) == ["uplinks[0]: on 2 units asked, on 1 found"]


def test_uplinks_stay_together_when_nobody_asks_otherwise() -> None:
    ask = make_ask(uplinks=[{"count": 2, "speed_mbps": "10G"}])
    assert breaches(RULE, build(unit(uplink("up", 1), uplink("up", 2)), unit(position=2)), ask, CATALOG) == []
