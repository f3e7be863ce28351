"""Every port, device and uplink asked for has a port of its own."""

from __future__ import annotations

from configurator_rules.ports.all_served import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type, uplink, use

CATALOG = make_catalog(unit_types=[unit_type(group("access", 8, poe_class=4))])


def test_three_ports_for_three_devices_will_do() -> None:
    """Ports may be on any unit of the stack."""
    ask = make_ask(ports=[{"count": 2}], devices=[{"kind": "phone", "count": 1}])
    one = unit(use("access", 1), use("access", 2))
    two = unit(use("access", 1, "devices[0]"), position=2)
    assert breaches(RULE, build(one, two), ask, CATALOG) == []


def test_a_device_without_a_port_is_missed() -> None:
    """Three phones don't share two ports."""
    ask = make_ask(devices=[{"kind": "phone", "count": 3}])
    bad = build(unit(use("access", 1, "devices[0]"), use("access", 2, "devices[0]")))
    assert breaches(RULE, bad, ask, CATALOG) == ["devices[0] (phone): 3 ports asked, 2 serve it"]


def test_an_uplink_without_a_port_is_missed() -> None:
    """A port for one statement serves no other."""
    ask = make_ask(ports=[{"count": 1}], uplinks=[{"count": 2, "speed_mbps": "10G"}])
    bad = build(unit(use("access", 1), uplink("access", 2)))
    assert breaches(RULE, bad, ask, CATALOG) == ["uplinks[0]: 2 ports asked, 1 serve it"]


def test_half_of_five_powered_devices_are_three() -> None:
    """The share that is powered at once is rounded up."""
    ask = make_ask(devices=[{"kind": "camera", "count": 5, "poe_class": 3, "powered_percent": 50}])
    ports = [use("access", n, "devices[0]", powered=n <= 3) for n in range(1, 6)]
    assert breaches(RULE, build(unit(*ports)), ask, CATALOG) == []
    fewer = [use("access", n, "devices[0]", powered=n <= 2) for n in range(1, 6)]
    assert breaches(RULE, build(unit(*fewer)), ask, CATALOG) == [
        "devices[0] (camera): 3 ports powered at once asked, 2 are powered"
    ]


def test_a_port_for_what_nobody_asked_is_found() -> None:
    """A build serves the demand and nothing else."""
    ask = make_ask(ports=[{"count": 1}])
    bad = build(unit(use("access", 1), use("access", 2, "devices[7]")))
    assert breaches(RULE, bad, ask, CATALOG) == ["unit 1: port 2 of access serves devices[7], which nobody asked for"]


def test_all_of_four_powered_devices_are_four() -> None:
    """Unless a share is said, all are powered at once."""
    ask = make_ask(devices=[{"kind": "camera", "count": 4, "poe_class": 3}])
    fewer = [use("access", n, "devices[0]", powered=n <= 3) for n in range(1, 5)]
    assert breaches(RULE, build(unit(*fewer)), ask, CATALOG) == [
        "devices[0] (camera): 4 ports powered at once asked, 3 are powered"
    ]
