"""An optic or cable goes only into a port whose cage lists it."""

from __future__ import annotations

from configurator_rules.modules.matrix import RULE
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
)

CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4), cage("odd", 2, cage="C-ODD"))],
    optics=[optic("SR"), optic("LR")],
    cables=[twinax("DAC", 3), twinax("FAN", 3, ways=4)],
    optics_matrix=[{"cage": "C-SFP+", "takes": ["SR", "DAC"]}],
)
ASK = make_ask(uplinks=[{"count": 2, "speed_mbps": "10G"}])


def test_listed_optics_and_cables() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "SR"), uplink("up", 2, "DAC"))), ASK, CATALOG) == []


def test_an_optic_that_isnt_listed() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "SR"), uplink("up", 4, "LR"))), ASK, CATALOG) == [
        "unit 1: port 4 of up holds LR, which is not among the 2 parts that cage C-SFP+ takes"
    ]


def test_a_part_that_nobody_knows_isnt_listed() -> None:
    assert breaches(RULE, build(unit(uplink("up", 1, "NONE"))), ASK, CATALOG) == [
        "unit 1: port 1 of up holds NONE, which is not among the 2 parts that cage C-SFP+ takes"
    ]


def test_a_cage_without_a_row_takes_nothing() -> None:
    assert breaches(RULE, build(unit(uplink("odd", 1, "SR"))), ASK, CATALOG) == [
        "unit 1: port 1 of odd holds SR, which is not among the 0 parts that cage C-ODD takes"
    ]


def test_a_split_cable_that_isnt_listed_is_told_once() -> None:
    bad = unit(*(uplink("up", 3, "FAN", way=w) for w in (1, 2, 3)), splits=[split("up", 3, "FAN")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 3 of up holds FAN, which is not among the 2 parts that cage C-SFP+ takes"
    ]


def test_a_catalog_without_a_matrix_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(optics=[optic("SR")]))
