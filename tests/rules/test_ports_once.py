"""A port is used once: it serves one device, is split, or stacks."""

from __future__ import annotations

from configurator_rules.ports.once import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    group,
    make_ask,
    make_catalog,
    part,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

CATALOG = make_catalog(
    unit_types=[unit_type(group("access", 8), cage("up", 2), module_slots=[{"id": "S", "takes": ["M"]}])],
    modules=[part("M", ports=[cage("up", 4)])],
    cables=[twinax("FAN", 3, ways=4)],
)
ASK = make_ask(ports=[{"count": 4}], uplinks=[{"count": 4, "speed_mbps": "10G"}])


def test_every_port_and_way_once_is_good() -> None:
    """Ports of one name in chassis and module are two, and each way of a split port is one."""
    good = unit(
        use("access", 1),
        use("access", 8),
        uplink("up", 1),
        uplink("up", 1, slot="S"),
        uplink("up", 2, way=1),
        uplink("up", 2, way=4),
        splits=[split("up", 2, "FAN")],
        modules=[{"slot": "S", "module": "M"}],
    )
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_two_devices_in_one_port() -> None:
    bad = unit(use("access", 3), use("access", 3), use("access", 3, "uplinks[0]"), position=2)
    assert breaches(RULE, build(bad), ASK, CATALOG) == ["unit 2: port 3 of access is used 3 times"]


def test_two_uplinks_on_one_way() -> None:
    bad = unit(uplink("up", 2, way=4), uplink("up", 2, way=4), splits=[split("up", 2, "FAN")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == ["unit 1: way 4 of port 2 of up is used 2 times"]


def test_ports_that_arent_there() -> None:
    """Numbers run from 1 to the group's count."""
    bad = build(unit(use("access", 9), use("access", 0)), unit(uplink("up", 1, slot="S"), position=2))
    assert breaches(RULE, bad, ASK, CATALOG) == [
        "unit 1: port 9 of access is used, but the group has ports 1 to 8",
        "unit 1: port 0 of access is used, but the group has ports 1 to 8",
        "unit 2: port 1 of up in slot S is used, but the unit has no such group of ports",
    ]


def test_a_way_that_isnt_there() -> None:
    """A split port has as many ways as its cable; one that isn't split has none."""
    bad = unit(uplink("up", 2, way=5), uplink("up", 1, way=1), splits=[split("up", 2, "FAN")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: way 5 of port 2 of up is used, but it has ways 1 to 4",
        "unit 1: way 1 of port 1 of up is used, but the port isn't split",
    ]


def test_a_split_port_serves_nothing_whole() -> None:
    bad = unit(uplink("up", 2), splits=[split("up", 2, "FAN"), split("up", 2, "FAN")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 2 of up serves uplinks[0] whole, but it is split",
        "unit 1: port 2 of up is split 2 times",
    ]


def test_a_port_that_stacks_serves_nothing() -> None:
    """The group's other ports may serve."""
    bad = unit(uplink("up", 1), uplink("up", 2), stack_group="up", stack_ports=[1])
    assert breaches(RULE, build(bad), ASK, CATALOG) == ["unit 1: port 1 of up is used, but it stacks"]


def test_a_unit_of_no_known_type_has_no_ports() -> None:
    bad = unit(use("access", 1), unit_type="NONE")
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 1 of access is used, but the unit has no such group of ports"
    ]
