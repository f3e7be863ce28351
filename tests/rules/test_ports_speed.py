"""A port runs at the speed of its device."""

from __future__ import annotations

from configurator_rules.ports.speed import RULE
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
    unit_types=[
        unit_type(
            group("access", 8, speeds_mbps=[100, 1000, 2500]),
            cage("up", 2, speeds_mbps=[10_000, 40_000]),
            group("multirate", 8, speeds_mbps=[1000, 2500, 5000]),
        )
    ],
    cables=[twinax("FAN4", 3, ways=4), twinax("FAN2", 3, ways=2)],
)
ASK = make_ask(ports=[{"count": 1}, {"count": 1, "speed_mbps": "100M"}], uplinks=[{"count": 4, "speed_mbps": "10G"}])


def test_ports_at_the_speeds_asked() -> None:
    """A slow device runs where its speed is; a 40 Gb/s port splits into four of 10."""
    good = unit(
        use("access", 1),
        use("access", 2, "ports[1]", speed_mbps=100),
        uplink("up", 1),
        uplink("up", 2, way=3),
        splits=[split("up", 2, "FAN4")],
    )
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_a_multirate_port_may_lack_low_speeds() -> None:
    bad = unit(use("multirate", 5, "ports[1]", speed_mbps=100))
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 5 of multirate runs at 100 Mb/s, its speeds are 1 Gb/s, 2.5 Gb/s, 5 Gb/s"
    ]


def test_another_speed_than_asked_is_no_service() -> None:
    """The port could run at 2.5 Gb/s, but 1 Gb/s is asked."""
    bad = unit(use("access", 1, speed_mbps=2500))
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: ports[0] asks 1 Gb/s, port 1 of access runs at 2.5 Gb/s"
    ]


def test_a_split_port_needs_the_speed_of_all_its_ways() -> None:
    """Two ways of 10 Gb/s need a port of 20."""
    bad = unit(uplink("up", 2, way=1), splits=[split("up", 2, "FAN2")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 2 of up runs at 20 Gb/s (2 ways of 10 Gb/s), its speeds are 10 Gb/s, 40 Gb/s"
    ]
