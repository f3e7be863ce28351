"""A direct cable is at least as long as the way."""

from __future__ import annotations

from configurator_rules.twinax.length import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    make_ask,
    make_catalog,
    optic,
    twinax,
    unit,
    unit_type,
    uplink,
)

CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4))],
    cables=[twinax("DAC3", 3), twinax("AOC10", 10, kind="active optical")],
    optics=[optic("SR")],
)
ASK = make_ask(
    uplinks=[{"count": 1, "speed_mbps": "10G", "length_m": 3}, {"count": 1, "speed_mbps": "10G", "length_m": "10.5"}]
)


def test_as_long_as_the_way() -> None:
    """3 m for a way of 3 m, or more; an optic has no length."""
    good = unit(uplink("up", 1, "DAC3"), uplink("up", 2, "AOC10"), uplink("up", 3, "SR", statement="uplinks[1]"))
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_shorter_than_the_way() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "DAC3", statement="uplinks[1]"))), ASK, CATALOG) == [
        "unit 1: port 1 of up, uplinks[1]: DAC3 is 3 m long, the way is 10.5 m"
    ]


def test_active_optical_cables_have_fixed_ends_too() -> None:
    assert breaches(RULE, build(unit(uplink("up", 2, "AOC10", statement="uplinks[1]"))), ASK, CATALOG) == [
        "unit 1: port 2 of up, uplinks[1]: AOC10 is 10 m long, the way is 10.5 m"
    ]
