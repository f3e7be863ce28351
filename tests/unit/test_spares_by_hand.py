"""Cold spares worked out by hand: of whatever hardware comes along, and together with what else decides an order.

Prices are in minor units.  Every answer is proved cheapest, and every check looks at it.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from configurator.demand import Devices, Spares, Stack, Uplinks
from configurator.setting import Ask
from tests.oracles.draft import Draft
from tests.oracles.random_worlds import make_ask
from tests.unit.small_shop import licence, lines, shop, solved, stack


def boxed(**unit_type: Any) -> Draft:
    """The shop with its unit in a box for 100."""
    draft = shop(**unit_type)
    draft.add("boxes", 100, id="BOX", unit="T")
    return draft


def lit(uplinks: int, **said: Any) -> Ask:
    """A unit with a desk and so many uplinks over fibre."""
    links = Uplinks(count=uplinks, speed_mbps=10_000, over="fibre", fibre="OM4", **said)
    return make_ask(Stack(name="one", devices=(Devices(kind="desk", count=1),), uplinks=(links,)))


# --- what comes along is in service


@pytest.mark.parametrize(
    ("copies", "adapters"),
    [
        (1, 6),  # two units with two each; 30 % of four are 1.2, so two
        (2, 11),  # 30 % of eight are 2.4, so three
    ],
)
def test_stacking_adapters(copies: int, adapters: int) -> None:
    draft = boxed()
    draft.add("stack_adapters", 5, id="AD", unit_types=("T",), count=2)
    found = solved(draft, stack(8, copies=copies), spares=[Spares(part="AD", percent=30)])
    assert lines(found) == {"BOX": 2 * copies, "SC": copies, "AD": adapters}
    assert found.price_minor == 201 * copies + 5 * adapters


@pytest.mark.parametrize(
    ("of_each", "leads"),
    [
        (0, {}),  # DEAR from the box
        (1, {"CHEAP": 2}),  # 4 and 4; one of DEAR on the shelf is 50
    ],
)
def test_patch_leads(of_each: int, leads: dict[str, int]) -> None:
    """The box holds a lead to the panel for which another for 50 would lie on the shelf; CHEAP is 4."""
    draft = shop()
    for name, price in (("DEAR", 50), ("CHEAP", 4)):
        draft.add("fibre_cables", price, id=name, fibre="OM4", length_m=3, near="LC", far="SC")
    draft.add("boxes", 100, id="BOX", unit="T", contents=[dict(part="DEAR")])
    spares = [Spares(of="cables", count=of_each)] if of_each else []
    found = solved(draft, lit(1, panel_connector="SC"), spares=spares)
    assert lines(found) == {"BOX": 1, "O": 1, **leads}
    assert found.price_minor == 110 + 4 * leads.get("CHEAP", 0)


@pytest.mark.parametrize(
    ("percent", "pads", "pads_minor"),
    [
        (0, {"PAD5": 3}, 9),
        (34, {"PAD5": 5}, 15),  # 34 % of three are 1.02, so two
        (100, {"PAD5": 6}, 18),  # 1 of PAD5 and 2 of PAD9, and as many on the shelf, are 22
    ],
)
def test_attenuators(percent: int, pads: dict[str, int], pads_minor: int) -> None:
    """An optic that needs 40 m is weakened by 5 dB over 30 m: PAD5 for 3, or PAD9 for 4."""
    draft = boxed()
    draft.rows["optics"][0]["reaches"] = [dict(fibre="OM4", max_m=400, min_m=40, short_db=5)]
    for loss, price in ((5, 3), (9, 4)):
        draft.add("attenuators", price, id=f"PAD{loss}", connector="LC", loss_db=loss)
    spares = [Spares(part=part, percent=percent) for part in ("PAD5", "PAD9") if percent]
    found = solved(draft, lit(3, length_m=Decimal(30)), spares=spares)
    assert lines(found) == {"BOX": 1, "O": 3, **pads}
    assert found.price_minor == 130 + pads_minor


def test_a_part_whose_spares_are_dear_is_not_put_into_service() -> None:
    """PAD5 is 3 and ten of it lie on the shelf, if it is used at all; PAD9 is 4."""
    draft = boxed()
    draft.rows["optics"][0]["reaches"] = [dict(fibre="OM4", max_m=400, min_m=40, short_db=5)]
    for loss, price in ((5, 3), (9, 4)):
        draft.add("attenuators", price, id=f"PAD{loss}", connector="LC", loss_db=loss)
    found = solved(draft, lit(3, length_m=Decimal(30)), spares=[Spares(part="PAD5", count=10)])
    assert lines(found) == {"BOX": 1, "O": 3, "PAD9": 3}


def test_panels_out_of_a_box_are_in_service_and_another_lies_on_the_shelf() -> None:
    """Two panels at 40 lie in one box for 30 more and close both slots; half of two is one more."""
    draft = shop(module_slots=[dict(id="1", takes=("M",))])
    draft.add("modules", 500, id="M")
    draft.add("blanks", 40, id="PANEL", fills="module slot")
    draft.add("boxes", 100, id="BARE", unit="T")
    draft.add("boxes", 130, id="BUNDLE", unit="T", contents=[dict(part="PANEL", count=2, movable=True)])
    found = solved(draft, stack(8), spares=[Spares(part="PANEL", percent=50)])
    assert lines(found) == {"BARE": 1, "BUNDLE": 1, "SC": 1, "PANEL": 1}
    assert found.price_minor == 231 + 40


@pytest.mark.parametrize(
    ("copies", "kits", "kits_minor"),
    [
        (2, {"R8": 2}, 16),  # R5 would be two and two on the shelf, 20
        (4, {"R5": 6}, 30),  # four and two on the shelf; R8 is 32
    ],
)
def test_rack_kits(copies: int, kits: dict[str, int], kits_minor: int) -> None:
    """R5 for 5, of which two lie on the shelf where it is used; R8 for 8."""
    draft = boxed()
    draft.add("rack_kits", 5, id="R5", posts=2)
    draft.add("rack_kits", 8, id="R8", posts=2)
    found = solved(draft, stack(4, copies=copies, rack_posts=2), spares=[Spares(part="R5", count=2)])
    assert lines(found) == {"BOX": copies, **kits}
    assert found.price_minor == 100 * copies + kits_minor


def test_lugs_out_of_a_kit() -> None:
    """Three units have a lug each for 5; the three on the shelf come in a kit for 12."""
    draft = boxed()
    draft.add("lugs", 5, id="LUG")
    draft.add("kits", 12, id="KIT", contents=[dict(part="LUG", count=3)])
    found = solved(draft, stack(4, copies=3, earthing_lugs=True), spares=[Spares(part="LUG", count=3)])
    assert lines(found) == {"BOX": 3, "LUG": 3, "KIT": 1}
    assert found.price_minor == 300 + 15 + 12


@pytest.mark.parametrize(
    ("of_each", "cords", "cords_minor"),
    [
        (0, {"DE": 1, "US": 1}, 7),
        (1, {"DE": 2, "US": 2}, 14),  # BOTH three times is 15
        (2, {"BOTH": 4}, 20),  # DE and US three times each are 21
    ],
)
def test_cords_that_are_bound_to_a_country(of_each: int, cords: dict[str, int], cords_minor: int) -> None:
    """A stack in each of two countries: DE for 3, US for 4, and BOTH for 5."""
    draft = boxed(supply_bays=dict(count=1, takes=("S",)))
    draft.add("supplies", 20, id="S", outputs=[dict(from_v=100, to_v=240, output_w=100)], inlet="C14")
    for name, price, countries in (("DE", 3, ("DE",)), ("US", 4, ("US",)), ("BOTH", 5, ("DE", "US"))):
        draft.add("cords", price, id=name, countries=countries, coupler="C13", plug="C14", rating_a=10, length_m=2)
    spares = [Spares(of="cords", count=of_each)] if of_each else []
    found = solved(draft, stack(2), stack(2, name="other", country="US", input_v=120), spares=spares)
    assert lines(found) == {"BOX": 2, "S": 2, **cords}
    assert found.price_minor == 240 + cords_minor


# --- together with what else decides


@pytest.mark.parametrize(
    ("spares", "bought", "price_minor"),
    [
        ([], {"BUNDLE": 2}, 300),
        (["units"], {"BUNDLE": 2, "BARE": 1}, 400),  # the spare unit needs no licence and no supply
        (["supplies"], {"BARE": 2, "L": 2, "S": 3}, 340),  # as BUNDLE holds it another S-BIG is 90, so 390
        (["units", "supplies"], {"BARE": 3, "L": 2, "S": 3}, 440),  # 300 + 100 + 90 would be 490
    ],
)
def test_a_licence_that_is_kept_on_its_unit(spares: list[Any], bought: dict[str, int], price_minor: int) -> None:
    """Two stacks route: BARE for 100 with S for 20 and L for 40, or BUNDLE for 150, which holds S-BIG and L."""
    draft = shop(supply_bays=dict(count=1, takes=("S", "S-BIG")))
    for name, price in (("S", 20), ("S-BIG", 90)):
        draft.add("supplies", price, id=name, outputs=[dict(from_v=100, to_v=240, output_w=100)])
    licence(draft, "L", 40, "routing")
    draft.add("boxes", 100, id="BARE", unit="T")
    draft.add("boxes", 150, id="BUNDLE", unit="T", contents=[dict(part="S-BIG"), dict(part="L")])
    said = [Spares(of=kind, count=1) for kind in spares]
    found = solved(draft, stack(4, copies=2, features=("routing",)), spares=said)
    assert lines(found) == bought
    assert found.price_minor == price_minor


def test_spare_units_and_optics_need_no_contract() -> None:
    """BASIC for 20 and a contract for 12 for each of two optics in service; a third would make FULL for 50 cheaper."""
    draft = boxed()
    draft.add("support_levels", id="basic", rank=1)
    draft.add("support", 20, id="BASIC", level="basic", term_months=12)
    draft.add("support", 50, id="FULL", level="basic", term_months=12, covers_optics=True)
    draft.add("support", 12, id="PART", level="basic", term_months=12, covers_parts=("O",))
    draft.prices["D"] = 1000  # so that it is optics
    said = [Spares(of="units", count=1), Spares(of="optics", count=1)]
    found = solved(draft, stack(4, 2, support_level="basic", optics_covered=True), spares=said)
    assert lines(found) == {"BOX": 2, "O": 3, "BASIC": 1, "PART": 2}
    assert found.price_minor == 200 + 30 + 44


@pytest.mark.parametrize(
    ("spares", "cables", "cables_minor"),
    [
        ([], {"C0.7": 2, "C1.1": 2}, 48),
        ([Spares(part="C0.7", count=1)], {"C1.1": 4}, 56),  # two and two and one on the shelf are 58
        ([Spares(of="cables", count=1)], {"C1.1": 5}, 70),  # two and two and one of each are 72
        ([Spares(of="cables", percent=50)], {"C0.7": 3, "C1.1": 3}, 72),  # C1.1 six times is 84
    ],
)
def test_cables_that_are_bound_to_a_distance(spares: list[Spares], cables: dict[str, int], cables_minor: int) -> None:
    """A ring laced over every other of four units: two ways of 0.66 m for C0.7 at 10, two of 1.01 m for C1.1 at 14.

    From neighbour to neighbour the way back takes C1.5 at 60.
    """
    draft = boxed()
    draft.rows["families"][0] |= dict(topologies=("ring",), two_unit_links=(2,))
    draft.rows["cables"] = [row for row in draft.rows["cables"] if row["id"] != "SC"]
    for length, price in (("0.7", 10), ("1.1", 14), ("1.5", 60)):
        draft.add("cables", price, id=f"C{length}", kind="stacking", length_m=length, near="SK", far="SK",
                  speeds_mbps=(80_000,))  # fmt: skip
    found = solved(draft, stack(16, rack_positions=(1, 9, 17, 25)), spares=spares)
    assert lines(found) == {"BOX": 4, **cables}
    assert found.price_minor == 400 + cables_minor


@pytest.mark.parametrize(
    ("free", "of_each", "boxes", "price_minor"),
    [
        (4, 0, {"BOX-TALL": 2}, 160),
        (4, 2, {"BOX-TALL": 4}, 320),  # what lies on the shelf takes no height
        (3, 0, {"BOX": 1, "BOX-TALL": 1}, 180),
        (3, 1, {"BOX": 3}, 300),  # one of each type, and one of each on the shelf, are 360
    ],
)
def test_a_closet_that_stacks_share(free: int, of_each: int, boxes: dict[str, int], price_minor: int) -> None:
    """Two stacks of a unit: T for 100 is one rack unit high, TALL for 80 two."""
    draft = boxed()
    draft.rows["unit_types"].append({**draft.rows["unit_types"][0], "id": "TALL", "rack_units": 2})
    draft.add("boxes", 80, id="BOX-TALL", unit="TALL")
    asks = [
        make_ask(Stack(name=name, closet="east", rack_units_free=free, devices=(Devices(kind="desk", count=2),)))
        for name in ("one", "other")
    ]
    spares = [Spares(of="units", count=of_each)] if of_each else []
    found = solved(draft, *asks, spares=spares)
    assert lines(found) == boxes
    assert found.price_minor == price_minor


@pytest.mark.parametrize(
    ("stacks", "pack", "optics", "optics_minor"),
    [
        (1, 1, 2, 20),
        (2, 1, 3, 30),  # a tenth of two, rounded up once and not for each stack
        (10, 1, 11, 110),
        (11, 1, 13, 130),
        (3, 4, 4, 40),  # three and one on the shelf are a pack
        (4, 4, 8, 80),  # four and one on the shelf are two packs
    ],
)
def test_a_tenth_is_rounded_up_over_the_whole_order(stacks: int, pack: int, optics: int, optics_minor: int) -> None:
    """Stacks with one optic each, two of them told apart."""
    draft = boxed()
    draft.prices["D"] = 1000  # so that it is optics
    asks = [stack(1, 1, copies=max(1, stacks - 1))]
    if stacks > 1:
        asks.append(stack(1, 1, name="other"))
    found = solved(draft, *asks, spares=[Spares(of="optics", percent=10)], sold={"O": (pack, 1)})
    assert lines(found) == {"BOX": stacks, "O": optics}
    assert found.price_minor == 100 * stacks + optics_minor
