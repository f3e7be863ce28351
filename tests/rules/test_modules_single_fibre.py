"""A link over one strand takes single-fibre optics, and no other link does."""

from __future__ import annotations

from configurator_rules.modules.single_fibre import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    make_ask,
    make_catalog,
    optic,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4))],
    optics=[optic("SR"), optic("BIDI", fibres=1), optic("SR4", fibres=8)],
    cables=[twinax("DAC", 3)],
)
ASK = make_ask(
    ports=[{"count": 1, "over": "OM4"}],
    uplinks=[{"count": 1, "speed_mbps": "10G", "single_fibre": True}, {"count": 1, "speed_mbps": "10G"}],
)


def test_as_many_strands_as_lie_there() -> None:
    good = unit(
        uplink("up", 1, "BIDI"),
        uplink("up", 2, "SR", statement="uplinks[1]"),
        uplink("up", 3, "DAC", statement="uplinks[1]"),
        use("up", 4, plug="SR"),
    )
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_an_ordinary_optic_on_one_strand() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "SR"))), ASK, CATALOG) == [
        "unit 1: port 1 of up, uplinks[0]: 1 strand lies there, SR needs 2"
    ]


def test_no_optic_on_one_strand() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "DAC"))), ASK, CATALOG) == [
        "unit 1: port 1 of up, uplinks[0]: 1 strand lies there, the port has no optic"
    ]


def test_a_single_fibre_optic_where_nobody_said_one_strand() -> None:
    bad = unit(uplink("up", 1, "BIDI", statement="uplinks[1]"), use("up", 2, plug="BIDI"))
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 1 of up, uplinks[1]: the link isn't over 1 strand, BIDI needs 1",
        "unit 1: port 2 of up, ports[0]: the link isn't over 1 strand, BIDI needs 1",
    ]


def test_one_strand_isnt_split() -> None:
    bad = unit(uplink("up", 1, "SR4", way=1), splits=[split("up", 1, "SR4", "LEADS")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 1 of up, uplinks[0]: 1 strand lies there, SR4 needs 8"
    ]
