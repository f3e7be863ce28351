"""Every number in a conflict's sentences, worked out anew from the catalog and the demand, without the engine."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from math import gcd
from typing import Any

from configurator.catalog import Catalog
from configurator.parts import Optic, PortGroup, Supply, UnitType
from configurator.setting import Ask
from tests.rules.worlds import cage, copper_optic, group, make_ask, make_catalog, optic, part, unit_type
from tests.unit.test_argument import conflict_of

NUMBER = re.compile(r"(?<![\w.+-])\d+(?:\.\d+)?(?![\w+-])")  # not those in names
REAR = group("rear", 2, connector="SK", speeds_mbps=[80_000], roles=["stack"], stack_reserve_w="3.2")
LINK = part("SK", kind="stacking", length_m=3, near="SK", far="SK", speeds_mbps=[80_000])
CLASSES = [
    {"poe_class": 3, "port_w": "15.4", "device_w": "12.95", "port_min_v": 44, "loop_ohm": 20},
    {"poe_class": 4, "port_w": 30, "device_w": "25.5", "port_min_v": 50, "loop_ohm": "12.5"},
]
OUTPUTS = [{"from_v": 100, "to_v": 127, "output_w": "215.5"}, {"from_v": 200, "to_v": 240, "output_w": "247.3"}]
SUPPLY = part("S", outputs=OUTPUTS, efficiency="0.85", power_factor="0.95", weight_kg="1.25")
BAYS = {"count": 2, "takes": ["S"]}
POWERED: dict[str, Any] = {"supplies": [SUPPLY], "poe_classes": CLASSES}
FED = group("a", 24, poe_class=4)
FIBRE = {"speed_mbps": 10_000, "over": "fibre", "fibre": "OM4", "length_m": 20}
IN_CAGES: dict[str, Any] = {"optics": [optic("SR")], "optics_matrix": [{"cage": "C-SFP+", "takes": ["SR"]}]}


def stack_of(most: int, *types: dict[str, Any], family: dict[str, Any] | None = None, **parts: Any) -> Catalog:
    """A catalog of types that stack, each in a box of its own, as many as `most`."""
    return make_catalog(
        families=[{"id": "F", "largest_stack": most, **(family or {})}],
        unit_types=types,
        boxes=[part(f"BOX-{one['id']}", unit=one["id"]) for one in types],
        cables=[LINK],
        **parts,
    )


def numbers(ask: Ask, catalog: Catalog) -> list[Decimal]:
    """All numbers that the sentences of the demand's one conflict state, in order."""
    return stated(conflict_of(ask, catalog).text)


def stated(text: str) -> list[Decimal]:
    return [Decimal(number) for number in NUMBER.findall(text)]


def gbps(mbps: int) -> Decimal:
    return Decimal(mbps) / 1000


def cents_up(amount: Decimal) -> Decimal:
    """Hundredths, rounded up."""
    return amount.quantize(Decimal("0.01"), ROUND_CEILING)


def at(supply: Supply, volts: int) -> Decimal:
    """Watts that a supply gives at this voltage."""
    return next(one.output_w for one in supply.outputs if one.from_v <= volts <= one.to_v)


def of(unit: UnitType, name: str) -> PortGroup:
    return next(ports for ports in unit.ports if ports.id == name)


def short(asked: Sequence[Decimal | int], total: Decimal | int, each: Decimal | int, units: int) -> list[Decimal]:
    """Asked, together; the most of one unit; so many units; the most of all."""
    assert each * units < total, "it really is too little"
    return [Decimal(number) for number in (*asked, total, each, units, each * units)]


def test_only_whole_numbers_and_decimals_count_as_numbers() -> None:
    found = stated("Asked: 9 x desk (2.5 Gb/s), 10GBASE-SR over OM4 in T2 of SFP+, rill.8p4: 0.34445 m, 20 ports.")
    assert found == [Decimal(9), Decimal("2.5"), Decimal("0.34445"), Decimal(20)]


def test_ports_with_growth_on_the_best_of_two_types() -> None:
    """Growth is rounded up; the type with more ports counts, and cages that take copper optics are ports too."""
    taken: dict[str, Any] = {"optics": [copper_optic("RJ")], "optics_matrix": [{"cage": "C-SFP+", "takes": ["RJ"]}]}
    catalog = stack_of(
        3, unit_type(group("a", 23), REAR), {**unit_type(group("a", 16), cage("up", 8), REAR), "id": "U"}, **taken
    )
    ask = make_ask(devices=[{"kind": "desk", "count": 61}], headroom_percent=20)
    (said,) = ask.stack.devices
    grown = -(-said.count * (100 + ask.headroom_percent) // 100)
    each = max(
        sum(ports.count for ports in unit.ports if said.speed_mbps in ports.speeds_mbps)
        for unit in catalog.parts.unit_types
    )
    asked = (grown, gbps(said.speed_mbps), said.count, grown - said.count)
    wanted = short(asked, grown, each, catalog.families["F"].largest_stack)
    assert numbers(ask, catalog) == wanted


def test_watts_of_one_class() -> None:
    """So many devices as a unit's watts feed at this voltage, once it has taken its own and its stacking ports'."""
    catalog = stack_of(2, unit_type(FED, REAR, base_draw_w="101.7", supply_bays=BAYS), **POWERED)
    (unit,) = catalog.parts.unit_types
    ask = make_ask(devices=[{"kind": "camera", "count": 23, "poe_class": 4}], input_v=120)
    (said,) = ask.stack.devices
    assert unit.supply_bays is not None
    gives = unit.supply_bays.count * at(catalog.get("S", Supply), 120)
    takes = unit.base_draw_w + of(unit, "rear").count * of(unit, "rear").stack_reserve_w
    left_w, port_w = gives - takes, catalog.poe_classes[4].port_w
    asked, one, total, each, *rest = short(
        (said.count, gbps(said.speed_mbps)), said.count, int(left_w // port_w), catalog.families["F"].largest_stack
    )
    fitted = unit.supply_bays.count
    assert numbers(ask, catalog) == [asked, one, total, each, fitted, left_w, port_w, *rest]


def test_watts_of_several_classes() -> None:
    """Watts are added up, and what both supplies give counts, as far as whole devices could draw it."""
    catalog = stack_of(2, unit_type(FED, REAR, base_draw_w="41.7", supply_bays=BAYS), **POWERED)
    ask = make_ask(
        devices=[{"kind": "camera", "count": 20, "poe_class": 4}, {"kind": "phone", "count": 28, "poe_class": 3}],
        input_v=120,
    )
    (unit,) = catalog.parts.unit_types
    assert unit.supply_bays is not None
    bays = unit.supply_bays.count
    takes = unit.base_draw_w + of(unit, "rear").count * of(unit, "rear").stack_reserve_w
    left_w = bays * at(catalog.get("S", Supply), 120) - takes
    drawn_dw = [int(10 * catalog.poe_classes[said.poe_class or 0].port_w) for said in ask.stack.devices]
    left_w -= left_w % (Decimal(gcd(*drawn_dw)) / 10)  # 30 W and 15.4 W are multiples of 0.2 W, and so are their sums
    asked = [number for said in ask.stack.devices for number in (said.count, gbps(said.speed_mbps))]
    total_w = sum(said.count * catalog.poe_classes[said.poe_class or 0].port_w for said in ask.stack.devices)
    asked_w, each_w, *rest = short((), Decimal(total_w), left_w, catalog.families["F"].largest_stack)
    assert numbers(ask, catalog) == [*asked, asked_w, each_w, bays, *rest]


def test_one_supply_is_lost() -> None:
    """What is left feeds whole devices; the same devices would have watts enough if nothing were lost."""
    catalog = stack_of(2, unit_type(FED, REAR, base_draw_w="41.7", supply_bays=BAYS), **POWERED)
    ask = make_ask(devices=[{"kind": "camera", "count": 13, "poe_class": 4}], on_supply_loss="carries_all", input_v=230)
    (unit,), (said,) = catalog.parts.unit_types, ask.stack.devices
    assert unit.supply_bays is not None
    takes = unit.base_draw_w + of(unit, "rear").count * of(unit, "rear").stack_reserve_w
    left_w = (unit.supply_bays.count - 1) * at(catalog.get("S", Supply), 230) - takes
    port_w, most = catalog.poe_classes[4].port_w, catalog.families["F"].largest_stack
    assert said.count <= most * int((left_w + at(catalog.get("S", Supply), 230)) // port_w)
    asked, one, total, each, *rest = short((said.count, gbps(said.speed_mbps)), said.count, int(left_w // port_w), most)
    conflict = conflict_of(ask, catalog)
    assert set(conflict.statements) == {"devices[0]", "on_supply_loss"}
    assert stated(conflict.text) == [asked, one, total, each, unit.supply_bays.count, left_w, port_w, *rest]


def test_ports_that_share_their_innards() -> None:
    catalog = stack_of(
        2,
        unit_type(group("a", 10), cage("up", 4), REAR, shared_ports=[{"groups": ["a", "up"], "at_most": 12}]),
        **IN_CAGES,
    )
    ask = make_ask(ports=[{"count": 19, "speed_mbps": 1000}], uplinks=[{"count": 6, **FIBRE}])
    (unit,), (ports,), (links,) = catalog.parts.unit_types, ask.stack.ports, ask.stack.uplinks
    (shared,) = unit.shared_ports
    asked = (ports.count, gbps(ports.speed_mbps), links.count, gbps(links.speed_mbps))
    assert shared.at_most < of(unit, "a").count + of(unit, "up").count
    assert numbers(ask, catalog) == short(
        asked, ports.count + links.count, shared.at_most, catalog.families["F"].largest_stack
    )


def test_uplinks_spread_over_more_units_than_stack() -> None:
    """Ports are plenty: what bites is over how many units they are spread, and how many stack."""
    catalog = stack_of(2, unit_type(group("a", 10), cage("up", 4), REAR), **IN_CAGES)
    ask = make_ask(uplinks=[{**FIBRE, "count": 4, "spread_over_units": 3}])
    (links,), most = ask.stack.uplinks, catalog.families["F"].largest_stack
    assert links.spread_over_units > most
    assert most * of(catalog.parts.unit_types[0], "up").count >= links.count
    conflict = conflict_of(ask, catalog)
    assert "ports.spread" in conflict.rules
    assert {links.spread_over_units, most} <= set(stated(conflict.text))


# --- choices that were gone through -------------------------------------------------------------------


def gone_through(ask: Ask, catalog: Catalog, *limit: Decimal | int) -> list[Decimal]:
    """Asked, together; the largest stack, for each size of which one choice of the one type; the limit's figures."""
    said = (ask.stack.ports or ask.stack.devices)[0]
    most = catalog.families["F"].largest_stack
    figures: list[Decimal | int] = [said.count, gbps(said.speed_mbps), said.count, most, most, *limit]
    return [Decimal(number) for number in figures]


def test_rack_units() -> None:
    catalog = stack_of(4, unit_type(group("a", 10), REAR, rack_units=2))
    ask = make_ask(ports=[{"count": 21, "speed_mbps": 1000}], rack_units_free=5)
    (unit,), (said,), free = catalog.parts.unit_types, ask.stack.ports, ask.stack.rack_units_free or 0
    assert free // unit.rack_units * of(unit, "a").count < said.count
    assert numbers(ask, catalog) == gone_through(ask, catalog, unit.rack_units, free)


def test_weight() -> None:
    """A unit weighs at least what it does with the one supply that it needs."""
    catalog = stack_of(4, unit_type(group("a", 10), REAR, weight_kg="6.4", supply_bays=BAYS), **POWERED)
    ask = make_ask(ports=[{"count": 21, "speed_mbps": 1000}], rack_weight_kg="15.3")
    (unit,), (said,), carries_kg = catalog.parts.unit_types, ask.stack.ports, ask.stack.rack_weight_kg
    supply_kg = catalog.get("S", Supply).weight_kg
    assert None not in (unit.weight_kg, supply_kg, carries_kg)
    weighs_kg = (unit.weight_kg or 0) + (supply_kg or 0)
    assert int((carries_kg or 0) / weighs_kg) * of(unit, "a").count < said.count
    assert numbers(ask, catalog) == gone_through(ask, catalog, Decimal(weighs_kg), carries_kg or 0)


def test_noise() -> None:
    """Levels add as powers: the share of the allowed power that one unit makes."""
    catalog = stack_of(4, unit_type(group("a", 10), REAR, noise_db=48))
    ask = make_ask(ports=[{"count": 21, "speed_mbps": 1000}], noise_db=50)
    (unit,), (said,) = catalog.parts.unit_types, ask.stack.ports
    percent = 100 * 10 ** (float((unit.noise_db or 0) - (ask.stack.noise_db or 0)) / 10)
    assert -(-said.count // of(unit, "a").count) * percent > 100
    assert numbers(ask, catalog) == gone_through(ask, catalog, Decimal(f"{percent:.4f}"), 100)


def warm_catalog() -> Catalog:
    return stack_of(3, unit_type(FED, REAR, base_draw_w="41.7", supply_bays={**BAYS, "count": 1}), **POWERED)


def cameras(count: int, **wishes: Any) -> Ask:
    return make_ask(devices=[{"kind": "camera", "count": count, "poe_class": 3}], input_v=230, **wishes)


def test_heat() -> None:
    """What a unit turns into heat, and what is lost on the way to its devices, a port at a time."""
    catalog, ask = warm_catalog(), cameras(25, heat_w=150)
    (unit,), (said,), allowed_w = catalog.parts.unit_types, ask.stack.devices, ask.stack.heat_w or Decimal(0)
    efficiency, port_w = catalog.get("S", Supply).efficiency, catalog.poe_classes[3].port_w
    own_w = cents_up(unit.base_draw_w / efficiency)
    lost_w = said.count * cents_up(port_w / efficiency - port_w)
    needs = -(-said.count // of(unit, "a").count)
    assert needs * own_w + lost_w > allowed_w
    assert numbers(ask, catalog) == gone_through(ask, catalog, own_w, lost_w, allowed_w)


def test_volt_amperes() -> None:
    catalog, ask = warm_catalog(), cameras(25, ups_va=560)
    (unit,), (said,), carries_va = catalog.parts.unit_types, ask.stack.devices, ask.stack.ups_va or 0
    supply = catalog.get("S", Supply)
    of_va = supply.efficiency * supply.power_factor
    own_va = cents_up(unit.base_draw_w / of_va)
    fed_va = said.count * cents_up(catalog.poe_classes[3].port_w / of_va)
    assert -(-said.count // of(unit, "a").count) * own_va + fed_va > carries_va
    assert numbers(ask, catalog) == gone_through(ask, catalog, own_va, fed_va, carries_va)


def test_heat_of_the_first_unit_is_too_much() -> None:
    """What is asked is far below the limit by itself; only with the unit that serves it is it above."""
    catalog, ask = warm_catalog(), cameras(5, heat_w=55)
    (unit,), (said,), allowed_w = catalog.parts.unit_types, ask.stack.devices, ask.stack.heat_w or Decimal(0)
    efficiency, port_w = catalog.get("S", Supply).efficiency, catalog.poe_classes[3].port_w
    own_w = cents_up(unit.base_draw_w / efficiency)
    lost_w = said.count * cents_up(port_w / efficiency - port_w)
    assert lost_w < allowed_w < own_w + lost_w
    conflict = conflict_of(ask, catalog)
    assert {own_w, lost_w, allowed_w} <= set(stated(conflict.text))
    assert "breaks it by itself" not in conflict.text


# --- figures of the demand alone ----------------------------------------------------------------------


def test_oversubscription_without_uplinks() -> None:
    """All access bandwidth is too much where no uplink carries any."""
    catalog = stack_of(1, unit_type(group("a", 24), cage("up", 4)), **IN_CAGES)
    ask = make_ask(ports=[{"count": 24, "speed_mbps": 1000}], oversubscription="2.1")
    (said,) = ask.stack.ports
    assert numbers(ask, catalog) == [gbps(said.count * said.speed_mbps)]


def test_oversubscription_of_uplinks() -> None:
    """What the uplinks allow is taken off."""
    catalog = stack_of(1, unit_type(group("a", 24), cage("up", 4)), **IN_CAGES)
    ask = make_ask(ports=[{"count": 24, "speed_mbps": 1000}], uplinks=[{"count": 1, **FIBRE}], oversubscription="2.1")
    (said,), (links,), ratio = ask.stack.ports, ask.stack.uplinks, ask.stack.oversubscription or Decimal(0)
    beyond_mbps = said.count * said.speed_mbps - ratio * links.count * links.speed_mbps
    assert beyond_mbps > 0
    assert beyond_mbps / 1000 in numbers(ask, catalog)


# --- refusals: no figure proves them, those of the demand are told -------------------------------------


def test_a_fibre_that_is_too_long() -> None:
    """The only number is what is asked; a metre less and the optic reaches."""
    catalog = stack_of(1, unit_type(cage("up", 4)), **IN_CAGES)
    (reach,) = (one for one in catalog.get("SR", Optic).reaches if one.fibre == "OM4")
    ask = make_ask(uplinks=[{**FIBRE, "count": 3, "length_m": reach.max_m + 1}])
    (links,) = ask.stack.uplinks
    conflict = conflict_of(ask, catalog)
    assert stated(conflict.text) == [links.count, gbps(links.speed_mbps)]
    assert "modules.reach" in conflict.rules


def test_types_that_are_too_deep() -> None:
    """Named are those that are deeper than the rack, and no other."""
    types = [{**unit_type(group("a", 8), depth_mm=depth), "id": name} for name, depth in (("T", 445), ("U", 410))]
    catalog = stack_of(1, *types)
    ask = make_ask(ports=[{"count": 2, "speed_mbps": 1000}], rack_depth_mm=400)
    conflict = conflict_of(ask, catalog)
    deep = [one.id for one in catalog.parts.unit_types if (one.depth_mm or 0) > (ask.stack.rack_depth_mm or 0)]
    assert f"{', '.join(deep)}: " in conflict.text
    assert conflict.rules == ("racking.depth",)
    assert stated(conflict.text) == []


def test_a_stack_larger_than_its_family_allows() -> None:
    """The way of the link that is told: one rack unit of 44.45 mm and the family's slack."""
    catalog = stack_of(4, unit_type(group("a", 8), REAR), family={"routing_slack_m": "0.25"})
    ask = make_ask(ports=[{"count": 2, "speed_mbps": 1000}], units_at_least=5)
    (unit,), (family,) = catalog.parts.unit_types, catalog.parts.families
    assert family.largest_stack < (ask.stack.units_at_least or 0)
    way_m = unit.rack_units * Decimal("0.04445") + family.routing_slack_m
    found = set(numbers(ask, catalog))
    assert {Decimal(1), Decimal(2), way_m} <= found
    assert found <= {1, 2, way_m, family.largest_stack, ask.stack.units_at_least}


def test_units_too_far_apart_to_stack() -> None:
    """Alone, a unit has too few ports; what stands between units is longer than any link."""
    catalog = stack_of(4, unit_type(group("a", 8), REAR), family={"longest_link_m": 2})
    ask = make_ask(ports=[{"count": 12, "speed_mbps": 1000}], between_units_m=["2.5"])
    (unit,), (family,), (said,) = catalog.parts.unit_types, catalog.parts.families, ask.stack.ports
    assert (ask.stack.between_units_m or (Decimal(0),))[0] > (family.longest_link_m or 0)
    conflict = conflict_of(ask, catalog)
    assert stated(conflict.text) == short((said.count, gbps(said.speed_mbps)), said.count, of(unit, "a").count, 1)
    assert "stacking.distance" in conflict.rules


def test_other_figures_give_other_sentences() -> None:
    """The numbers are read off the catalog: with one port more on each unit they change, not otherwise."""
    ask = make_ask(ports=[{"count": 40, "speed_mbps": 1000}])
    few, more = (stack_of(3, unit_type(group("a", count), REAR)) for count in (10, 11))
    assert numbers(ask, few) == short((40, 1), 40, 10, 3)
    assert numbers(ask, more) == short((40, 1), 40, 11, 3)
