"""As many cold spares as asked are ordered of whatever is in service."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules.ordering.spares import RULE, spares
from tests.rules.order_world import order, order_ask, order_breaches, spare
from tests.rules.worlds import (
    build,
    cage,
    group,
    make_catalog,
    optic,
    part,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
)

OUTPUTS = [{"from_v": 100, "to_v": 240, "output_w": 500}]
CORD = {"countries": ["DE"], "coupler": "C13", "plug": "CEE 7/7", "rating_a": 10, "length_m": 2}
FAN = {"fibre": "OM4", "length_m": 5, "near": "MPO-12", "far": "LC", "ways": 4}
CATALOG = make_catalog(
    unit_types=[unit_type(group("access", 8), cage("up", 4))],
    boxes=[part("BOX", unit="T"), part("FULL", unit="T", contents=[{"part": "PS"}]), part("OTHER", unit="T2")],
    kits=[part("KIT", contents=[{"part": "PS", "count": 2}])],
    supplies=[part("PS", outputs=OUTPUTS), part("PS2", outputs=OUTPUTS)],
    fan_trays=[part("TRAY", airflow="front-to-back")],
    modules=[part("M")],
    optics=[optic("SR"), optic("LR"), optic("HEAD", connector="MPO-12")],
    cables=[twinax("DAC", 1), twinax("LINK", 1, kind="stacking")],
    fibre_cables=[part("FAN", **FAN), part("LEAD", fibre="OM4", length_m=3, near="LC", far="LC")],
    cords=[part("CORD", **CORD)],
    stack_adapters=[part("ADAPTER", unit_types=["T"], count=2)],
    attenuators=[part("PAD", connector="LC", loss_db="5")],
    rack_kits=[part("RAILS", posts=4)],
    blanks=[part("PANEL", fills="module slot")],
    lugs=[part("LUG")],
    features=[{"id": "routing", "description": "-"}],
    licences=[part("RIGHT", features=["routing"], scope="unit")],
    support_levels=[{"id": "basic", "rank": 1}],
    support=[part("CONTRACT", level="basic", term_months=12)],
)
# in service: 2 units, 3 of PS and 1 of PS2 in bays, 4 cords, 1 tray, 1 module, 3 of SR and 1 of HEAD,
# 1 of DAC, 2 of LINK, 1 of FAN and 3 of LEAD; 2 of ADAPTER, 2 of PAD, 2 of RAILS, 1 of PANEL and 1 of LUG
ONE = unit(
    uplink("up", 1, "SR"),
    uplink("up", 2, "DAC"),
    uplink("up", 3, "HEAD", way=1),
    uplink("up", 3, "HEAD", way=2),
    supplies=[{"bay": n, "supply": "PS", "cord": "CORD"} for n in (1, 2)],
    splits=[split("up", 3, "HEAD", "FAN")],
    fan_trays=["TRAY"],
    adapters=["ADAPTER", "ADAPTER"],
    along=[
        {"slot": "rack kit", "part": "RAILS"},
        {"slot": "blank module slot", "part": "PANEL"},
        {"slot": "lug", "part": "LUG"},
        {"slot": "licence routing", "part": "RIGHT"},
        {"slot": "support", "part": "CONTRACT"},
    ],
)
OTHER = unit(
    uplink("up", 1, "SR"),
    uplink("up", 2, "SR"),
    position=2,
    supplies=[{"bay": 1, "supply": "PS", "cord": "CORD"}, {"bay": 2, "supply": "PS2", "cord": "CORD"}],
    modules=[{"slot": "S", "module": "M"}],
    along=[{"slot": "rack kit", "part": "RAILS"}],
)
LINKS = [{"from_unit": 1, "to_unit": 2, "way_m": "0.4", "speed_mbps": 10_000, "parts": ["LINK"]}] * 2
STACK = build(
    ONE,
    OTHER,
    links=LINKS,
    far_ends=[{"statement": "uplinks[0]", "part": "LR", "count": 3}],
    along=[
        {"slot": "attenuator", "part": "PAD", "count": 2, "statement": "uplinks[0]"},
        {"slot": "patch lead", "part": "LEAD", "count": 3, "statement": "uplinks[0]"},
    ],
)


def short(said: dict[str, Any], *spares: dict[str, Any], copies: int = 1) -> list[str]:
    """What is short of a statement's spares, where these lie on the shelf."""
    return order_breaches(RULE, order((copies, STACK), spares=list(spares)), order_ask(said), CATALOG)


@pytest.mark.parametrize(
    ("of", "needed"),
    [
        ("units", [("BOX", "T")]),
        ("supplies", [("PS", "PS"), ("PS2", "PS2")]),
        ("fan trays", [("TRAY", "TRAY")]),
        ("modules", [("M", "M")]),
        ("optics", [("HEAD", "HEAD"), ("SR", "SR")]),
        ("cables", [("DAC", "DAC"), ("FAN", "FAN"), ("LEAD", "LEAD"), ("LINK", "LINK")]),
        ("cords", [("CORD", "CORD")]),
    ],
)
def test_one_of_each_that_is_in_service(of: str, needed: list[tuple[str, str]]) -> None:
    """Optics for far ends are in service elsewhere; leads to the panel are in service here."""
    assert short({"of": of, "count": 1}, *(spare(part, 1, name) for part, name in needed)) == []
    missing = [text.split(" needed")[0] for text in short({"of": of, "count": 1})]
    assert missing == [f"spares[0]: 1 of {name}" for _, name in needed]


def test_percent_is_rounded_up_over_all_copies() -> None:
    """Five stacks have 15 of PS: 10 % are 1.5, so 2; of the 5 of PS2 one."""
    tenth = {"of": "supplies", "percent": 10}
    assert short(tenth, spare("PS", 2), spare("PS2", 1), copies=5) == []
    assert short(tenth, spare("PS", 1), spare("PS2", 1), copies=5) == [
        "spares[0]: 2 of PS needed for 15 in service, 1 there"
    ]


def test_what_is_built_in_is_not_replaced() -> None:
    one = build(unit(supplies=[{"bay": 0, "supply": "PS"}]))
    assert order_breaches(RULE, order((1, one)), order_ask({"of": "supplies", "count": 1}), CATALOG) == []


def test_one_part_by_its_number() -> None:
    assert short({"part": "PS2", "count": 2}, spare("PS2", 2)) == []
    assert short({"part": "PS2", "count": 2}, spare("PS", 2)) == [
        "spares[0]: 2 of PS2 needed for 1 in service, 0 there"
    ]


@pytest.mark.parametrize(
    ("name", "used"),
    [("ADAPTER", 2), ("PAD", 2), ("LEAD", 3), ("FAN", 1), ("CORD", 4), ("RAILS", 2), ("PANEL", 1), ("LUG", 1)],
)
def test_whatever_hardware_comes_along_is_in_service(name: str, used: int) -> None:
    """One for each: as many as are in service, in two stacks alike."""
    every = {"part": name, "percent": 100}
    assert short(every, spare(name, 2 * used), copies=2) == []
    assert short(every, spare(name, 2 * used - 1), copies=2) == [
        f"spares[0]: {2 * used} of {name} needed for {2 * used} in service, {2 * used - 1} there"
    ]


@pytest.mark.parametrize("name", ["RIGHT", "CONTRACT"])
def test_no_licence_and_no_contract_is_kept_on_a_shelf(name: str) -> None:
    assert short({"part": name, "count": 1}) == []
    assert list(spares(order_ask({"part": name, "count": 1}), CATALOG)) == []


def test_what_is_not_in_service_has_no_spares() -> None:
    assert short({"part": "LR", "count": 2}) == []


@pytest.mark.parametrize("said", [{"of": "units"}, {"part": "T"}, {"part": "BOX"}, {"part": "FULL"}])
def test_a_spare_unit_is_any_box_that_holds_its_type(said: dict[str, Any]) -> None:
    assert short({**said, "count": 2}, spare("BOX", 1, "T"), spare("FULL", 1, "T")) == []
    assert short({**said, "count": 2}, spare("OTHER", 2, "T"), spare("PS", 2, "T")) == [
        "spares[0]: 2 of T needed for 2 in service, 0 there"
    ]


def test_what_comes_in_a_kit_counts() -> None:
    assert short({"part": "PS", "count": 2}, spare("KIT", 1, "PS")) == []
    assert short({"part": "PS", "count": 3}, spare("KIT", 1, "PS")) == [
        "spares[0]: 3 of PS needed for 3 in service, 2 there"
    ]


def test_each_statement_has_its_own() -> None:
    one = order((1, STACK), spares=[spare("PS2", 1), spare("SR", 2, statement="spares[1]")])
    asked = order_ask({"part": "PS2", "count": 1}, {"part": "SR", "count": 2})
    assert order_breaches(RULE, one, asked, CATALOG) == []
    swapped = order((1, STACK), spares=[spare("SR", 2), spare("PS2", 1, statement="spares[1]")])
    assert order_breaches(RULE, swapped, asked, CATALOG) == [
        "spares[0]: 1 of PS2 needed for 1 in service, 0 there",
        "spares[1]: 2 of SR needed for 3 in service, 0 there",
    ]
