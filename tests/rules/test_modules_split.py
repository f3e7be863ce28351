"""A port is split only for uplinks that allow it, by parts that suit the way and the far end."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules.modules.split import RULE
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
    use,
)

LEADS = dict(fibre="OM4", length_m=5, near="MPO-12", far="LC", ways=4)
SR4 = dict(form="QSFP+", speeds_mbps=[40_000], interface="40GBASE-SR4", connector="MPO-12", fibres=8)
CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4, speeds_mbps=[40_000], roles=["network", "split"]))],
    optics=[optic("SR4", **SR4, reaches=[{"fibre": "OM3", "max_m": 100}, {"fibre": "OM4", "max_m": 150}])],
    cables=[twinax("FAN", 3, ways=4), twinax("DAC", 3)],
    fibre_cables=[
        part("LEADS", **LEADS),
        part("OM3-LEADS", **{**LEADS, "fibre": "OM3"}),
        part("SC-LEADS", **{**LEADS, "near": "SC", "far": "SC"}),
        part("TWO-LEADS", **{**LEADS, "ways": 2}),
        part("LEAD", **{**LEADS, "ways": 1}),
    ],
)
HERE = "unit 1: port 1 of up, uplinks[0]: "
FIBRE = {"over": "fibre", "fibre": "OM4", "length_m": 150, "far_connector": "LC"}


def uplinked(*parts: str, **said: Any) -> list[str]:
    """What is wrong with one uplink on the first way of a port that these parts split."""
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G", "length_m": 3, **said}])
    one = unit(uplink("up", 1, way=1), splits=[split("up", 1, *parts)])
    return breaches(RULE, build(one), ask, CATALOG)


@pytest.mark.parametrize("over", ["direct", "any"])
def test_a_split_cable_to_the_far_ends_cages(over: str) -> None:
    assert uplinked("FAN", over=over, far_form="SFP+") == []


def test_an_optic_and_leads_over_the_fibre_that_lies_there() -> None:
    assert uplinked("SR4", "LEADS", **FIBRE) == []
    assert uplinked("SR4", "OM3-LEADS", over="fibre", length_m=100) == []


def test_an_uplink_that_may_not_be_split() -> None:
    assert uplinked("FAN", far_form="SFP+", may_split=False) == [HERE + "the port is split, which isn't allowed for it"]


def test_only_uplinks_use_split_ports() -> None:
    ask = make_ask(ports=[{"count": 1}])
    bad = unit(use("up", 1, way=1), splits=[split("up", 1, "FAN")])
    assert breaches(RULE, build(bad), ask, CATALOG) == [
        "unit 1: port 1 of up, ports[0]: the port is split, only uplinks use split ports"
    ]


@pytest.mark.parametrize("parts", [("DAC",), ("SR4",), ("SR4", "LEAD"), ("LEADS", "SR4"), ("NONE",)])
def test_parts_that_split_nothing(parts: tuple[str, ...]) -> None:
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G"}])
    assert breaches(RULE, build(unit(splits=[split("up", 1, *parts)])), ask, CATALOG) == [
        f"unit 1: port 1 of up is split by {' and '.join(parts)}, which splits no port"
    ]


def test_a_split_cable_in_a_port_that_isnt_split() -> None:
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G"}])
    assert breaches(RULE, build(unit(uplink("up", 1, "FAN"))), ask, CATALOG) == [
        "unit 1: port 1 of up holds FAN of 4 ways, but isn't split"
    ]


def test_a_split_cable_that_doesnt_suit() -> None:
    """Its length, its ends, the speed of its ways, and that the link is direct."""
    assert uplinked("FAN", far_form="SFP+", length_m=4) == [HERE + "FAN is 3 m long, the way is 4 m"]
    assert uplinked("FAN", far_form="SFP28") == [HERE + "the far end is SFP28, FAN ends in SFP+"]
    assert uplinked("FAN") == [HERE + "the far end is not said, FAN ends in SFP+"]
    assert uplinked("FAN", far_form="SFP+", over="fibre") == [HERE + "FAN is a direct cable, the link is over fibre"]
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "25G", "length_m": 3, "far_form": "SFP+"}])
    bad = unit(uplink("up", 1, way=1, speed_mbps=25_000), splits=[split("up", 1, "FAN")])
    assert breaches(RULE, build(bad), ask, CATALOG) == [HERE + "FAN has ways of 10 Gb/s, the uplink runs at 25 Gb/s"]


def test_an_optic_that_doesnt_suit() -> None:
    """Its reach over the fibre that lies there, and that a fibre lies there."""
    assert uplinked("SR4", "LEADS", **{**FIBRE, "length_m": 151}) == [HERE + "SR4 doesn't carry 151 m over OM4"]
    assert uplinked("SR4", "LEADS", over="any") == [HERE + "SR4 is an optic, the link is over any and no fibre"]
    assert uplinked("SR4", "LEADS", over="direct", fibre="OM4") == [
        HERE + "SR4 is an optic, the link is over direct and no fibre"
    ]


def test_leads_that_dont_suit() -> None:
    """Their fibre, both their connectors, and the speed of their ways together."""
    assert uplinked("SR4", "OM3-LEADS", **FIBRE) == [HERE + "OM3-LEADS is OM3, the link is over OM4"]
    assert uplinked("SR4", "SC-LEADS", **FIBRE) == [
        HERE + "SC-LEADS begins in SC, SR4 has MPO-12",
        HERE + "the far end has LC, SC-LEADS ends in SC",
    ]
    assert uplinked("SR4", "TWO-LEADS", **FIBRE) == [HERE + "SR4 runs at 40 Gb/s, not at 2 ways of 10 Gb/s"]
