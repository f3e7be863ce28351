"""The hand-made build at 230 V, worked out by hand.

Unit 1: 40 W base + 2 x 2 W stacking + 1 W optic = 45 W; 10 telephones of class 2, 7 W each = 70 W.
Unit 2: 40 W + 4 W + 0.1 W split cable = 44.1 W; 4 cameras of 11 W at 60 m = 4 x 11.9 W = 47.6 W.
Together 206.7 W; over an efficiency of 0.9 they are 229.67 W at the plugs.
"""

from __future__ import annotations

from decimal import Decimal

import pint
import pytest

from configurator import load, messages
from configurator.build import FarEnd
from configurator.facility import BTU_H_PER_W, facility_of, inputs_of, weight_kg
from configurator.parts import Optic, UnitType
from configurator.whereabouts import links_of, unit_of, uplinks_of
from tests.unit import hand_made

CATALOG = hand_made.catalog()
BUILD = hand_made.build()
FIGURES = facility_of(BUILD, hand_made.ask(), CATALOG)


def test_power_of_the_stack() -> None:
    assert FIGURES.load_w == Decimal("206.7")
    assert FIGURES.poe_w == Decimal("117.6")
    assert FIGURES.plug_w == Decimal("229.7")
    assert FIGURES.volt_amperes == Decimal("241.8")  # 229.67 / 0.95


def test_heat_of_the_closet_leaves_out_what_the_cables_carry_away() -> None:
    assert FIGURES.heat_btu_h == Decimal("783.7")  # 229.6667 x 3.412142
    assert FIGURES.closet_w == Decimal("112.1")  # 229.67 - 117.6
    assert FIGURES.closet_btu_h == Decimal("382.4")


def test_btu_factor_agrees_with_a_units_library() -> None:
    # pint's own Btu is the ISO one, 1055.056 J; the international table's is 1055.05585262 J.
    factor = pint.UnitRegistry().Quantity(1, "watt").to("Btu/hour").magnitude
    assert float(BTU_H_PER_W) == pytest.approx(factor, rel=1e-6)
    assert Decimal("1e-6") > abs(BTU_H_PER_W - 3600 / Decimal("1055.05585262"))


def test_inlets_are_told_by_feed_with_the_current_of_one() -> None:
    # Unit 2's one supply carries 91.7 W: 91.7 / (0.9 x 0.95 x 230) = 0.466 A; unit 1's carry 57.5 W each: 0.292 A.
    # Rated: 400 / (0.9 x 0.95 x 230) = 2.034 A, told as 2.1 A: currents are rounded up.
    told = [(one.inlet, one.plug, one.feed, one.count, one.expected_a, one.rated_a) for one in FIGURES.inlets]
    assert told == [
        ("C14", "CEE 7/7", "A", 2, Decimal("0.5"), Decimal("2.1")),
        ("C14", "CEE 7/7", "B", 1, Decimal("0.3"), Decimal("2.1")),
    ]


def test_currents_are_left_out_where_nobody_knows_the_voltage() -> None:
    figures = facility_of(BUILD, hand_made.ask(input_v=None), CATALOG)
    assert [(one.expected_a, one.rated_a) for one in figures.inlets] == [(None, None), (None, None)]


def test_space_and_weight() -> None:
    assert (FIGURES.rack_units, FIGURES.weight_kg, FIGURES.heaviest_kg) == (2, Decimal("12.0"), Decimal("6.5"))


def test_weight_is_unknown_where_one_unit_has_none() -> None:
    bare = UnitType.model_validate({**CATALOG.unit_types["alder.24p"].model_dump(), "weight_kg": None})
    catalog = hand_made.catalog(unit_types=[bare.model_dump()])
    assert weight_kg(BUILD.units[0], catalog) is None
    assert facility_of(BUILD, hand_made.ask(), catalog).weight_kg is None


def test_cautions_name_what_this_stack_has() -> None:
    text = " ".join(FIGURES.cautions)
    for word in ("licensed people", "local code", "6.5 kg", "class 1", "bundled cables"):
        assert word in text
    plain = hand_made.build().model_copy(
        update={"units": (BUILD.units[0].model_copy(update={"uses": ()}),), "far_ends": ()}
    )
    without = " ".join(facility_of(plain, hand_made.ask(), CATALOG).cautions)
    assert "licensed people" in without
    assert "Lasers" not in without
    assert "bundled" not in without


def test_a_supply_gives_its_smallest_output_where_nobody_knows_the_voltage() -> None:
    supply = load.supplies_of(BUILD.units[0], CATALOG)[0]
    outputs = [load.output_w(supply, volts) for volts in (None, 120, 230, 400)]
    assert outputs == [300, 300, 400, 0]


def test_supplies_share_a_load_by_their_outputs() -> None:
    shares = [one.load_w for one in inputs_of(BUILD.units[0], hand_made.ask(), CATALOG)]
    assert shares == [Decimal("57.5"), Decimal("57.5")]


def test_watts_at_the_port_cover_what_the_cable_loses() -> None:
    # Class 3: 44 V and 20 ohm for 100 m, so 12 ohm for 60 m.  11.9 - (11.9/44)^2 x 12 = 11.02; 11.8 gives 10.94.
    assert load.port_w_for(Decimal(11), Decimal(60), CATALOG) == Decimal("11.9")
    assert load.port_w_for(Decimal(11), Decimal(0), CATALOG) == Decimal(11)
    # More than class 3 gives at 100 m: class 4, 50 V and 12.5 ohm.  14 - (14/50)^2 x 12.5 = 13.02; 13.9 gives 12.93.
    assert load.port_w_for(Decimal(13), Decimal(100), CATALOG) == Decimal("14.0")


def test_each_unit_tells_watts_with_all_supplies_and_with_one_lost() -> None:
    first, second = (unit_of(unit, hand_made.ask(), CATALOG).power for unit in BUILD.units)
    assert (first.own_w, first.poe_w) == (Decimal(45), Decimal(70))
    assert (first.all_supplies.output_w, first.all_supplies.left_w) == (Decimal(800), Decimal(685))
    assert first.one_lost is not None
    assert (first.one_lost.output_w, first.one_lost.left_w) == (Decimal(400), Decimal(285))
    assert (second.own_w, second.poe_w) == (Decimal("44.1"), Decimal("47.6"))
    assert second.all_supplies.left_w == Decimal("308.3")
    assert second.one_lost is None


def test_a_poe_table_has_its_own_sum() -> None:
    table = [
        {"supplies": ["alder.supply"], "poe_w": 60},
        {"supplies": ["alder.supply", "alder.supply"], "poe_w": 185, "from_v": 200},
        {"supplies": ["alder.supply", "alder.supply"], "poe_w": 120, "to_v": 199},
    ]
    bare = {**CATALOG.unit_types["alder.24p"].model_dump(), "poe_table": table}
    catalog = hand_made.catalog(unit_types=[bare])
    power = unit_of(BUILD.units[0], hand_made.ask(), catalog).power
    whole = power.all_supplies
    assert (whole.left_w, whole.poe_budget_w, whole.poe_left_w) == (Decimal(755), Decimal(185), Decimal(115))
    assert power.one_lost is not None
    assert (power.one_lost.left_w, power.one_lost.poe_budget_w, power.one_lost.poe_left_w) == (
        Decimal(355),
        Decimal(60),
        Decimal(-10),
    )
    low = unit_of(BUILD.units[0], hand_made.ask(input_v=120), catalog).power
    assert low.all_supplies.poe_budget_w == 120


def test_a_cap_of_the_chassis_limits_poe_beside_the_supplies() -> None:
    bare = {**CATALOG.unit_types["alder.24p"].model_dump(), "poe_cap_w": 100}
    power = unit_of(BUILD.units[0], hand_made.ask(), hand_made.catalog(unit_types=[bare])).power
    assert (power.all_supplies.left_w, power.all_supplies.poe_budget_w, power.all_supplies.poe_left_w) == (
        Decimal(685),
        Decimal(100),
        Decimal(30),
    )


def test_devices_are_told_in_ranges_of_ports() -> None:
    first, second = (unit_of(unit, hand_made.ask(), CATALOG) for unit in BUILD.units)
    assert [(use.name, use.group, use.ports, use.count, use.ref) for use in first.uses] == [
        ("telephone", "c", "1-10", 10, "5.1"),
        ("uplink", "up", "2", 1, "5.2"),
    ]
    assert [(use.name, use.group, use.ports, use.count) for use in second.uses] == [
        ("camera", "c", "1-3, 5", 4),
        ("server", "q", "1 ways 1-2", 2),
    ]
    assert [(one.group, one.ports) for one in first.free] == [("c", "11-24"), ("up", "1"), ("q", "1")]
    assert [(one.group, one.ports) for one in second.free] == [("c", "4, 6-24"), ("up", "1-2")]


def test_uplinks_are_told_with_both_ends() -> None:
    told = [
        (one.name, one.unit, one.group, one.port, one.way, one.plug, one.far_end)
        for one in uplinks_of(BUILD, hand_made.ask(), CATALOG)
    ]
    assert told == [
        ("uplink", 1, "up", 2, None, ("alder.optic",), "alder.optic"),
        ("server", 2, "q", 1, 1, ("alder.split",), None),
        ("server", 2, "q", 1, 2, ("alder.split",), None),
    ]


def test_links_are_told_with_the_way_and_the_cable() -> None:
    told = [(one.from_unit, one.to_unit, one.way_m, one.parts, one.length_m) for one in links_of(BUILD, CATALOG)]
    assert told == [(1, 2, Decimal("0.34445"), ("alder.rear",), Decimal("0.5"))] * 2


def test_the_far_end_of_a_pair_is_the_optic_of_the_opposite_wavelength() -> None:
    near = CATALOG.get("alder.optic", Optic).model_copy(update={"pairs_with": "alder.other"})
    other = near.model_copy(update={"id": "alder.other", "pairs_with": "alder.optic"})
    catalog = hand_made.catalog(optics=[near.model_dump(), other.model_dump()])
    paired = BUILD.model_copy(update={"far_ends": (FarEnd(statement="uplinks[0]", part="alder.other", count=1),)})
    assert uplinks_of(paired, hand_made.ask(), catalog)[0].far_end == "alder.other"


def test_a_far_end_that_is_not_ordered_is_not_told() -> None:
    without = BUILD.model_copy(update={"far_ends": ()})
    assert uplinks_of(without, hand_made.ask(), CATALOG)[0].far_end is None


def test_a_type_without_supplies_takes_what_it_draws() -> None:
    """Nothing is known of its losses, and nothing is said of watts left."""
    bare = BUILD.model_copy(update={"units": tuple(u.model_copy(update={"supplies": ()}) for u in BUILD.units)})
    figures = facility_of(bare, hand_made.ask(), CATALOG)
    assert figures.plug_w == figures.volt_amperes == figures.load_w > 0
    unit = unit_of(bare.units[0], hand_made.ask(), CATALOG)
    assert messages.watts(unit)[0].endswith("the catalog names no supply, so nothing is said of what is left")
