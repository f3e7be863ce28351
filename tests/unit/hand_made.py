"""A catalog of one unit type, an order for it, and a build made by hand with figures that are easy to follow."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from configurator.build import Build
from configurator.catalog import Catalog, PriceList, PriceRow
from configurator.demand import Demand, Stack
from configurator.parts import Parts
from configurator.reading import Asked, Assumption
from configurator.setting import Ask, Setting, Statement
from configurator.solved import Reason, Solved

DAY = date(2031, 5, 17)
PRICES = {
    "alder.24p.bare": 1000_00,
    "alder.24p.kit": 1300_00,
    "alder.supply": 250_00,
    "alder.tray": 40_00,
    "alder.module": 300_00,
    "alder.join": 75_00,
    "alder.rear": 30_00,
    "alder.split": 120_00,
    "alder.optic": 90_00,
    "alder.lead": 8_00,
    "alder.cord": 5_00,
    "alder.ears": 12_00,
    "alder.right": 60_00,
}


def catalog(prices: Mapping[str, int] = PRICES, **more: Any) -> Catalog:
    """One unit type with a bare box and a kit, and everything that goes into it."""
    ports = [
        {"id": "c", "count": 24, "connector": "RJ45", "speeds_mbps": ["1G"], "poe_class": 4},
        {"id": "up", "count": 2, "connector": "SFP+", "cage": "sfp", "speeds_mbps": ["10G"]},
        {
            "id": "q",
            "count": 1,
            "connector": "QSFP+",
            "cage": "q",
            "speeds_mbps": ["40G"],
            "roles": ["network", "split"],
        },
        {"id": "rear", "count": 2, "connector": "R", "speeds_mbps": ["40G"], "roles": ["stack"], "stack_reserve_w": 2},
    ]
    unit = {
        "id": "alder.24p",
        "description": "24 ports",
        "family": "alder",
        "ports": ports,
        "base_draw_w": 40,
        "supply_bays": {"count": 2, "takes": ["alder.supply"]},
        "weight_kg": "4.5",
    }
    outputs = [{"from_v": 100, "to_v": 199, "output_w": 300}, {"from_v": 200, "to_v": 240, "output_w": 400}]
    supply = {
        "id": "alder.supply",
        "description": "Supply",
        "outputs": outputs,
        "efficiency": "0.9",
        "power_factor": "0.95",
        "inlet": "C14",
        "weight_kg": 1,
    }
    optic = {
        "id": "alder.optic",
        "description": "=Optic, short reach",
        "form": "SFP+",
        "speeds_mbps": ["10G"],
        "interface": "10GBASE-SR",
        "connector": "LC",
        "reaches": [{"fibre": "OM4", "max_m": 400}],
        "draw_w": 1,
        "laser_class": "1",
    }
    cable = {"kind": "stacking", "length_m": "0.5", "near": "R", "far": "R", "speeds_mbps": ["40G"]}
    split = {"kind": "passive twinax", "length_m": 3, "near": "QSFP+", "far": "SFP+", "speeds_mbps": ["10G"]}
    data = {
        "maker": "Invented Works",
        "families": [{"id": "alder", "largest_stack": 4}],
        "unit_types": [unit],
        "boxes": [
            _part("alder.24p.bare", unit="alder.24p", contents=[{"part": "alder.ears"}]),
            _part(
                "alder.24p.kit",
                unit="alder.24p",
                contents=[{"part": "alder.supply"}, {"part": "alder.ears", "count": 2}],
            ),
        ],
        "supplies": [supply],
        "fan_trays": [_part("alder.tray", airflow="front-to-back")],
        "modules": [_part("alder.module", draw_w=5)],
        "stack_adapters": [_part("alder.join", unit_types=["alder.24p"])],
        "optics": [optic],
        "cables": [_part("alder.rear", **cable), _part("alder.split", **split, ways=4, draw_w="0.1")],
        "fibre_cables": [_part("alder.lead", fibre="OM4", length_m=2, near="LC", far="LC")],
        "cords": [_part("alder.cord", countries=["NL"], coupler="C13", plug="CEE 7/7", rating_a=10, length_m=2)],
        "rack_kits": [_part("alder.ears", posts=2)],
        "licences": [_part("alder.right", scope="unit")],
        "poe_classes": [
            # IEEE 802.3 clause 33: watts at the port and at the device, volts at the port, ohms of 100 m.
            {"poe_class": 2, "port_w": 7, "device_w": "6.49", "port_min_v": 44, "loop_ohm": 20},
            {"poe_class": 3, "port_w": "15.4", "device_w": "12.95", "port_min_v": 44, "loop_ohm": 20},
            {"poe_class": 4, "port_w": 30, "device_w": "25.5", "port_min_v": 50, "loop_ohm": "12.5"},
        ],
    }
    rows = {
        number: PriceRow(part=number, price_minor=price, status="active", lead_time_days=10)
        for number, price in prices.items()
    }
    listed = PriceList("EUR", 2, date(2031, 5, 1), date(2031, 6, 30), rows, "prices.csv")
    return Catalog(Parts.model_validate({**data, **more}), listed, "catalog")


def _part(number: str, **facts: Any) -> dict[str, Any]:
    return {"id": number, "description": f"Part {number}", **facts}


def ask(name: str = "Library", copies: int = 1, input_v: int | None = 230, **wishes: Any) -> Ask:
    """Ten telephones, four cameras, an uplink over fibre and two split ones."""
    asked = {
        "devices": [
            {"kind": "telephone", "count": 10, "poe_class": 2, "ref": "5.1"},
            {"kind": "camera", "count": 4, "device_w": 11, "cable_m": 60},
        ],
        "uplinks": [
            {"count": 1, "speed_mbps": "10G", "over": "fibre", "fibre": "OM4", "ends": "both", "ref": "5.2"},
            {"name": "server", "count": 2, "speed_mbps": "10G", "over": "direct", "far_form": "SFP+"},
        ],
    }
    statements = [
        Statement("devices[0]", "devices: 10 telephone", "demand.yaml:7", "5.1"),
        Statement("airflow", "airflow: front-to-back", assumed=True),
    ]
    return Ask(
        Stack.model_validate({"name": name, "copies": copies, **asked, **wishes}),
        Setting(DAY, input_v=input_v, country="NL", currency="EUR"),
        statements={one.key: one for one in statements},
    )


def asked(*asks: Ask) -> Asked:
    """An order of these stacks."""
    demand = Demand(customer="Brackenhythe College", stacks=tuple(one.stack for one in asks))
    assumed = Assumption(tuple(one.stack.name for one in asks), "airflow", "front-to-back", "airflow: front-to-back")
    return Asked(demand, asks, (assumed,))


def build(name: str = "Library") -> Build:
    """Two units in a ring: telephones on the first, cameras and a split port on the second."""
    phones = [
        {"group": "c", "port": n, "statement": "devices[0]", "speed_mbps": 1000, "powered": True} for n in range(1, 11)
    ]
    cameras = [
        {"group": "c", "port": n, "statement": "devices[1]", "speed_mbps": 1000, "powered": True} for n in (1, 2, 3, 5)
    ]
    uplink = {"group": "up", "port": 2, "statement": "uplinks[0]", "speed_mbps": 10000, "plug": "alder.optic"}
    ways = [{"group": "q", "port": 1, "way": n, "statement": "uplinks[1]", "speed_mbps": 10000} for n in (1, 2)]
    rear = {"stack_group": "rear", "stack_ports": [1, 2], "unit_type": "alder.24p"}
    supplies = [{"bay": n, "supply": "alder.supply", "cord": "alder.cord", "feed": "AB"[n - 1]} for n in (1, 2)]
    units = [
        {
            "position": 1,
            "box": "alder.24p.kit",
            "supplies": supplies,
            "uses": [*phones, uplink],
            "bought": _bought({"alder.24p.kit": 1, "alder.supply": 1, "alder.cord": 2}),
            **rear,
        },
        {
            "position": 2,
            "box": "alder.24p.bare",
            "supplies": supplies[:1],
            "splits": [{"group": "q", "port": 1, "parts": ["alder.split"]}],
            "uses": [*cameras, *ways],
            "bought": _bought({"alder.24p.bare": 1, "alder.supply": 1, "alder.cord": 1}),
            **rear,
        },
    ]
    link = {"from_unit": 1, "to_unit": 2, "way_m": "0.34445", "speed_mbps": 40000, "parts": ["alder.rear"]}
    return Build.model_validate(
        {
            "stack": name,
            "units": units,
            "topology": "ring",
            "links": [link, link],
            "far_ends": [{"statement": "uplinks[0]", "part": "alder.optic", "count": 1}],
            "bought": _bought({"alder.optic": 2, "alder.rear": 2, "alder.split": 1}),
        }
    )


def _bought(counts: Mapping[str, int]) -> list[dict[str, Any]]:
    return [{"part": part, "count": count} for part, count in counts.items()]


TOTAL_MINOR = 3175_00
"""1300 + 1000 + 2 x 250 + 2 x 90 + 2 x 30 + 120 + 3 x 5."""


def solved(name: str = "Library") -> Solved:
    """The build as an engine would hand it on."""
    why = Reason("power.supplies_cover_load", "Two supplies cover the load.", "devices[0]")
    return Solved("cheapest", TOTAL_MINOR, TOTAL_MINOR, build(name), {"alder.supply": (why,)})
