"""Neighbouring ports of one block all run at one speed."""

from __future__ import annotations

from configurator_rules.ports.block import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    group,
    make_ask,
    make_catalog,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 8, block=4, speeds_mbps=[1000, 10_000, 25_000, 40_000]), group("access", 8))],
    cables=[twinax("FAN", 3, ways=4)],
)
ASK = make_ask(uplinks=[{"count": 4, "speed_mbps": "10G"}])


def test_each_block_at_a_speed_of_its_own() -> None:
    """Ports 1 to 4 at 10 Gb/s and 5 to 8 at 1 Gb/s; groups without blocks mix."""
    good = unit(uplink("up", 1), uplink("up", 4), use("up", 5), use("access", 1), use("access", 2, speed_mbps=100))
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_two_speeds_in_one_block() -> None:
    bad = unit(uplink("up", 5), use("up", 8))
    assert breaches(RULE, build(bad), ASK, CATALOG) == ["unit 1: ports 5 to 8 of up run at 1 Gb/s, 10 Gb/s"]


def test_a_split_port_runs_at_the_speed_of_all_its_ways() -> None:
    """Four ways of 10 Gb/s make a port of 40 Gb/s, beside which no port runs at 10."""
    split_port = split("up", 1, "FAN")
    bad = unit(uplink("up", 1, way=1), uplink("up", 1, way=2), uplink("up", 2), splits=[split_port])
    assert breaches(RULE, build(bad), ASK, CATALOG) == ["unit 1: ports 1 to 4 of up run at 10 Gb/s, 40 Gb/s"]
    good = unit(uplink("up", 1, way=1), uplink("up", 1, way=2), uplink("up", 5), splits=[split_port])
    assert breaches(RULE, build(good), ASK, CATALOG) == []
