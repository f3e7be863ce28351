"""Whole orders worked out by hand in which what lies in boxes decides: who gets it, and what it makes dear or cheap."""

from __future__ import annotations

import pytest

from configurator.demand import Devices, Spares, Stack
from tests.oracles.random_worlds import make_ask
from tests.unit.small_shop import licence, lines, shop, solved, stack


def test_cold_spares_make_a_cord_in_the_box_too_dear_to_use() -> None:
    """The box holds a cord of which three on the shelf are 300; another is 1, and three of that on the shelf 3."""
    draft = shop(supply_bays=dict(count=1, takes=("S",)))
    draft.add("supplies", 20, id="S", outputs=[dict(from_v=100, to_v=240, output_w=100)], inlet="C14")
    for name, price in (("DEAR", 100), ("CHEAP", 1)):
        draft.add("cords", price, id=name, countries=("DE",), coupler="C13", plug="CEE 7-7", rating_a=10, length_m=2)
    draft.add("boxes", 100, id="BOX", unit="T", contents=[dict(part="S"), dict(part="DEAR")])
    found = solved(draft, stack(2), spares=[Spares(of="cords", count=3)])
    assert lines(found) == {"BOX": 1, "CHEAP": 4}
    assert found.price_minor == 104


def test_one_licence_out_of_another_box_serves_all_that_it_licenses() -> None:
    """Two licences for routing and telemetry in one box for 10 more: the other unit needs one of them, not two."""
    draft = shop()
    licence(draft, "L", 30, "routing", "telemetry")
    draft.add("boxes", 100, id="BARE", unit="T")
    draft.add("boxes", 110, id="BUNDLE", unit="T", contents=[dict(part="L", count=2, movable=True)])
    found = solved(draft, stack(8, features=("routing", "telemetry")))
    assert lines(found) == {"BARE": 1, "BUNDLE": 1, "SC": 1}
    assert found.price_minor == 211


def test_a_licence_goes_to_the_unit_that_it_serves_best() -> None:
    """WIDE licenses telemetry too, which only T lacks: it leaves the box of U, which gets ROUTING for 5."""
    draft = shop()
    draft.rows["unit_types"].append({**draft.rows["unit_types"][0], "id": "U", "features": ("telemetry",)})
    draft.rows["unit_types"][1]["ports"] = [
        dict(id="p", count=1, connector="RJ45", speeds_mbps=(2500,)), *draft.rows["unit_types"][0]["ports"][1:],
    ]  # fmt: skip
    licence(draft, "ROUTING", 5, "routing")
    licence(draft, "WIDE", 60, "routing", "telemetry")
    draft.add("boxes", 100, id="BOX-T", unit="T")
    draft.add("boxes", 100, id="BOX-U", unit="U", contents=[dict(part="WIDE", movable=True)])
    devices = (Devices(kind="desk", count=4), Devices(kind="radio", count=1, speed_mbps=2500))
    found = solved(draft, make_ask(Stack(name="one", devices=devices), features=("routing", "telemetry")))
    assert lines(found) == {"BOX-T": 1, "BOX-U": 1, "ROUTING": 1, "SC": 1}
    assert found.price_minor == 206


def test_a_panel_out_of_another_box_closes_a_slot() -> None:
    """Two panels at 40 lie in one box for 30 more; the other unit's slot gets the second."""
    draft = shop(module_slots=[dict(id="1", takes=("M",))])
    draft.add("modules", 500, id="M")
    draft.add("blanks", 40, id="PANEL", fills="module slot")
    draft.add("boxes", 100, id="BARE", unit="T")
    draft.add("boxes", 130, id="BUNDLE", unit="T", contents=[dict(part="PANEL", count=2, movable=True)])
    found = solved(draft, stack(8))
    assert lines(found) == {"BARE": 1, "BUNDLE": 1, "SC": 1}
    assert found.price_minor == 231


def test_a_kit_serves_what_a_unit_needs_anyway_and_what_its_slot_needs() -> None:
    """Panel and lug are 40 each, a kit of both that stays with its unit is 50."""
    draft = shop(module_slots=[dict(id="1", takes=("M",))])
    draft.add("modules", 500, id="M")
    draft.add("blanks", 40, id="PANEL", fills="module slot")
    draft.add("lugs", 40, id="LUG")
    draft.add("kits", 50, id="KIT", contents=[dict(part="PANEL"), dict(part="LUG")])
    draft.add("boxes", 100, id="BOX", unit="T")
    assert lines(solved(draft, stack(4, earthing_lugs=True))) == {"BOX": 1, "KIT": 1}


def test_a_module_brings_its_unit_a_licence() -> None:
    """The slot needs a module for 80; the licence for 60 that stays with it needn't be bought."""
    draft = shop(module_slots=[dict(id="1", takes=("M",), required=True)])
    licence(draft, "L", 60, "routing")
    draft.add("modules", 80, id="M", contents=[dict(part="L")])
    draft.add("boxes", 100, id="BOX", unit="T")
    assert solved(draft, stack(4, features=("routing",))).price_minor == 180


def test_a_port_licence_in_a_box_lies_idle_where_every_unit_is_licensed() -> None:
    """It is for another type: the check rejects a build that puts it to use, where all units have L for 9."""
    draft = shop()
    licence(draft, "L", 9, "encryption")
    draft.add("licences", 5, id="L-PORT", features=("encryption",), scope="port", unit_types=("OTHER",))
    draft.rows["unit_types"].append({**draft.rows["unit_types"][0], "id": "OTHER"})
    draft.add("boxes", 100, id="BOX", unit="T", contents=[dict(part="L-PORT", movable=True)])
    found = solved(draft, stack(4, locks=3))
    assert found.price_minor == 109
    assert found.order is not None
    assert found.order.stacks[0].build.along == ()


def test_a_kit_that_stays_with_its_unit_is_cheaper_than_a_pack() -> None:
    """Two stacks need a lug each: lugs are 5 in packs of ten, a kit with one that stays with its unit is 15."""
    draft = shop()
    draft.add("lugs", 5, id="LUG")
    draft.add("kits", 15, id="KIT", contents=[dict(part="LUG")])
    draft.add("boxes", 100, id="BOX", unit="T")
    found = solved(draft, stack(4, copies=2, earthing_lugs=True), sold={"LUG": (10, 1)})
    assert lines(found) == {"BOX": 2, "KIT": 2}
    assert found.price_minor == 230


@pytest.mark.parametrize("in_a_box", [False, True])
def test_what_brings_something_along_counts_though_its_rival_lies_in_a_box(in_a_box: bool) -> None:
    """Rack kit R10 for 10 and a lug for 9, or R12 for 12, which brings a lug; BUNDLE holds R10 and costs 190."""
    draft = shop()
    draft.add("rack_kits", 10, id="R10", posts=2)
    draft.add("rack_kits", 12, id="R12", posts=2, contents=[dict(part="LUG", movable=True)])
    draft.add("lugs", 9, id="LUG")
    draft.add("boxes", 100, id="BOX", unit="T")
    if in_a_box:
        draft.add("boxes", 190, id="BUNDLE", unit="T", contents=[dict(part="R10", movable=True)])
    found = solved(draft, stack(4, rack_posts=2, earthing_lugs=True))
    assert lines(found) == {"BOX": 1, "R12": 1}
    assert found.price_minor == 112


@pytest.mark.parametrize(
    ("contract", "bought", "extra_minor"),
    [
        (30, {"L-ALL": 1}, 70),  # two licences at 15 and two contracts are 90
        (15, {"L": 2, "YEAR": 2}, 60),
    ],
)
def test_a_licence_for_the_stack_brings_contracts(contract: int, bought: dict[str, int], extra_minor: int) -> None:
    """L-ALL for 70 licenses two units and holds a year of support for each; L for 15 licenses one."""
    draft = shop()
    licence(draft, "L", 15, "routing")
    licence(draft, "L-ALL", 70, "routing", scope="stack")
    draft.rows["licences"][1]["contents"] = [dict(part="YEAR", count=2, movable=True)]
    draft.add("support_levels", id="basic", rank=1)
    draft.add("support", contract, id="YEAR", level="basic", term_months=12)
    draft.add("boxes", 100, id="BOX", unit="T")
    found = solved(draft, stack(8, features=("routing",), support_level="basic"))
    assert lines(found) == {"BOX": 2, "SC": 1, **bought}
    assert found.price_minor == 201 + extra_minor
