"""Small worlds of ports that get in each other's way: blocks, shared innards, splits, roles that exclude each other."""

from __future__ import annotations

import random
from typing import Any

from configurator.demand import Devices, Stack, Uplinks
from configurator.setting import Ask
from tests.oracles.draft import Draft
from tests.oracles.random_worlds import World, make_ask

OPTICS = (("O10", "SFP", 10_000), ("O25", "SFP", 25_000), ("Q40", "Q", 40_000), ("Q100", "Q", 100_000))
SHARING = (("p", "u"), ("u", "q"), ("p", "q"))
LINKS: tuple[dict[str, Any], ...] = (
    *(dict(speed_mbps=mbps, over="fibre", fibre="OM4") for _, _, mbps in OPTICS),
    *(dict(speed_mbps=mbps, over="direct", far_form="SFP", length_m=2) for mbps in (10_000, 25_000)),
)


def port_world(seed: int) -> World:
    """One or two types of few ports, boxes with plugs in them, and uplinks of several speeds."""
    rng = random.Random(seed)
    draft = Draft()
    draft.add("families", id="F", largest_stack=3)
    draft.add("supplies", 20, id="S", outputs=[dict(from_v=100, to_v=240, output_w=rng.choice((60, 100)))])
    draft.add("cables", rng.randint(2, 9), id="SC", kind="stacking", length_m=1, near="SK", far="SK",
              speeds_mbps=(80_000,))  # fmt: skip
    draft.add("cables", rng.randint(5, 60), id="Y", kind="passive twinax", length_m=3, near="Q", far="SFP",
              ways=rng.choice((2, 4)), speeds_mbps=rng.choice(((10_000,), (10_000, 25_000))))  # fmt: skip
    for name, form, mbps in OPTICS:
        draft.add("optics", rng.randint(5, 40), id=name, form=form, speeds_mbps=(mbps,), interface=name,
                  connector="LC", draw_w=1, reaches=[dict(fibre="OM4", max_m=100)])  # fmt: skip
    draft.add("optics_matrix", cage="c", takes=["O10", "O25"])
    draft.add("optics_matrix", cage="q", takes=["Q40", "Q100", "Y"])
    for name in ("T0", "T1")[: rng.choice((1, 2))]:
        _unit_type(draft, rng, name)
    catalog = draft.catalog()
    return World(catalog, port_ask(rng))


def port_ask(rng: random.Random) -> Ask:
    """Cameras now and then, and uplinks of one to three speeds."""
    devices = [Devices(kind="camera", count=rng.randint(1, 4), poe_class=rng.choice((3, 4)))]
    links = []
    for chosen in rng.sample(LINKS, rng.choice((1, 2, 3))):
        count = rng.randint(1, 4)
        spread = rng.choice((1, 1, min(2, count)))
        links.append(Uplinks(count=count, spread_over_units=spread, **chosen))
    stack = Stack(name="ports", devices=tuple(devices) if rng.random() < 0.7 else (), uplinks=tuple(links))
    return make_ask(stack)


def _unit_type(draft: Draft, rng: random.Random, name: str) -> None:
    block, wide = rng.choice((1, 2)), rng.choice((1, 2, 2))
    row: dict[str, Any] = dict(id=name, description=name, family="F", base_draw_w=15)
    row["supply_bays"] = dict(count=2, takes=["S"])
    row["ports"] = [
        dict(id="p", count=rng.choice((1, 2, 3)), connector="RJ45", speeds_mbps=(1000,), poe_class=4),
        dict(id="u", count=rng.choice((1, 2)) * block, block=block, connector="SFP", cage="c",
             speeds_mbps=(10_000, 25_000)),
        dict(id="q", count=rng.choice((1, 2)) * wide, block=wide, connector="Q", cage="q",
             speeds_mbps=(40_000, 100_000), roles=("network", "split")),
        dict(id="rear", count=2, connector="SK", speeds_mbps=(80_000,), roles=("stack",)),
    ]  # fmt: skip
    if rng.random() < 0.5:
        together = rng.sample(SHARING, rng.choice((1, 2)))
        row["shared_ports"] = [dict(groups=groups, at_most=rng.randint(1, 3)) for groups in together]
    if rng.random() < 0.3:
        row["excludes"] = [(dict(group="q", role="split"), dict(group="u", role="network"))]
    if rng.random() < 0.3:
        row["largest_stack"] = rng.choice((1, 2))
    draft.add("unit_types", **row)
    price = rng.randint(50, 150)
    draft.add("boxes", price, id=f"{name}-A", unit=name)
    inside = [
        dict(part=part, count=rng.choice((1, 2)), movable=rng.random() < 0.5)
        for part in rng.sample(["S", "Y", "O10", "Q100", "SC"], rng.randint(1, 3))
    ]
    draft.add("boxes", price + rng.randint(0, 50), id=f"{name}-B", unit=name, contents=inside)
