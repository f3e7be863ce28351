"""Small worlds for the tests of power, airflow and stacking: supplies, a powered unit, who rejects a build."""

from __future__ import annotations

from typing import Any

from configurator.build import Build, FittedSupply, PortUse
from configurator.catalog import Catalog
from configurator.setting import Ask
from configurator_rules import RULES
from tests.rules.worlds import group, make_ask, make_catalog, part, unit_type, use

# IEEE 802.3 clauses 33 and 145: what a port of a class gives, what reaches the device over 100 m
CLASSES = {
    1: {"poe_class": 1, "port_w": "4.0", "device_w": "3.84", "port_min_v": 44, "loop_ohm": 20},
    2: {"poe_class": 2, "port_w": "7.0", "device_w": "6.49", "port_min_v": 44, "loop_ohm": 20},
    3: {"poe_class": 3, "port_w": "15.4", "device_w": "12.95", "port_min_v": 44, "loop_ohm": 20},
    4: {"poe_class": 4, "port_w": "30", "device_w": "25.5", "port_min_v": 50, "loop_ohm": "12.5"},
    5: {"poe_class": 5, "port_w": "45", "device_w": "40", "port_min_v": 50, "loop_ohm": "6.25"},
    6: {"poe_class": 6, "port_w": "60", "device_w": "51", "port_min_v": 50, "loop_ohm": "6.25"},
    7: {"poe_class": 7, "port_w": "75", "device_w": "62", "port_min_v": 52, "loop_ohm": "6.25"},
    8: {"poe_class": 8, "port_w": "90", "device_w": "71.3", "port_min_v": 52, "loop_ohm": "6.25"},
}
ACCESS = group("access", 24, poe_class=8)
FAMILIES = ("power", "airflow", "stacking")


def found(build: Build, ask: Ask, catalog: Catalog) -> dict[str, list[str]]:
    """What every rule about power, airflow and stacking finds wrong: only a rule that rejects is listed."""
    out: dict[str, list[str]] = {}
    for rule in RULES:
        if rule.family in FAMILIES and rule.applies(catalog):
            for breach in rule.check(build, ask, catalog):
                text = breach.text if breach.unit is None else f"unit {breach.unit}: {breach.text}"
                out.setdefault(rule.id, []).append(text)
    return out


def supply(number: str, *outputs: tuple[int, int, int | str], **said: Any) -> dict[str, Any]:
    """A supply that gives so many watts from one input voltage to another."""
    rows = [{"from_v": low, "to_v": high, "output_w": str(output_w)} for low, high, output_w in outputs]
    return part(number, outputs=rows, **said)


def powered_type(base_draw_w: int | str, *takes: str, **said: Any) -> dict[str, Any]:
    """Unit type T with two bays and 24 powered ports."""
    own = {"base_draw_w": str(base_draw_w), "supply_bays": {"count": 2, "takes": takes}}
    return unit_type(*said.pop("ports", (ACCESS,)), **{**own, **said})


def world(of_type: dict[str, Any], *supplies: dict[str, Any], **parts: Any) -> Catalog:
    """A catalog of one unit type, its supplies and the PoE classes."""
    own = {"families": [{"id": "F"}], "poe_classes": list(CLASSES.values())}
    return make_catalog(unit_types=[of_type], supplies=supplies, **{**own, **parts})


def fitted(*numbers: str, feeds: str = "", cord: str | None = None) -> tuple[FittedSupply, ...]:
    """These supplies in bays 1, 2 …, on the feeds named by a letter each."""
    hangs = feeds.ljust(len(numbers))
    return tuple(
        FittedSupply.model_validate({"bay": bay, "supply": number, "cord": cord, "feed": feed.strip() or None})
        for bay, (number, feed) in enumerate(zip(numbers, hangs, strict=True), start=1)
    )


def phones(count: int, **said: Any) -> Ask:
    """A demand for so many devices of class 4, 30 W a port."""
    return make_ask(devices=[{"kind": "phone", "count": max(count, 1), "poe_class": 4}], **said)


def fed(count: int) -> tuple[PortUse, ...]:
    """So many powered ports for the first devices."""
    return tuple(use("access", port, "devices[0]", powered=True) for port in range(1, count + 1))
