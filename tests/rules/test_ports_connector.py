"""A copper device goes to an RJ45 port or a copper optic; anything else needs a plug in a cage."""

from __future__ import annotations

import pytest

from configurator_rules.ports.connector import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    copper_optic,
    group,
    make_ask,
    make_catalog,
    optic,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

CATALOG = make_catalog(
    unit_types=[unit_type(group("access", 8), cage("up", 4), group("old", 4, connector="LC"))],
    optics=[optic("SR"), copper_optic("T")],
    cables=[twinax("DAC", 3)],
)
ASK = make_ask(
    ports=[{"count": 1}, {"count": 1, "over": "OM4"}],
    devices=[{"kind": "phone", "count": 1}],
    uplinks=[{"count": 1, "speed_mbps": "10G"}, {"count": 1, "speed_mbps": "1G", "over": "copper"}],
)


def test_copper_in_rj45_and_plugs_in_cages() -> None:
    good = unit(
        use("access", 1),
        use("access", 2, "devices[0]"),
        use("access", 3, "uplinks[1]"),
        use("up", 1, plug="T"),
        use("up", 2, "ports[1]", plug="SR"),
        uplink("up", 3, "DAC"),
    )
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_an_empty_cage_connects_nothing() -> None:
    assert breaches(RULE, build(unit(use("up", 4, "devices[0]"))), ASK, CATALOG) == [
        "unit 1: port 4 of up is a cage (SFP+) with nothing in it: devices[0]"
    ]


def test_a_fixed_port_takes_no_plug() -> None:
    assert breaches(RULE, build(unit(use("access", 1, plug="T"))), ASK, CATALOG) == [
        "unit 1: port 1 of access has a fixed connector (RJ45) and holds T: ports[0]"
    ]


def test_a_fixed_connector_that_isnt_rj45_serves_no_device() -> None:
    assert breaches(RULE, build(unit(use("old", 2, "ports[1]"))), ASK, CATALOG) == [
        "unit 1: port 2 of old has a fixed connector (LC) that serves no device: ports[1]"
    ]


@pytest.mark.parametrize(("statement", "over"), [("ports[1]", "OM4"), ("uplinks[0]", "any")])
def test_what_isnt_copper_needs_a_plug(statement: str, over: str) -> None:
    assert breaches(RULE, build(unit(use("access", 6, statement))), ASK, CATALOG) == [
        f"unit 1: port 6 of access has no plug for a link over {over}: {statement}"
    ]


@pytest.mark.parametrize(("plug", "ends"), [("SR", "LC"), ("DAC", "SFP+")])
def test_copper_needs_a_copper_optic(plug: str, ends: str) -> None:
    assert breaches(RULE, build(unit(use("up", 1, "uplinks[1]", plug=plug))), ASK, CATALOG) == [
        f"unit 1: port 1 of up holds {plug} ({ends}) for a link over copper (RJ45): uplinks[1]"
    ]
