"""A port feeds at least the class, or the watts, of its device."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules.ports.poe_class import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    copper_optic,
    group,
    make_ask,
    make_catalog,
    unit,
    unit_type,
    use,
)

# IEEE 802.3, clauses 33 (classes 0 to 4) and 145 (5 to 8): watts at the port and at the device, loop ohms;
# lowest volts at the port are from memory.
CLASSES = [
    dict(poe_class=c, port_w=p, device_w=d, port_min_v=v, loop_ohm=r)
    for c, p, d, v, r in (
        (0, "15.4", "12.95", 44, "20"),
        (2, "7", "6.49", 44, "20"),
        (3, "15.4", "12.95", 44, "20"),
        (4, "30", "25.5", 50, "12.5"),
        (6, "60", "51", 50, "6.25"),
        (8, "90", "71.3", 52, "6.25"),
    )
]
GROUPS = [group(f"class{c}", 8, poe_class=c) for c in (0, 2, 3, 4, 6)]
CATALOG = make_catalog(
    unit_types=[unit_type(*GROUPS, group("plain", 8), cage("up", 2, poe_class=4))],
    optics=[copper_optic("T")],
    poe_classes=CLASSES,
)


def found(where: str, **device: Any) -> list[str]:
    """What is wrong with one device of this sort in the first port of a group."""
    ask = make_ask(devices=[{"kind": "camera", "count": 1, **device}])
    return breaches(RULE, build(unit(use(where, 1, "devices[0]"))), ask, CATALOG)


def test_the_same_class_or_a_higher_one() -> None:
    assert found("class3", poe_class=3) == []
    assert found("class6", poe_class=3) == []
    assert found("plain") == []


def test_a_lower_class() -> None:
    assert found("class4", poe_class=6) == [
        "unit 1: port 1 of class4, devices[0] (camera): class 6 asked, the port feeds class 4"
    ]


def test_a_port_without_poe() -> None:
    """Whether it is powered just now or not: every device of the statement has to start."""
    assert found("plain", poe_class=2, powered_percent=50) == [
        "unit 1: port 1 of plain, devices[0] (camera): class 2 asked, the port feeds no PoE"
    ]


def test_class_0_is_fed_like_class_3() -> None:
    """A class 0 device may take 15.4 W at the port, which a class 2 port doesn't give (clause 33)."""
    assert found("class3", poe_class=0) == []
    assert found("class0", poe_class=3) == []
    assert found("class2", poe_class=0) == [
        "unit 1: port 1 of class2, devices[0] (camera): class 0 asked, the port feeds class 2"
    ]


@pytest.mark.parametrize("asked", [{"powered_at_class": 4}, {"capable_of_class": 4}])
def test_ports_that_feed_or_could_feed_a_class(asked: dict[str, int]) -> None:
    ask = make_ask(ports=[{"count": 1, **asked}])
    assert breaches(RULE, build(unit(use("class4", 1))), ask, CATALOG) == []
    assert breaches(RULE, build(unit(use("class3", 1))), ask, CATALOG) == [
        "unit 1: port 1 of class3, ports[0]: class 4 asked, the port feeds class 3"
    ]


def test_watts_at_the_port() -> None:
    assert found("class4", port_w="30") == []
    assert found("class4", port_w="30.1") == [
        "unit 1: port 1 of class4, devices[0] (camera): 30.1 W asked at the port, class 4 gives 30 W"
    ]
    assert found("plain", port_w="5") == [
        "unit 1: port 1 of plain, devices[0] (camera): 5 W asked, the port feeds no known class"
    ]


def test_the_cables_loss_is_added_to_watts_at_the_device() -> None:
    """A class 4 port brings 30 - (30 / 50)² * 12.5 = 25.5 W over 100 m."""
    assert found("class4", device_w="25.5") == []
    assert found("class4", device_w="25.6") == [
        "unit 1: port 1 of class4, devices[0] (camera): 25.6 W asked at the device, class 4 brings 25.5 W over 100 m"
    ]


def test_a_short_cable_loses_less() -> None:
    """A class 3 port brings 15.4 - (15.4 / 44)² * 20 = 12.95 W over 100 m, over 50 m half of the loss stays."""
    assert found("class3", device_w="14.17", cable_m=50) == []
    assert found("class3", device_w="14.17", cable_m=100) == [
        "unit 1: port 1 of class3, devices[0] (camera): 14.17 W asked at the device, class 3 brings 12.95 W over 100 m"
    ]


def test_nothing_in_a_cage_feeds_a_device() -> None:
    ask = make_ask(devices=[{"kind": "camera", "count": 1, "poe_class": 2}])
    assert breaches(RULE, build(unit(use("up", 1, "devices[0]", plug="T"))), ask, CATALOG) == [
        "unit 1: port 1 of up, devices[0] (camera): T in the port feeds no PoE"
    ]
