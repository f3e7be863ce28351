"""An optic or cable end draws no more than its port allows."""

from __future__ import annotations

from configurator_rules.modules.optic_power import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    make_ask,
    make_catalog,
    optic,
    part,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
)

CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4, optic_limit_w="1.5"), cage("strong", 2, optic_limit_w=5), cage("any", 2))],
    optics=[optic("SR", draw_w="1.5"), optic("ER", draw_w="2.5")],
    cables=[twinax("FAN", 3, ways=4, draw_w="1.6")],
)
ASK = make_ask(uplinks=[{"count": 2, "speed_mbps": "10G"}])


def test_optics_within_the_limit() -> None:
    """1.5 W in a port that allows 1.5, and 2.5 W where 5 are allowed or nothing is said."""
    good = unit(uplink("up", 1, "SR"), uplink("strong", 1, "ER"), uplink("any", 1, "ER"))
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_a_long_reach_optic_in_a_port_for_short_ones() -> None:
    assert breaches(RULE, build(unit(uplink("up", 2, "ER"))), ASK, CATALOG) == [
        "unit 1: ER draws 2.5 W in port 2 of up, which allows 1.5 W"
    ]


def test_a_split_cable_over_the_limit_is_told_once() -> None:
    bad = unit(*(uplink("up", 1, "FAN", way=w) for w in (1, 2)), splits=[split("up", 1, "FAN")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == ["unit 1: FAN draws 1.6 W in port 1 of up, which allows 1.5 W"]


def test_a_catalog_without_limits_is_free_of_the_rule() -> None:
    limited = cage("up", 4, optic_limit_w=2)
    assert RULE.applies(make_catalog(unit_types=[unit_type(cage("up", 4))], modules=[part("M", ports=[limited])]))
    assert not RULE.applies(make_catalog(unit_types=[unit_type(cage("up", 4))], modules=[part("M")]))
