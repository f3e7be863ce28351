"""Seeded random demands on generated catalogs: plain ones, and ones on which pooled watts deceive.

Everything here stays within what `blocks` covers; see there.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices, Stack, Uplinks
from configurator.parts import PortGroup, UnitType
from configurator.setting import Ask, Setting
from tests.oracles.draft import ORDERED
from tests.oracles.random_parts import random_catalog

TIGHT_WATTS = ("71.0", "58.9", "51.7", "44.3", "38.3", "29.9", "23.1", "17.9", "13.7")  # share no large divisor
VOLTS = {"DE": 230, "US": 120}


@dataclass(frozen=True)
class World:
    """A catalog and a demand on it."""

    catalog: Catalog
    ask: Ask


def make_ask(stack: Stack, **wishes: Any) -> Ask:
    """An ask with plain defaults; `wishes` are fields of the setting or of the ask."""
    setting: dict[str, Any] = dict(order_date=ORDERED, country="DE", input_v=230)
    rest: dict[str, Any] = {}
    for name, value in wishes.items():
        (setting if name in Setting.__dataclass_fields__ else rest)[name] = value
    if rest.get("outlets") is not None:
        setting["outlet_plugs"] = tuple(outlets.plug for outlets in rest["outlets"])
    return Ask(stack=stack, setting=Setting(**setting), **rest)


def random_world(seed: int, types: int = 8) -> World:
    """A catalog and a demand of six kinds from one seed."""
    rng = random.Random(seed)
    catalog = random_catalog(rng, types)
    return World(catalog, random_ask(rng, catalog))


def random_ask(rng: random.Random, catalog: Catalog, most: int = 60) -> Ask:
    """Up to six kinds of device, 0 to `most` of each, uplinks, and wishes."""
    devices = [d for d in _devices(rng, most) if d and some_port_serves(catalog, d)]
    ports = [AccessPorts(count=rng.randint(1, most), capable_of_class=4)] if rng.random() < 0.2 else []
    if not devices and not ports:
        devices = [Devices(kind="desk", count=rng.randint(1, most))]
    stack = Stack(
        name="closet",
        ports=tuple(ports),
        devices=tuple(devices),
        uplinks=_uplinks(rng),
        units_at_most=rng.choice((None, None, None, 6)),
        units_at_least=rng.choice((None, None, None, 2)),
        topology=(topology := rng.choice((None, None, "ring", "chain"))),
    )
    country = rng.choice(("DE", "DE", "US"))
    return make_ask(
        stack,
        country=country,
        input_v=VOLTS[country],
        topology=topology,
        airflow=rng.choice((None, None, "front-to-back", "back-to-front")),
        on_supply_loss=rng.choice(("stops", "stops", "sheds_poe", "carries_all")),
        on_feed_loss=rng.choice(("stops", "stops", "stops", "carries_all")),
        headroom_percent=rng.choice((0, 0, 10, 20)),
        headroom_draws=rng.random() < 0.7,
    )


def _devices(rng: random.Random, most: int) -> list[Devices | None]:
    """One draw of each of six kinds; none where its count comes out as zero."""
    half, third = max(1, most // 2), max(1, most // 3)
    draws: tuple[tuple[str, int, dict[str, Any]], ...] = (
        ("desk", rng.randint(0, most), {}),
        ("phone", rng.randint(0, most), dict(port_w=rng.choice(("4.0", "6.4", "7.0")))),
        ("camera", rng.randint(0, most), dict(poe_class=3, powered_percent=rng.choice((100, 100, 80)))),
        ("radio", rng.randint(0, half), dict(poe_class=4, speed_mbps=rng.choice((1000, 1000, 2500)))),
        ("lamp", rng.randint(0, half), dict(device_w=rng.choice(("31.5", "48.0")), cable_m=rng.choice((30, 100)))),
        ("screen", rng.randint(0, third), dict(port_w="71.0", speed_mbps=rng.choice((1000, 5000)))),
    )
    return [Devices(kind=kind, count=count, **more) if count else None for kind, count, more in draws]


def _uplinks(rng: random.Random) -> tuple[Uplinks, ...]:
    """None, or one to two statements of uplinks."""
    choices: tuple[dict[str, Any], ...] = (
        dict(speed_mbps=10000, over="fibre", fibre="OM4", length_m=60),
        dict(speed_mbps=10000, over="fibre", fibre="OS2", length_m=900, ends="both"),
        dict(speed_mbps=10000, over="direct", far_form="SFP+", length_m=rng.choice(("0.8", "2.5", "6"))),
        dict(speed_mbps=25000, over="fibre", fibre="OM4", length_m=40, ends="both"),
        dict(speed_mbps=10000, over="any", fibre="OM4", far_form="SFP+", length_m=rng.choice(("2.5", "30"))),
        dict(speed_mbps=40000, over="fibre", fibre="OM4", length_m=90),
    )
    out = []
    for chosen in rng.sample(choices, rng.choice((0, 1, 1, 1, 2))):
        count = rng.choice((1, 2, 2, 4))
        out.append(Uplinks(count=count, spread_over_units=rng.choice((1, min(2, count))), **chosen))
    return tuple(out)


def some_port_serves(catalog: Catalog, device: Devices) -> bool:
    """Whether a copper port of the catalog has the speed and the class, as far as is plain to see."""
    watts = device.port_w or device.device_w or (
        catalog.poe_classes[device.poe_class].port_w if device.poe_class is not None else Decimal(0)
    )  # fmt: skip
    return any(
        device.speed_mbps in group.speeds_mbps and (not watts or _port_w(catalog, group) >= watts)
        for unit in catalog.parts.unit_types
        for group in unit.ports
        if group.connector == "RJ45"
    )


def _port_w(catalog: Catalog, group: PortGroup) -> Decimal:
    return Decimal(0) if group.poe_class is None else catalog.poe_classes[group.poe_class].port_w


def tight_watts_world(rng: random.Random, types: int = 8) -> World:
    """A demand that the pooled watts of some like units just cover, though whole units may not.

    Several odd wattages together: one alone is counted exactly by every unit's own limit.
    """
    catalog = random_catalog(rng, types)
    feeding = [unit for unit in catalog.parts.unit_types if any(g.poe_class for g in unit.ports)]
    unit = rng.choice(feeding)
    units = rng.randint(2, 4)
    left_dw, ports = _left_dw(rng, catalog, unit), sum(g.count for g in unit.ports if g.poe_class)
    best = max(_port_w(catalog, group) for group in unit.ports)
    watts = rng.sample([w for w in TIGHT_WATTS if Decimal(w) <= best], rng.randint(2, 3))
    counts = _fill(rng, [int(Decimal(w) * 10) for w in watts], units * left_dw, units * ports)
    devices = tuple(
        Devices(kind=f"of {w} W", count=count, port_w=Decimal(w))
        for w, count in zip(watts, counts, strict=True)
        if count
    )
    most = units if rng.random() < 0.5 else None
    return World(catalog, make_ask(Stack(name="closet", devices=devices, units_at_most=most)))


def _left_dw(rng: random.Random, catalog: Catalog, unit: UnitType) -> int:
    """Tenths of a watt for devices in a unit with one of its supplies, or two."""
    assert unit.supply_bays is not None  # generated units have bays
    supplies = [s for s in catalog.parts.supplies if s.id in unit.supply_bays.takes]
    outputs = [int(max(o.output_w for o in s.outputs) * 10) for s in supplies]
    left = [k * out - int(unit.base_draw_w * 10) for out in outputs for k in (1, 2)]
    return rng.choice([dw for dw in left if dw > 1500] or [max(left)])


def _fill(rng: random.Random, weights: Sequence[int], room: int, places: int) -> list[int]:
    """Random counts that come as close to the room as they can, and never past it."""
    best, spare = [1] + [0] * (len(weights) - 1), room
    for _ in range(300):
        counts, left, free = [0] * len(weights), room, places
        order = list(range(len(weights)))
        rng.shuffle(order)
        for index in order:
            most = min(free, left // weights[index])
            take = most if index == order[-1] else rng.randint(0, most)
            counts[index] = take
            left, free = left - take * weights[index], free - take
        if left < spare and sum(1 for c in counts if c) > 1:
            best, spare = counts, left
    return best
