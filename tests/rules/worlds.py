"""Tiny catalogs, demands and builds for tests of one rule, with only the figures a test is about."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from typing import Any

from configurator.build import Bought, Build, BuiltUnit, PortUse, SplitPort
from configurator.catalog import ORDERABLE, Catalog, PriceList, PriceRow
from configurator.demand import AccessPorts, Devices, Stack, Uplinks
from configurator.parts import Parts
from configurator.rule import Rule
from configurator.setting import Ask, Setting

ORDER_DATE = date(2030, 3, 1)


def make_catalog(*, prices: dict[str, Any] | None = None, **parts: Any) -> Catalog:
    """A catalog of these parts; all cost 100.00, are active and take 10 days, unless `prices` says otherwise."""
    read = Parts.model_validate(parts)
    numbers = [part.id for name in ORDERABLE for part in getattr(read, name)]
    rows = {n: PriceRow(part=n, price_minor=100_00, status="active", lead_time_days=10) for n in numbers}
    listed = PriceList("EUR", 2, issued=date(2030, 1, 1), valid_until=date(2030, 12, 31), rows=rows)
    return Catalog(read, replace(listed, **(prices or {})))


def make_ask(**wishes: Any) -> Ask:
    """One stack as asked on the order date; wishes are the words of the demand file."""
    stack = Stack.model_validate({"name": "closet", **wishes})
    said = {name: value for name in Stack.model_fields if (value := getattr(stack, name)) is not None}
    setting = Setting(ORDER_DATE, **{f.name: said[f.name] for f in fields(Setting) if f.name in said})
    if stack.circuit is not None:
        amps, share, shared = stack.circuit.amps, stack.circuit.share_percent, stack.circuit.shared
        setting = replace(setting, circuit_amps=amps, circuit_share_percent=share, circuit_shared=shared)
    served: list[AccessPorts | Devices | Uplinks] = [*stack.ports, *stack.devices, *stack.uplinks]
    features = {feature for asked in served for feature in asked.features}
    setting = replace(setting, port_features=tuple(sorted(features)))
    own = ("topology", "two_unit_links", "outlets", *(f.name for f in fields(Ask) if f.name.startswith("headroom")))
    return Ask(stack, setting, **{name: said[name] for name in own if name in said})


def group(name: str, count: int, **said: Any) -> dict[str, Any]:
    """A port group: fixed RJ45 at 1 Gb/s unless said otherwise."""
    return {"id": name, "count": count, "connector": "RJ45", "speeds_mbps": [1000], **said}


def cage(name: str, count: int, **said: Any) -> dict[str, Any]:
    """A port group of SFP+ cages at 1 and 10 Gb/s."""
    return group(name, count, **{"connector": "SFP+", "cage": "C-SFP+", "speeds_mbps": [1000, 10_000], **said})


def unit_type(*ports: dict[str, Any], **said: Any) -> dict[str, Any]:
    """The unit type T with these port groups."""
    return {"id": "T", "description": "-", "family": "F", "base_draw_w": 50, "ports": ports, **said}


def part(number: str, **said: Any) -> dict[str, Any]:
    """A part of any kind."""
    return {"id": number, "description": "-", **said}


def optic(number: str, **said: Any) -> dict[str, Any]:
    """A 10GBASE-SR optic: 300 m over OM3, 400 m over OM4 (IEEE 802.3 clause 52)."""
    reaches = [{"fibre": "OM3", "max_m": 300}, {"fibre": "OM4", "max_m": 400}]
    own = {"form": "SFP+", "speeds_mbps": [10_000], "interface": "10GBASE-SR", "connector": "LC", "reaches": reaches}
    return part(number, **{**own, **said})


def copper_optic(number: str, **said: Any) -> dict[str, Any]:
    """A 1000BASE-T optic: 100 m (IEEE 802.3 clause 40)."""
    reaches = [{"fibre": "copper", "max_m": 100}]
    own = {"form": "SFP", "speeds_mbps": [1000], "interface": "1000BASE-T", "connector": "RJ45", "reaches": reaches}
    return part(number, **{**own, "fibres": 0, **said})


def twinax(number: str, length_m: float, **said: Any) -> dict[str, Any]:
    """A passive 10 Gb/s cable from SFP+ to SFP+."""
    own = {"kind": "passive twinax", "near": "SFP+", "far": "SFP+", "speeds_mbps": [10_000]}
    return part(number, **{**own, "length_m": str(length_m), **said})


def use(group: str, port: int, statement: str = "ports[0]", **said: Any) -> PortUse:
    """A port that serves a statement at 1 Gb/s."""
    return PortUse.model_validate({"group": group, "port": port, "statement": statement, "speed_mbps": 1000, **said})


def uplink(group: str, port: int, plug: str | None = None, **said: Any) -> PortUse:
    """A port that serves the first uplinks at 10 Gb/s."""
    return use(group, port, **{"statement": "uplinks[0]", "speed_mbps": 10_000, "plug": plug, **said})


def split(group: str, port: int, *parts: str) -> SplitPort:
    """A port that these parts split."""
    return SplitPort(group=group, port=port, parts=parts)


def unit(*uses: PortUse, **said: Any) -> BuiltUnit:
    """A unit of type T, in box BOX, in position 1 unless said otherwise."""
    return BuiltUnit.model_validate({"position": 1, "unit_type": "T", "box": "BOX", "uses": uses, **said})


def build(*units: BuiltUnit, **said: Any) -> Build:
    """A stack of these units."""
    return Build.model_validate({"stack": "closet", "units": units, **said})


def bought(**counts: int) -> tuple[Bought, ...]:
    """Lines to order, by part number."""
    return tuple(Bought(part=number, count=count) for number, count in counts.items())


def breaches(rule: Rule, build: Build, ask: Ask, catalog: Catalog) -> list[str]:
    """What the rule's check finds wrong, with the unit's position in front where it names one."""
    found = rule.check(build, ask, catalog)
    return [breach.text if breach.unit is None else f"unit {breach.unit}: {breach.text}" for breach in found]
