"""The numbers in a conflict's words are those of the catalog, worked out anew."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from configurator.catalog import Catalog
from configurator.demand import Stack
from configurator.engine.search import solve_stack
from configurator.parts import Optic, Supply
from configurator.setting import Ask, Statement
from configurator.solved import Conflict
from configurator_rules import RULES
from tests.rules.worlds import cage, group, make_ask, make_catalog, optic, part, unit_type

SUPPLY = part("S", outputs=[{"from_v": 100, "to_v": 240, "output_w": 100}])
BOX = part("BOX", unit="T")


def conflict_of(ask: Ask, catalog: Catalog) -> Conflict:
    """The conflict of a demand, each of whose parts and wishes is a statement."""
    keys = [f"{name}[{i}]" for name in ("ports", "devices", "uplinks") for i, _ in enumerate(getattr(ask.stack, name))]
    keys += [name for name in Stack.model_fields if name not in ("name", "copies", "ports", "devices", "uplinks")]
    told = {key: Statement(key, key) for key in keys if "[" in key or getattr(ask.stack, key) is not None}
    answer = solve_stack(replace(ask, statements=told), catalog, RULES)
    (conflict,) = answer.refusal.conflicts
    assert conflict.smallest
    return conflict


def test_ports_that_are_short() -> None:
    """So many asked, so many on a unit, so many units in the largest stack."""
    rear = group("rear", 2, connector="SK", speeds_mbps=[80_000], roles=["stack"])
    catalog = make_catalog(
        families=[{"id": "F", "largest_stack": 3}],
        unit_types=[unit_type(group("a", 4), group("b", 3, speeds_mbps=[100]), rear)],
        boxes=[BOX],
        cables=[part("SK", kind="stacking", length_m=3, near="SK", far="SK", speeds_mbps=[80_000])],
    )
    ask = make_ask(devices=[{"kind": "desk", "count": 9}, {"kind": "screen", "count": 4}])
    (unit,), (family,) = catalog.parts.unit_types, catalog.parts.families
    each = sum(ports.count for ports in unit.ports if 1000 in ports.speeds_mbps and "network" in ports.roles)
    desks, screens = (said.count for said in ask.stack.devices)
    conflict = conflict_of(ask, catalog)
    assert conflict.statements == ("devices[0]", "devices[1]")
    assert conflict.text == (
        f"Asked: {desks} x desk (1 Gb/s) and {screens} x screen (1 Gb/s), together {desks + screens} ports. "
        f"One unit carries at most {each} ports of that ({unit.id}), and at most {family.largest_stack} units stack: "
        f"{each * family.largest_stack} ports at most."
    )
    assert "ports.once" in conflict.rules
    assert "stacking.size" in conflict.rules


def test_watts_that_are_short_when_a_supply_is_lost() -> None:
    """Two supplies carry it all; what counts is the one that is left, less what the unit draws itself."""
    catalog = make_catalog(
        families=[{"id": "F", "largest_stack": 1}],
        unit_types=[
            unit_type(
                group("a", 8, poe_class=4), base_draw_w="19.6", supply_bays={"count": 2, "takes": ["S"], "at_least": 1}
            )
        ],
        boxes=[BOX],
        supplies=[SUPPLY],
        poe_classes=[
            {"poe_class": 3, "port_w": "15.4", "device_w": "12.95", "port_min_v": 44, "loop_ohm": 20},
            {"poe_class": 4, "port_w": 30, "device_w": "25.5", "port_min_v": 50, "loop_ohm": "12.5"},
        ],
    )
    devices = [{"kind": "camera", "count": 3, "poe_class": 3}, {"kind": "lamp", "count": 2, "poe_class": 4}]
    ask = make_ask(devices=devices, on_supply_loss="carries_all", input_v=230)
    (unit,) = catalog.parts.unit_types
    (output,) = catalog.get("S", Supply).outputs
    left_w = output.output_w - unit.base_draw_w
    classes = catalog.poe_classes
    asked_w = sum(said.count * classes[said.poe_class or 0].port_w for said in ask.stack.devices)
    assert left_w < asked_w < left_w + output.output_w
    conflict = conflict_of(ask, catalog)
    assert conflict.statements == ("devices[0]", "devices[1]", "on_supply_loss")
    assert conflict.text == (
        f"Asked: 3 x camera (1 Gb/s) and 2 x lamp (1 Gb/s), together {asked_w:.1f} W. "
        f"One unit carries at most {left_w:.1f} W of that (T with 2 x S), and there is 1 unit at most: "
        f"{left_w:.1f} W at most."
    )
    assert "power.supply_loss" in conflict.rules


def test_an_optic_that_does_not_reach() -> None:
    """The only optic is named, and the rule that refuses it; a metre less and all is well."""
    catalog = make_catalog(
        families=[{"id": "F"}],
        unit_types=[unit_type(cage("up", 4))],
        boxes=[BOX],
        optics=[optic("SR", reaches=[{"fibre": "OM4", "max_m": 400}])],
        optics_matrix=[{"cage": "C-SFP+", "takes": ["SR"]}],
    )
    (reach,) = catalog.get("SR", Optic).reaches
    far = {"count": 2, "speed_mbps": 10_000, "over": "fibre", "fibre": "OM4", "length_m": reach.max_m + Decimal(1)}
    conflict = conflict_of(make_ask(uplinks=[far]), catalog)
    (rule,) = (rule for rule in RULES if rule.id == "modules.reach")
    assert conflict.statements == ("uplinks[0]",)
    assert "modules.reach" in conflict.rules
    assert conflict.text == (
        "Nothing in the catalog serves 2 x uplink (10 Gb/s). What comes nearest is SR in ports up of T, "
        f"refused by: {rule.sentence} (modules.reach)"
    )
    assert solve_stack(make_ask(uplinks=[{**far, "length_m": reach.max_m}]), catalog, RULES).status == "cheapest"


def test_growth_is_told_apart_from_what_was_asked() -> None:
    """Eight asked and half as many for growth are twelve, of which one unit without stacking ports has eight."""
    catalog = make_catalog(families=[{"id": "F"}], unit_types=[unit_type(group("a", 8))], boxes=[BOX])
    ask = make_ask(devices=[{"kind": "desk", "count": 8}], headroom_percent=50)
    assert conflict_of(ask, catalog).text.startswith(
        "Asked: 12 x desk (1 Gb/s; 8 and 4 for growth), together 12 ports."
    )


def test_what_is_spread_over_units_is_said_to_be_why_one_serves_few() -> None:
    """Three uplinks over three units: one of them on each, so two units of four ports serve two."""
    rear = group("rear", 2, connector="SK", speeds_mbps=[80_000], roles=["stack"])
    catalog = make_catalog(
        families=[{"id": "F", "largest_stack": 2}],
        unit_types=[unit_type(group("a", 4), rear)],
        boxes=[BOX],
        cables=[part("SK", kind="stacking", length_m=3, near="SK", far="SK", speeds_mbps=[80_000])],
    )
    ask = make_ask(
        ports=[{"count": 1}], uplinks=[{"count": 3, "speed_mbps": "1G", "over": "copper", "spread_over_units": 3}]
    )
    text = conflict_of(ask, catalog).text
    assert "1 of the 3 x uplink at most, since these go over 3 units" in text
