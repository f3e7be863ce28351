"""A unit's supplies cover everything it draws and feeds."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import FittedModule
from tests.rules.power_world import ACCESS, CLASSES, fed, fitted, found, phones, powered_type, supply, world
from tests.rules.worlds import build, cage, group, make_ask, optic, part, split, twinax, unit, uplink, use

PS = supply("PS", (100, 240, 200))
RULE = "power.supplies_cover_load"


def test_a_supply_covers_the_unit_and_its_devices() -> None:
    """60 W of the unit and four times 30 W of PoE are 180 W, a supply gives 200 W."""
    one = unit(*fed(4), supplies=fitted("PS"))
    assert found(build(one), phones(4), world(powered_type(60, "PS"), PS)) == {}


def test_a_fifth_device_is_too_much() -> None:
    """60 W and five times 30 W are 210 W, a supply gives 200 W."""
    one = unit(*fed(5), supplies=fitted("PS"))
    text = "unit 1: supplies give 200.0 W, the unit draws 60.0 W itself and feeds 150.0 W of PoE: short by 10.0 W"
    assert found(build(one), phones(5), world(powered_type(60, "PS"), PS)) == {RULE: [text]}


def test_a_tenth_of_a_watt_is_too_much() -> None:
    """80.0 W and 120 W are all that a supply gives; 80.1 W and 120 W are not covered."""
    one = unit(*fed(4), supplies=fitted("PS"))
    assert found(build(one), phones(4), world(powered_type("80.0", "PS"), PS)) == {}
    texts = found(build(one), phones(4), world(powered_type("80.1", "PS"), PS))[RULE]
    assert texts == [
        "unit 1: supplies give 200.0 W, the unit draws 80.1 W itself and feeds 120.0 W of PoE: short by 0.1 W"
    ]


def test_watts_left_over_in_one_unit_power_nothing_in_another() -> None:
    """Two units have 400 W for 270 W, but the first needs 210 W of its own 200 W."""
    port = group("st", 2, connector="ST", roles=["stack"])
    catalog = world(
        powered_type(60, "PS", ports=(ACCESS, port)),
        PS,
        families=[{"id": "F", "largest_stack": 2, "topologies": ["chain"]}],
        cables=[part("C", kind="stacking", length_m=1, near="ST", far="ST", speeds_mbps=[1000])],
    )
    both = [
        unit(*fed(n), supplies=fitted("PS"), position=p, stack_group="st", stack_ports=(1, 2))
        for n, p in ((5, 1), (0, 2))
    ]
    link = {"from_unit": 1, "to_unit": 2, "way_m": "0.34445", "speed_mbps": 1000, "parts": ("C",)}
    stack = build(*both, topology="chain", links=(link,))
    assert [text[:24] for text in found(stack, phones(5), catalog)[RULE]] == ["unit 1: supplies give 20"]
    assert list(found(stack, phones(5), catalog)) == [RULE]


def test_a_device_that_is_not_powered_reserves_nothing() -> None:
    """Five devices of which four are powered at once draw 120 W."""
    one = unit(*fed(4), use("access", 5, "devices[0]"), supplies=fitted("PS"))
    assert found(build(one), phones(5), world(powered_type(60, "PS"), PS)) == {}


def test_a_port_that_could_feed_a_class_reserves_nothing() -> None:
    """A port asked to be capable of class 6 reserves 0 W, one powered at class 6 reserves 60 W."""
    catalog = world(powered_type(150, "PS"), PS)
    one = build(unit(use("access", 1, powered=True), supplies=fitted("PS")))
    assert found(one, make_ask(ports=[{"count": 1, "capable_of_class": 6}]), catalog) == {}
    texts = found(one, make_ask(ports=[{"count": 1, "powered_at_class": 6}]), catalog)[RULE]
    assert texts == [
        "unit 1: supplies give 200.0 W, the unit draws 150.0 W itself and feeds 60.0 W of PoE: short by 10.0 W"
    ]


def test_module_plugs_split_head_and_stacking_ports_draw_too() -> None:
    """150 W, a module of 15.5 W, an optic of 1.5 W, a split cable of 3 W, two stacking ports of 15 W: 200 W."""
    base = (ACCESS, cage("up", 2, roles=["network", "split"]), group("st", 4, roles=["stack"], stack_reserve_w=15))
    parts: dict[str, Any] = {
        "modules": [part("M", ports=[cage("m", 2)], draw_w="15.5")],
        "optics": [optic("SR", draw_w="1.5")],
        "cables": [twinax("SPLIT", 3, ways=4, draw_w="3.0")],
    }
    ways = [uplink("up", 1, "SPLIT", way=way) for way in (1, 2, 3, 4)]
    one = unit(
        *ways,
        uplink("m", 1, "SR", slot="S"),
        splits=(split("up", 1, "SPLIT"),),
        modules=(FittedModule(slot="S", module="M"),),
        stack_group="st",
        stack_ports=(1, 2),
        supplies=fitted("PS"),
    )
    ask = make_ask(uplinks=[{"count": 5, "speed_mbps": "10G"}])
    enough = found(build(one), ask, world(powered_type("150.0", "PS", ports=base), PS, **parts))
    assert RULE not in enough
    texts = found(build(one), ask, world(powered_type("150.1", "PS", ports=base), PS, **parts))[RULE]
    assert texts == [
        "unit 1: supplies give 200.0 W, the unit draws 200.1 W itself and feeds 0.0 W of PoE: short by 0.1 W"
    ]


def test_a_supply_counts_with_its_best_output() -> None:
    """260 W of a supply with 250 W at 120 V and 300 W at 230 V is short by derating, not here."""
    two = supply("PS", (100, 127, 250), (200, 240, 300))
    one = unit(supplies=fitted("PS"))
    assert list(found(build(one), make_ask(input_v=120), world(powered_type(260, "PS"), two))) == ["power.derating"]


def test_poe_by_a_table_does_not_count_here() -> None:
    """A type that feeds 150 W with this supply by its table needs the supply for its own 60 W only."""
    by_table = powered_type(60, "PS", poe_table=[{"supplies": ["PS"], "poe_w": 150}])
    one = unit(*fed(5), supplies=fitted("PS"))
    assert found(build(one), phones(5), world(by_table, PS)) == {}


def test_a_built_in_supply_covers_the_load_as_well() -> None:
    """A built-in supply of 200 W stands in bay 0; 201 W are too much for it."""
    bay = ({"bay": 0, "supply": "PS"},)
    one = build(unit(supplies=bay))
    fixed = {"supply_bays": None, "built_in_supply": "PS"}
    assert found(one, make_ask(), world(powered_type(200, **fixed), PS)) == {}
    assert list(found(one, make_ask(), world(powered_type(201, **fixed), PS))) == [RULE]


# IEEE 802.3 clauses 33 and 145, computed: p - (p / v)² * r reaches the device, v and r by class.
# 15.4 W at 44 V are 0.35 A, which lose 2.45 W in 20 Ω: 12.95 W.  Device watts below are cut, not rounded, to 1 mW.
LOSS = [
    (1, "3.834", "4.0"),
    (2, "6.493", "7.0"),
    (3, "12.950", "15.4"),
    (4, "25.500", "30.0"),
    (5, "39.937", "45.0"),
    (6, "51.000", "60.0"),
    (7, "61.997", "75.0"),
    (8, "71.277", "90.0"),
]


@pytest.mark.parametrize(("poe_class", "device_w", "port_w"), LOSS)
def test_watts_at_a_device_are_reserved_with_the_loss_of_100_m(poe_class: int, device_w: str, port_w: str) -> None:
    """What the formula brings to the device is what the class gives at the port, to the tenth of a watt."""
    ask = make_ask(devices=[{"kind": "camera", "count": 1, "device_w": device_w}])
    one = build(unit(use("access", 1, "devices[0]", powered=True), supplies=fitted("PS")))
    classes = [CLASSES[poe_class]]
    enough = supply("PS", (100, 240, port_w))
    assert found(one, ask, world(powered_type(0, "PS"), enough, poe_classes=classes)) == {}
    texts = found(one, ask, world(powered_type("0.1", "PS"), enough, poe_classes=classes))[RULE]
    assert texts == [
        f"unit 1: supplies give {port_w} W, the unit draws 0.1 W itself and feeds {port_w} W of PoE: short by 0.1 W"
    ]


@pytest.mark.parametrize(
    ("said", "port_w"),
    [
        # 27.4 W at 50 V are 0.548 A, which lose 1.877 W in 6.25 Ω; of 27.3 W only 25.437 W arrive
        ({"device_w": "25.5", "cable_m": 50}, "27.4"),
        ({"device_w": "25.5", "cable_m": 0}, "25.5"),
        # class 4 brings 25.5 W at most, class 5 has half the loop: 28 W - (28 / 50)² * 6.25 are 26.04 W
        ({"device_w": "26"}, "28.0"),
        ({"port_w": "26"}, "26.0"),
        ({"poe_class": 4}, "30.0"),
    ],
)
def test_a_shorter_cable_loses_less(said: dict[str, Any], port_w: str) -> None:
    """Half the cable has half the resistance; watts stated at the port lose nothing more."""
    ask = make_ask(devices=[{"kind": "camera", "count": 1, **said}])
    one = build(unit(use("access", 1, "devices[0]", powered=True), supplies=fitted("PS")))
    catalog = world(powered_type("0.1", "PS"), supply("PS", (100, 240, port_w)))
    assert found(one, ask, catalog) == {
        RULE: [
            f"unit 1: supplies give {port_w} W, the unit draws 0.1 W itself and feeds {port_w} W of PoE: short by 0.1 W"
        ]
    }
