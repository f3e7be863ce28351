"""Worlds small enough to try every build of: one or two unit types, few ports, at most three units."""

from __future__ import annotations

import random
from decimal import Decimal
from typing import Any

from configurator.catalog import Catalog
from configurator.demand import Devices, Outlets, Stack, Uplinks
from configurator.setting import Ask
from tests.oracles.draft import Draft
from tests.oracles.facts import PLUGS
from tests.oracles.random_worlds import World, make_ask, some_port_serves

MOST_DEVICES = 5  # more take long
FRONT, BACK = "front-to-back", "back-to-front"


def tiny_world(seed: int) -> World:
    """A world from a seed; each feature is there in some worlds and absent in others."""
    rng = random.Random(seed)
    draft = Draft()
    cords = rng.random() < 0.4
    supplies = _supplies(draft, rng, cords)
    trays = [draft.add("fan_trays", rng.randint(5, 40), id="FT", airflow=FRONT)] if rng.random() < 0.25 else []
    modules = _plugs(draft, rng) if rng.random() < 0.5 else []
    if cords:
        draft.add("cords", rng.randint(3, 9), id="CORD-1", countries=("DE",), coupler="C13", plug=PLUGS["DE"],
                  rating_a=10, length_m=2)  # fmt: skip
        draft.add("cords", rng.randint(3, 9), id="CORD-2", countries=("DE",), coupler="C13", plug="IEC 60309",
                  rating_a=10, length_m=3)  # fmt: skip
    _stacking(draft, rng)
    for index in range(rng.choice((1, 2))):
        _unit_type(draft, rng, f"T{index}", supplies, trays, modules)
    if rng.random() < 0.3:
        _kit(draft, rng, [*supplies, "SC-1"])
    return World(catalog := draft.catalog(), tiny_ask(rng, catalog))


def _supplies(draft: Draft, rng: random.Random, cords: bool) -> list[str]:
    """One or two supplies, some with a cord in the box."""
    names = []
    for index in range(rng.choice((1, 2))):
        watts = rng.choice((70, 90, 130))
        outputs = [dict(from_v=200, to_v=240, output_w=watts), dict(from_v=100, to_v=127, output_w=watts - 10)]
        name = draft.add("supplies", rng.randint(20, 90), id=f"S{index}", outputs=outputs, inlet="C14",
                         contents=[dict(part="CORD-1")] if cords and rng.random() < 0.3 else [],
                         airflow=rng.choice((FRONT, FRONT, BACK)))  # fmt: skip
        names.append(name)
    return names


def _plugs(draft: Draft, rng: random.Random) -> list[str]:
    """Optics and cables for cages, and a module with some."""
    draft.add("optics", rng.randint(10, 40), id="O1", form="SFP+", speeds_mbps=(10000,), interface="10GBASE-SR",
              connector="LC", draw_w=1, reaches=[dict(fibre="OM4", max_m=400)])  # fmt: skip
    draft.add("cables", rng.randint(5, 30), id="D3", kind="passive twinax", length_m=3, near="SFP+", far="SFP+",
              speeds_mbps=(10000,))  # fmt: skip
    takes = ["O1", "D3"]
    if rng.random() < 0.5:
        draft.add("cables", rng.randint(15, 50), id="Y2", kind="passive twinax", length_m=3, near="SFP+", far="SFP+",
                  ways=2, speeds_mbps=(10000,))  # fmt: skip
        takes.append("Y2")
    draft.add("optics_matrix", cage="SFP+", takes=takes)
    group = dict(id="up", count=rng.choice((1, 2)), connector="SFP+", cage="SFP+", speeds_mbps=(10000, 20000),
                 roles=("network", "split"))  # fmt: skip
    return [draft.add("modules", rng.randint(20, 80), id="M", draw_w=5, ports=[group])]


def _stacking(draft: Draft, rng: random.Random) -> None:
    topologies = rng.choice((("ring", "chain"), ("ring",), ("chain",)))
    draft.add("families", id="F", largest_stack=rng.choice((2, 3, 3, 3)), topologies=topologies,
              two_unit_links=rng.choice(((1, 2), (1,))))  # fmt: skip
    for length, price in (("0.35", rng.randint(4, 12)), ("1", rng.randint(4, 16))):
        draft.add("cables", price, id=f"SC-{length}", kind="stacking", length_m=length, near="SK", far="SK",
                  speeds_mbps=(80000,))  # fmt: skip
    if rng.random() < 0.2:
        draft.add("stack_adapters", rng.randint(5, 15), id="SA", unit_types=("T0",))


def _unit_type(
    draft: Draft, rng: random.Random, name: str, supplies: list[str], trays: list[str], modules: list[str]
) -> None:
    ports: list[dict[str, Any]] = [
        dict(id="p", count=rng.choice((2, 3, 4)), connector="RJ45", speeds_mbps=(100, 1000), poe_class=4)
    ]
    if rng.random() < 0.5:
        ports[0]["count"] = 2
        ports.append(dict(id="m", count=rng.choice((1, 2)), connector="RJ45", speeds_mbps=(1000, 2500), poe_class=6))
    ports.append(dict(id="rear", count=2, connector="SK", speeds_mbps=(80000,), face="rear", roles=("stack",)))
    row: dict[str, Any] = dict(id=name, description=name, family="F", base_draw_w=rng.choice((15, 22)), ports=ports)
    row["supply_bays"] = dict(count=2, takes=supplies, mixed=rng.random() < 0.3)
    if trays and rng.random() < 0.7:
        row["fan_bays"] = dict(takes=trays, by_supplies=rng.choice(((1,), (1, 2))))
    if modules and rng.random() < 0.8:
        row["module_slots"] = [dict(id="1", takes=modules)]
    if rng.random() < 0.15:
        row["poe_cap_w"] = rng.choice((30, 45))
    if rng.random() < 0.15:
        pair, one = [supplies[0]] * 2, [supplies[0]]
        row["poe_table"] = [dict(supplies=one, poe_w=30), dict(supplies=pair, poe_w=62)]
    draft.add("unit_types", **row)
    price = rng.randint(100, 250)
    draft.add("boxes", price, id=f"{name}-A", unit=name)
    if rng.random() < 0.8:
        offers = [dict(part=rng.choice(supplies), count=rng.choice((1, 2)), movable=rng.random() < 0.5)]
        offers += [dict(part=tray, movable=rng.random() < 0.5) for tray in trays if rng.random() < 0.5]
        offers += [dict(part=module) for module in modules if rng.random() < 0.3]
        offers += [dict(part="SC-1")] if rng.random() < 0.5 else []
        draft.add("boxes", price + rng.randint(10, 120), id=f"{name}-B", unit=name, contents=offers)


def _kit(draft: Draft, rng: random.Random, parts: list[str]) -> None:
    movable = rng.random() < 0.5
    inside = [
        dict(part=part, count=rng.choice((1, 2)), movable=movable) for part in rng.sample(parts, min(2, len(parts)))
    ]
    draft.add("kits", rng.randint(10, 90), id="KIT", contents=inside)


def tiny_ask(rng: random.Random, catalog: Catalog) -> Ask:
    """Small demands, with wishes now and then."""
    choices: list[dict[str, Any]] = [
        dict(kind="desk", count=rng.randint(1, 4)),
        dict(kind="old", count=rng.randint(1, 2), speed_mbps=100),
        dict(kind="camera", count=rng.randint(1, 4), poe_class=3),
        dict(kind="lamp", count=rng.randint(1, 3), port_w=rng.choice(("21.0", "27.5"))),
        dict(kind="radio", count=rng.randint(1, 2), device_w=Decimal(40), speed_mbps=2500),
        dict(kind="phone", count=rng.randint(2, 4), port_w="7.0", powered_percent=50),
    ]
    choices = [chosen for chosen in choices if some_port_serves(catalog, Devices.model_validate(chosen))]
    picked = rng.sample(choices, rng.choice((1, 2, 2, 3)))
    while sum(chosen["count"] for chosen in picked) > MOST_DEVICES:
        picked.pop()
    devices = tuple(Devices.model_validate(chosen) for chosen in picked)
    links: tuple[Uplinks, ...] = ()
    if catalog.parts.modules and rng.random() < 0.8:
        count = rng.choice((1, 2, 2))
        over = rng.choice(
            (
                dict(over="fibre", fibre="OM4", ends=rng.choice(("near", "both"))),
                dict(over="direct", far_form="SFP+", length_m=2),
                dict(over="any", fibre="OM4", far_form="SFP+", length_m=3),
            )
        )
        spread = rng.choice((1, 1, count))
        links = (Uplinks.model_validate(dict(count=count, speed_mbps=10000, spread_over_units=spread, **over)),)
    stack = Stack(
        name="tiny",
        devices=devices,
        uplinks=links,
        units_at_most=rng.choice((None, None, 2)),
        units_at_least=rng.choice((None, None, None, 2)),
        rack_positions=rng.choice((None, None, None, (1, 3, 4), (5, 1, 2))),
    )
    topology = rng.choice((None, None, None, None, *catalog.parts.families[0].topologies))
    free = {PLUGS["DE"]: rng.randint(2, 4), "IEC 60309": rng.randint(0, 3)}
    outlets = tuple(Outlets(plug=plug, count=count) for plug, count in free.items())
    return make_ask(
        stack.model_copy(update=dict(topology=topology)),
        topology=topology,
        airflow=rng.choice((None, None, None, None, FRONT)),
        on_supply_loss=rng.choice(("stops",) * 5 + ("sheds_poe", "carries_all")),
        on_feed_loss=rng.choice(("stops",) * 8 + ("sheds_poe", "carries_all")),
        headroom_percent=rng.choice((0, 0, 0, 25)),
        headroom_draws=rng.random() < 0.6,
        outlets=outlets if catalog.parts.cords and rng.random() < 0.3 else None,
    )
