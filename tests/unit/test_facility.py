"""The hand-made build at 230 V, worked out by hand.

Unit 1: 40 W base + 2 x 2 W stacking + 1 W optic = 45 W; 10 telephones of class 2, 7 W each = 70 W.
Unit 2: 40 W + 4 W + 0.1 W split cable = 44.1 W; 4 cameras of 11 W at 60 m = 4 x 11.9 W = 47.6 W.
Together 206.7 W; over an efficiency of 0.9 they are 229.67 W at the plugs.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest

from configurator import messages
from configurator.build import FarEnd
from configurator.catalog import Catalog
from configurator.demand import Outlets as OutletsAsked
from configurator.facilities import load
from configurator.facilities.circuits import inputs_of
from configurator.facilities.facility import BTU_H_PER_W, facility_of, sound_power_db, weight_kg
from configurator.facilities.whereabouts import links_of, unit_of, uplinks_of
from configurator.parts import Optic, Supply, UnitType
from configurator.setting import Ask
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


def test_each_feed_carries_its_share_and_with_the_other_lost_everything() -> None:
    """Unit 2 hangs on feed A alone.  A: 149.2 W of 206.7 W, B: 57.5 W; without A only unit 1's 115 W are carried."""
    told = [
        (one.feed, one.input_v, one.plug_w, one.volt_amperes, one.amps, one.lost_volt_amperes, one.lost_amps)
        for one in FIGURES.feeds
    ]
    assert told == [
        # 149.2 / 0.9, / 0.95, / 230; 206.7 / 0.855 = 241.75
        ("A", 230, Decimal("165.8"), Decimal("174.6"), Decimal("0.8"), Decimal("241.8"), Decimal("1.1")),
        # 57.5 / 0.9, / 0.95, / 230; 115 / 0.855 = 134.50
        ("B", 230, Decimal("63.9"), Decimal("67.3"), Decimal("0.3"), Decimal("134.6"), Decimal("0.6")),
    ]


def test_supplies_without_feeds_are_on_one() -> None:
    units = tuple(
        unit.model_copy(update={"supplies": tuple(s.model_copy(update={"feed": None}) for s in unit.supplies)})
        for unit in BUILD.units
    )
    (one,) = facility_of(BUILD.model_copy(update={"units": units}), hand_made.ask(), CATALOG).feeds
    assert (one.feed, one.amps, one.lost_volt_amperes, one.lost_amps) == (None, Decimal("1.1"), None, None)


def test_a_feed_carries_no_more_than_its_supplies_give() -> None:
    """Of unit 1's 115 W one supply of 100 W delivers 100: 100 / 0.855 = 116.96 VA."""
    weak = {**CATALOG.get("alder.supply", Supply).model_dump()}
    weak["outputs"] = [{"from_v": 100, "to_v": 240, "output_w": 100}]
    figures = facility_of(BUILD, hand_made.ask(), hand_made.catalog(supplies=[weak]))
    assert [one.lost_volt_amperes for one in figures.feeds] == [Decimal("224.3"), Decimal("117.0")]


def test_by_a_poe_table_a_feed_carries_its_own_row() -> None:
    """With one supply the table gives 60 W: unit 1 draws 45 + 60 W, unit 2 44.1 + 47.6 W."""
    table = [
        {"supplies": ["alder.supply"], "poe_w": 60},
        {"supplies": ["alder.supply", "alder.supply"], "poe_w": 185},
    ]
    bare = {**CATALOG.unit_types["alder.24p"].model_dump(), "poe_table": table}
    figures = facility_of(BUILD, hand_made.ask(), hand_made.catalog(unit_types=[bare]))
    # 196.7 / 0.855 = 230.06; 105 / 0.855 = 122.81
    assert [one.lost_volt_amperes for one in figures.feeds] == [Decimal("230.1"), Decimal("122.9")]


def circuit_ask(amps: str, share_percent: int = 100, *, shared: bool = False) -> Ask:
    said = {"amps": amps, "share_percent": share_percent, "shared": shared}
    ask = hand_made.ask(circuit=said)
    setting = replace(ask.setting, circuit_amps=Decimal(amps), circuit_share_percent=share_percent)
    return replace(ask, setting=setting)


def test_each_inlet_has_a_circuit_of_its_own() -> None:
    """Unit 2's supply carries most, 0.466 A; with feed B lost unit 1's carries 115 W, 0.585 A; rated 2.034 A."""
    told = [
        (one.feed, one.shared, one.count, one.allowed_a, one.expected_a, one.lost_feed_a, one.rated_a, one.within)
        for one in facility_of(BUILD, circuit_ask("20", 80), CATALOG).circuits
    ]
    sixteen = Decimal(16)
    assert told == [
        ("A", False, 2, sixteen, Decimal("0.5"), Decimal("0.6"), Decimal("2.1"), True),
        ("B", False, 1, sixteen, Decimal("0.3"), Decimal("0.6"), Decimal("2.1"), True),
    ]


@pytest.mark.parametrize(("amps", "within"), [("2.04", True), ("2.03", False)])
def test_the_rated_current_of_an_inlet_is_held_against_its_circuit(amps: str, within: bool) -> None:
    """400 W are 2.0341 A: told as 2.1 A, but held against what is allowed as it is."""
    found = facility_of(BUILD, circuit_ask(amps), CATALOG).circuits
    assert {(one.allowed_a, one.rated_a, one.within) for one in found} == {(Decimal("2.0"), Decimal("2.1"), within)}


@pytest.mark.parametrize(
    ("amps", "within"), [("1.06", (True, True)), ("1.05", (False, True)), ("0.58", (False, False))]
)
def test_a_shared_circuit_carries_the_stack_with_the_other_feed_lost_too(amps: str, within: tuple[bool, bool]) -> None:
    """1.0511 A on feed A while B is lost; 0.5848 A on B while A is."""
    found = facility_of(BUILD, circuit_ask(amps, shared=True), CATALOG).circuits
    assert [(one.feed, one.count, one.expected_a, one.lost_feed_a, one.rated_a) for one in found] == [
        ("A", 1, Decimal("0.8"), Decimal("1.1"), None),
        ("B", 1, Decimal("0.3"), Decimal("0.6"), None),
    ]
    assert tuple(one.within for one in found) == within


def test_a_share_of_a_circuit_is_rounded_down() -> None:
    (one, _) = facility_of(BUILD, circuit_ask("13", 83), CATALOG).circuits
    assert one.allowed_a == Decimal("10.7")  # 10.79


def test_nothing_is_said_of_circuits_that_nobody_knows() -> None:
    unrated = facility_of(BUILD, hand_made.ask(), CATALOG).circuits
    assert {(one.circuit_a, one.allowed_a, one.within) for one in unrated} == {(None, None, None)}
    assert unrated[0].expected_a == Decimal("0.5")
    no_voltage = facility_of(BUILD, hand_made.ask(input_v=None), CATALOG)
    assert {(one.expected_a, one.lost_feed_a, one.rated_a) for one in no_voltage.circuits} == {(None, None, None)}
    assert {one.amps for one in no_voltage.feeds} == {None}


@pytest.mark.parametrize(("free", "within"), [(3, True), (2, False)])
def test_outlets_are_told_by_plug_against_the_free_ones(free: int, within: bool) -> None:
    said = (hand_outlets(("CEE 7/7", free), ("C14", 9)), None)
    told = [
        [(one.plug, one.count, one.free, one.within) for one in figures.outlets]
        for figures in (facility_of(BUILD, replace(hand_made.ask(), outlets=outlets), CATALOG) for outlets in said)
    ]
    assert told == [[("CEE 7/7", 3, free, within)], [("CEE 7/7", 3, None, None)]]


def hand_outlets(*rows: tuple[str, int]) -> tuple[OutletsAsked, ...]:
    return tuple(OutletsAsked(plug=plug, count=count) for plug, count in rows)


@pytest.mark.parametrize(("level", "together"), [("45.5", "48.6"), ("40", "43.1"), ("0", "3.1")])
def test_two_sources_alike_are_three_decibels_louder(level: str, together: str) -> None:
    """10 lg 2 = 3.0103; one by itself is as loud as it is."""
    assert sound_power_db([(2, Decimal(level))]) == Decimal(together)
    assert sound_power_db([(1, Decimal(level))]) == Decimal(level)
    assert facility_of(BUILD, hand_made.ask(), known(noise_db=level)).noise_db == Decimal(together)


def known(**facts: object) -> Catalog:
    """The catalog with more facts about its unit type."""
    return hand_made.catalog(unit_types=[{**CATALOG.unit_types["alder.24p"].model_dump(), **facts}])


def test_a_source_ten_decibels_lower_is_hardly_heard() -> None:
    assert sound_power_db([(1, Decimal(50)), (1, Decimal(40))]) == Decimal("50.5")  # 50.414


def test_depth_and_sound_are_unknown_where_the_catalog_has_none() -> None:
    assert (FIGURES.depth_mm, FIGURES.noise_db) == (None, None)
    assert facility_of(BUILD, hand_made.ask(), known(depth_mm=420)).depth_mm == 420


@pytest.mark.parametrize(
    ("key", "fits", "over", "figure"),
    [
        ("rack_units_free", "2", "1", "2"),
        ("rack_depth_mm", "420", "419", "420"),
        ("rack_weight_kg", "12", "11.9", "12.0"),
        ("heat_w", "112.1", "112", "112.1"),
        ("ups_va", "242", "241", "241.8"),
        ("noise_db", "48.6", "48.5", "48.6"),
    ],
)
def test_a_limit_that_is_stated_is_shown_with_its_figure(key: str, fits: str, over: str, figure: str) -> None:
    catalog = known(depth_mm=420, noise_db="45.5")
    for limit, within in ((fits, True), (over, False)):
        wish: dict[str, Any] = {key: limit}
        (one,) = facility_of(BUILD, hand_made.ask(**wish), catalog).limits
        assert (one.key, one.figure, one.limit, one.within) == (key, Decimal(figure), Decimal(limit), within)


def test_a_limit_on_what_the_catalog_does_not_say_is_left_open() -> None:
    (one,) = facility_of(BUILD, hand_made.ask(noise_db="45"), CATALOG).limits
    assert (one.figure, one.limit, one.within) == (None, Decimal(45), None)
    assert FIGURES.limits == ()


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
    assert shares == [Fraction("57.5"), Fraction("57.5")]


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
