"""Whole orders worked out by hand: licences, contents of boxes, packs, spares, lacing and port roles together.

Prices are in minor units.  Every answer is proved cheapest, and every check looks at it.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from configurator.demand import Devices, Spares, Stack, Uplinks
from tests.oracles.draft import Draft
from tests.oracles.random_worlds import make_ask
from tests.unit.small_shop import licence, lines, shop, solved, stack


@pytest.mark.parametrize(
    ("one", "other", "optics", "cables", "plugs_minor"),
    [
        (1, 2, 0, 3, 36),  # three cables for 12; a pack of four optics is 40
        (2, 2, 4, 0, 40),  # a pack for both stacks; four cables are 48, and no stack alone would open a pack
        (2, 3, 4, 1, 52),  # a pack and a cable; five cables are 60, two packs 80
        (4, 4, 8, 0, 80),
    ],
)
def test_stacks_share_a_pack_of_optics(one: int, other: int, optics: int, cables: int, plugs_minor: int) -> None:
    """Optics at 10 come in packs of four, cables at 12 one by one."""
    draft = shop()
    draft.add("boxes", 100, id="BOX", unit="T")
    found = solved(draft, stack(1, one), stack(1, other, name="other"), sold={"O": (4, 1)})
    assert (lines(found).get("O", 0), lines(found).get("D", 0)) == (optics, cables)
    assert found.price_minor == 2 * 100 + plugs_minor


@pytest.mark.parametrize(("copies", "kits_minor"), [(2, 16), (3, 20), (4, 20), (5, 25)])
def test_a_least_quantity_pays_only_for_enough_stacks(copies: int, kits_minor: int) -> None:
    """Rack kits: R5 for 5 but no fewer than four of them, R8 for 8; two units take R8 twice."""
    draft = shop()
    draft.add("boxes", 100, id="BOX", unit="T")
    draft.add("rack_kits", 5, id="R5", posts=2)
    draft.add("rack_kits", 8, id="R8", posts=2)
    found = solved(draft, stack(4, copies=copies, rack_posts=2), sold={"R5": (1, 4)})
    assert found.price_minor == 100 * copies + kits_minor


@pytest.mark.parametrize(
    ("movable", "price_minor"),
    [
        (True, 221),  # a bundle and a bare box: 120 + 100, and a cable; its two licences serve both units
        (False, 241),  # two bundles; a bundle, a bare box and a licence are 251, as are two bare boxes and L-ALL
    ],
)
def test_licences_in_a_bundle_serve_another_unit_if_they_may_be_moved(movable: bool, price_minor: int) -> None:
    """Two units that route: a licence each for 30, one for the stack for 50, or a bundle with two for 20 more."""
    draft = shop()
    licence(draft, "L", 30, "routing")
    licence(draft, "L-ALL", 50, "routing", scope="stack")
    draft.add("boxes", 100, id="BARE", unit="T")
    draft.add("boxes", 120, id="BUNDLE", unit="T", contents=[dict(part="L", count=2, movable=movable)])
    assert solved(draft, stack(8, features=("routing",))).price_minor == price_minor


@pytest.mark.parametrize(
    ("locks", "licences", "licences_minor"),
    [
        (2, {"SUB-T": 1, "L-PORT": 2}, 52),  # 40 + 2 x 6; SUB and L-BOTH are 55
        (3, {"SUB": 1, "L-BOTH": 1}, 55),  # 40 + 3 x 6 would be 58
    ],
)
def test_a_subscription_that_brings_a_feature_against_licences(
    locks: int, licences: dict[str, int], licences_minor: int
) -> None:
    """Telemetry of the unit, encryption of some ports, and one of two subscriptions."""
    draft = shop(subscriptions=("SUB", "SUB-T"))
    licence(draft, "SUB", 25)
    licence(draft, "SUB-T", 40, "telemetry")
    licence(draft, "L-BOTH", 30, "telemetry", "encryption")
    licence(draft, "L-PORT", 6, "encryption", scope="port")
    draft.add("boxes", 100, id="BOX", unit="T")
    found = solved(draft, stack(4, locks=locks, features=("telemetry",)))
    assert lines(found) == {"BOX": 1, **licences}
    assert found.price_minor == 100 + licences_minor


@pytest.mark.parametrize(
    ("uplinks", "boxes", "price_minor"),
    [
        (0, {"BOX": 2}, 207),  # two units for 100, joined by a cable for 7; their cages are taken by that
        (1, {"WIDE": 1, "L": 1, "O40": 1}, 365),  # 320 + 25 for its licence + 20 for the optic
    ],
)
def test_cages_that_stack_serve_no_uplink(uplinks: int, boxes: dict[str, int], price_minor: int) -> None:
    """T routes without a licence and stacks through both of its cages; WIDE has ports for all and needs a licence."""
    draft = Draft()
    draft.add("families", id="F", largest_stack=2, topologies=("chain",), two_unit_links=(1,))
    draft.add("supplies", 1, id="fixed", outputs=[dict(from_v=100, to_v=240, output_w=500)])
    draft.add("cables", 7, id="JOIN", kind="passive twinax", length_m=1, near="QSFP+", far="QSFP+",
              speeds_mbps=(40_000,))  # fmt: skip
    draft.add("optics", 20, id="O40", form="QSFP+", speeds_mbps=(40_000,), interface="40GBASE-SR4",
              connector="MPO-12", reaches=[dict(fibre="OM4", max_m=150)])  # fmt: skip
    draft.add("optics_matrix", cage="q", takes=("JOIN", "O40"))
    licence(draft, "L", 25, "routing")
    for name, ports, features in (("T", 4, ("routing",)), ("WIDE", 8, ())):
        groups = [
            dict(id="p", count=ports, connector="RJ45", speeds_mbps=(1000,)),
            dict(id="q", count=2, connector="QSFP+", cage="q", speeds_mbps=(40_000,), roles=("stack", "network")),
        ]
        draft.add("unit_types", id=name, description="-", family="F", base_draw_w=10, built_in_supply="fixed",
                  ports=groups, features=features)  # fmt: skip
    draft.add("boxes", 100, id="BOX", unit="T")
    draft.add("boxes", 320, id="WIDE", unit="WIDE")
    links = (Uplinks(count=1, speed_mbps=40_000, over="fibre", fibre="OM4", length_m=Decimal(30)),) if uplinks else ()
    said = Stack(name="one", devices=(Devices(kind="desk", count=8),), uplinks=links)
    found = solved(draft, make_ask(said, features=("routing",)))
    assert {part: count for part, count in lines(found).items() if part != "JOIN"} == boxes
    assert found.price_minor == price_minor


@pytest.mark.parametrize(
    ("pack", "in_box", "cables", "cables_minor"),
    [
        (1, 0, {"C0.7": 2, "C1.1": 2}, 48),  # laced over every other unit: 2 x 10 + 2 x 14; else 3 x 10 + 30
        (4, 0, {"C1.1": 4}, 56),  # a pack of four C0.7 is 40, so 68 and 70; C1.1 reaches where C0.7 does
        (4, 1, {"C1.1": 2}, 28),  # C0.7 from the boxes, 2 x 14; neighbour to neighbour the return is 30
    ],
)
def test_lacing_with_packs_and_cables_in_boxes(
    pack: int, in_box: int, cables: dict[str, int], cables_minor: int
) -> None:
    """A ring of four, 8 rack units apart: ways of 0.66, 1.01 and 1.37 m; cables of 0.7, 1.1 and 1.5 m."""
    draft = shop()
    draft.rows["families"][0] |= dict(topologies=("ring",), two_unit_links=(2,))
    draft.rows["cables"] = [row for row in draft.rows["cables"] if row["id"] != "SC"]
    for length, price in (("0.7", 10), ("1.1", 14), ("1.5", 30)):
        draft.add("cables", price, id=f"C{length}", kind="stacking", length_m=length, near="SK", far="SK",
                  speeds_mbps=(80_000,))  # fmt: skip
    inside = [dict(part="C0.7", count=in_box)] if in_box else []
    draft.add("boxes", 100, id="BOX", unit="T", contents=inside)
    found = solved(draft, stack(16, rack_positions=(1, 9, 17, 25)), sold={"C0.7": (pack, 1)})
    assert lines(found) == {"BOX": 4, **cables}
    assert found.price_minor == 400 + cables_minor


@pytest.mark.parametrize(
    ("of_each", "supplies", "supplies_minor"),
    [
        (0, {"S100": 1, "S150": 1}, 45),
        (2, {"S150": 4}, 100),  # both units with S150, two on the shelf; with S100 too it is 45 + 2 x 20 + 2 x 25
    ],
)
def test_cold_spares_make_one_kind_of_supply_cheaper_than_two(
    of_each: int, supplies: dict[str, int], supplies_minor: int
) -> None:
    """A stack of a unit that draws 140 W and needs S150 (25), and another of one that S100 (20) would do for."""
    draft = shop(supply_bays=dict(count=1, takes=("S100", "S150")))
    draft.rows["unit_types"].append({**draft.rows["unit_types"][0], "id": "HUNGRY", "base_draw_w": 140})
    draft.rows["unit_types"][1]["ports"] = [dict(id="p", count=6, connector="RJ45", speeds_mbps=(1000,))]
    for watts, price in ((100, 20), (150, 25)):
        draft.add("supplies", price, id=f"S{watts}", outputs=[dict(from_v=100, to_v=240, output_w=watts)])
    draft.add("boxes", 100, id="BOX", unit="T")
    draft.add("boxes", 150, id="BOX-H", unit="HUNGRY")
    spares = [Spares(of="supplies", count=of_each)] if of_each else []
    found = solved(draft, stack(4), stack(6, name="other"), spares=spares)
    assert lines(found) == {"BOX": 1, "BOX-H": 1, **supplies}
    assert found.price_minor == 250 + supplies_minor


@pytest.mark.parametrize(("copies", "spare"), [(2, 1), (3, 2)])
def test_spares_in_percent_are_rounded_up_over_the_whole_order(copies: int, spare: int) -> None:
    """34 % of two units is one, of three two; a spare unit is the cheapest box that holds the type."""
    draft = shop()
    licence(draft, "L", 40, "routing")
    draft.add("boxes", 100, id="BARE", unit="T")
    draft.add("boxes", 130, id="BUNDLE", unit="T", contents=[dict(part="L")])
    found = solved(draft, stack(4, copies=copies, features=("routing",)), spares=[Spares(of="units", percent=34)])
    assert lines(found) == {"BARE": spare, "BUNDLE": copies}
    assert found.price_minor == 130 * copies + 100 * spare


@pytest.mark.parametrize(
    ("desks", "pack", "contracts", "contracts_minor"),
    [
        (4, 1, {"MONTH": 9}, 27),  # three of twelve months are in the box; YEAR is 30
        (4, 12, {"YEAR": 1}, 30),  # nine months are a pack of twelve, 36
        (8, 12, {"YEAR": 2}, 60),  # 18 months are two packs, 72; a pack and YEAR are 66
        (16, 12, {"MONTH": 36}, 108),  # four times nine months are three packs; four YEAR are 120
    ],
)
def test_months_of_a_contract_from_the_box_and_in_packs(
    desks: int, pack: int, contracts: dict[str, int], contracts_minor: int
) -> None:
    """A year of support: MONTH for 3 each, of which each box holds three, or YEAR for 30."""
    draft = shop()
    draft.add("support_levels", id="basic", rank=1)
    draft.add("support", 3, id="MONTH", level="basic", term_months=36, by_month=True)
    draft.add("support", 30, id="YEAR", level="basic", term_months=12)
    draft.add("boxes", 100, id="BOX", unit="T", contents=[dict(part="MONTH", count=3)])
    found = solved(draft, stack(desks, support_level="basic", support_months=12), sold={"MONTH": (pack, 1)})
    units = desks // 4
    assert {part: count for part, count in lines(found).items() if part not in ("BOX", "SC")} == contracts
    assert found.price_minor == 100 * units + units - 1 + contracts_minor


@pytest.mark.parametrize(
    ("desks", "uplinks", "contracts", "contracts_minor"),
    [
        (4, 2, {"BASIC": 1, "PART": 2}, 44),  # 20 + 2 x 12; FULL is 50
        (4, 3, {"FULL": 1}, 50),  # 20 + 3 x 12 would be 56
        (8, 3, {"BASIC": 2, "PART": 3}, 76),  # on every unit or on none: two FULL are 100
    ],
)
def test_optics_are_covered_by_all_contracts_or_one_by_one(
    desks: int, uplinks: int, contracts: dict[str, int], contracts_minor: int
) -> None:
    """FULL for 50 covers optics, BASIC for 20 does not, PART for 12 covers one optic."""
    draft = shop()
    draft.add("support_levels", id="basic", rank=1)
    draft.add("support", 20, id="BASIC", level="basic", term_months=12)
    draft.add("support", 50, id="FULL", level="basic", term_months=12, covers_optics=True)
    draft.add("support", 12, id="PART", level="basic", term_months=12, covers_parts=("O",))
    draft.prices["D"] = 1000  # so that it is optics
    draft.add("boxes", 100, id="BOX", unit="T")
    found = solved(draft, stack(desks, uplinks, support_level="basic", optics_covered=True))
    units = desks // 4
    assert lines(found) == {"BOX": units, "O": uplinks, **({"SC": 1} if units > 1 else {}), **contracts}
    assert found.price_minor == 100 * units + units - 1 + 10 * uplinks + contracts_minor
