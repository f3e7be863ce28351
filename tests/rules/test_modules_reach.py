"""An optic carries the whole way over the fibre that lies there, neither too far nor too near."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules.modules.reach import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    copper_optic,
    make_ask,
    make_catalog,
    optic,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

# SR after IEEE 802.3 clause 52: 300 m over OM3, 400 m over OM4; ER's shortest way is invented.
ER = [{"fibre": "OS2", "max_m": 40_000, "min_m": 2_000}]
CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4))],
    optics=[optic("SR"), optic("ER", reaches=ER), copper_optic("T")],
    cables=[twinax("DAC", 3)],
)
HERE = "unit 1: port 1 of up, uplinks[0]: "


def uplinked(plug: str, **said: Any) -> list[str]:
    """What is wrong with one uplink through this plug."""
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G", **said}])
    return breaches(RULE, build(unit(uplink("up", 1, plug))), ask, CATALOG)


@pytest.mark.parametrize(
    ("plug", "said"),
    [
        ("SR", {"over": "fibre", "fibre": "OM4", "length_m": 400}),
        ("SR", {"over": "any", "fibre": "OM3", "length_m": 300}),
        ("SR", {"over": "fibre", "length_m": 300}),
        ("ER", {"over": "fibre", "fibre": "OS2", "length_m": 2000}),
        ("DAC", {"over": "direct"}),
        ("DAC", {"over": "any"}),
        ("T", {"over": "copper", "length_m": 100}),
    ],
)
def test_plugs_that_carry_the_way(plug: str, said: dict[str, Any]) -> None:
    assert uplinked(plug, **said) == []


def test_a_way_that_is_too_long() -> None:
    assert uplinked("SR", over="fibre", fibre="OM3", length_m="300.5") == [
        HERE + "SR carries 0 to 300 m over OM3, the way is 300.5 m"
    ]


def test_a_way_that_is_too_short() -> None:
    assert uplinked("ER", over="fibre", fibre="OS2", length_m=1999) == [
        HERE + "ER carries 2000 to 40000 m over OS2, the way is 1999 m"
    ]


def test_a_fibre_that_the_optic_doesnt_know() -> None:
    assert uplinked("SR", over="fibre", fibre="OS2") == [HERE + "SR has no reach over OS2"]


def test_any_fibre_may_lie_there_when_none_is_named() -> None:
    """350 m are within OM4's reach but not within OM3's."""
    assert uplinked("SR", over="fibre", length_m=350) == [
        HERE + "SR carries 0 to 300 m over OM3, 0 to 400 m over OM4, the way is 350 m"
    ]


def test_no_optic_without_a_named_fibre_where_anything_may_lie() -> None:
    assert uplinked("SR", over="any") == [HERE + "SR is an optic (LC), the link is over any and no named fibre"]


def test_plugs_of_another_sort_than_asked() -> None:
    assert uplinked("SR", over="direct") == [HERE + "SR is an optic (LC), the link is over direct and no named fibre"]
    assert uplinked("DAC", over="fibre") == [HERE + "DAC is a direct cable, the link is over fibre"]
    assert uplinked("T", over="fibre", fibre="OM4") == [HERE + "T is an optic (RJ45), the link is over fibre and OM4"]


def test_copper_optics_reach_100_m() -> None:
    """IEEE 802.3 clause 40."""
    assert uplinked("T", over="copper", length_m=101) == [HERE + "T carries 0 to 100 m over copper, the way is 101 m"]


def test_access_ports_over_fibre() -> None:
    ask = make_ask(ports=[{"count": 1, "over": "OM3", "length_m": 250}, {"count": 1, "over": "OM3", "length_m": 310}])
    good = build(unit(use("up", 1, plug="SR")))
    assert breaches(RULE, good, ask, CATALOG) == []
    bad = build(unit(use("up", 2, "ports[1]", plug="SR"), use("up", 3, plug="DAC")))
    assert breaches(RULE, bad, ask, CATALOG) == [
        "unit 1: port 2 of up, ports[1]: SR carries 0 to 300 m over OM3, the way is 310 m",
        "unit 1: port 3 of up, ports[0]: DAC is a direct cable, the link is over OM3",
    ]
