"""Unit types of generated catalogs and the boxes in which they are sold."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

from tests.oracles.draft import DIRECTIONS, Draft

MULTIRATE = (100, 1000, 2500, 5000)
PLAIN = (10, 100, 1000)


def add_unit_type(
    draft: Draft, rng: random.Random, name: str, shape: str, family: str, sizes: Mapping[str, tuple[int, ...]]
) -> None:
    """One unit type of a shape, its bays and slots, and two to four boxes."""
    ports, base_w, price = _ports(rng, shape)
    width = "N" if shape in ("plain", "fibre") else "P"
    taken = sizes[width] if rng.random() < 0.6 else sizes[width][:-1]
    supplies = tuple(f"{width}{w}-{letter}" for w in taken for letter, _ in DIRECTIONS)
    row: dict[str, Any] = dict(id=name, description=f"type {name}", family=family, base_draw_w=base_w)
    row["supply_bays"] = dict(count=2, takes=supplies, at_least=1, mixed=rng.random() < 0.15)
    if rng.random() < 0.3:
        row["fan_bays"] = dict(takes=("FT-F", "FT-B"), by_supplies=rng.choice(((2, 2), (1, 2))))
    if shape != "fibre" and rng.random() < 0.85:
        modules = rng.choice((("M4X10", "M2X25"), ("M4X10", "M8X10", "M2X25", "M2X40"), ("M8X10", "M2X40")))
        row["module_slots"] = [dict(id="1", takes=modules)]
    elif shape != "fibre":
        ports.append(_cages("up", 4, "SFP+", (1000, 10000)))
    if width == "P" and rng.random() < 0.2:
        row["poe_cap_w"] = rng.choice((740, 1000))
    if rng.random() < 0.15:
        row["largest_stack"] = 4
    if family == "FB":
        ports.append(_cages("front", 2, "QSFP+", (40000,), ("stack", "network", "split")))
    else:
        ports.append(dict(id="rear", count=2, connector="SK", speeds_mbps=(80000,), face="rear", roles=("stack",)))
    draft.add("unit_types", ports=ports, **row)
    _boxes(draft, rng, row, price)


def _ports(rng: random.Random, shape: str) -> tuple[list[dict[str, Any]], int, int]:
    """Front ports, base watts and price of the bare unit."""
    copper = {
        "access": (_copper("p", 24, 4, PLAIN),),
        "access big": (_copper("p", 48, 4, PLAIN),),
        "part multirate": (_copper("m", 12, 6, MULTIRATE), _copper("p", 36, 4, PLAIN)),
        "multirate": (_copper("m", 24, 8, MULTIRATE),),
        "multirate big": (_copper("m", 48, 8, MULTIRATE),),
        "mixed": (_copper("m", 16, 6, MULTIRATE), _copper("p", 32, 4, PLAIN)),
        "plain": (_copper("p", rng.choice((24, 48)), None, PLAIN),),
        "fibre": (_cages("f", 24, "SFP+", (1000, 10000)),),
    }[shape]
    many = sum(int(group["count"]) for group in copper)
    multirate = sum(int(group["count"]) for group in copper if group["speeds_mbps"] == MULTIRATE)
    base_w = 35 + many + multirate * 2 + rng.randrange(30)
    price = 90000 + 4000 * many + 11000 * multirate + rng.randrange(60000) + (250000 if shape == "fibre" else 0)
    return list(copper), base_w, price


def _copper(name: str, count: int, poe_class: int | None, speeds: tuple[int, ...]) -> dict[str, Any]:
    return dict(id=name, count=count, connector="RJ45", speeds_mbps=speeds, poe_class=poe_class)


def _cages(
    name: str, count: int, cage: str, speeds: tuple[int, ...], roles: tuple[str, ...] = ("network",)
) -> dict[str, Any]:
    return dict(id=name, count=count, connector=cage, cage=cage, speeds_mbps=speeds, roles=roles)


def _boxes(draft: Draft, rng: random.Random, row: Mapping[str, Any], price: int) -> None:
    """Bare, with one supply, and bundles at a discount; some hold a stacking cable."""
    name, supplies = str(row["id"]), tuple(row["supply_bays"]["takes"])
    forward = [s for s in supplies if s.endswith("-F")]
    cable = [] if row["family"] == "FB" else [dict(part="SC-0.5")]
    draft.add("boxes", price, id=f"{name}-BARE", unit=name)
    for label, count in (("ONE", 1), ("PAIR", 2)):
        if rng.random() < 0.25:
            continue
        supply = rng.choice(forward)
        contents: list[dict[str, Any]] = [dict(part=supply, count=count, movable=rng.random() < 0.2)]
        if "fan_bays" in row and rng.random() < 0.7:
            contents.append(dict(part="FT-F", count=row["fan_bays"]["by_supplies"][count - 1]))
        if "module_slots" in row and rng.random() < 0.3:
            contents.append(dict(part=row["module_slots"][0]["takes"][0]))
        contents += cable if rng.random() < 0.4 else []
        worth = sum(draft.prices[c["part"]] * int(c.get("count", 1)) for c in contents)
        draft.add("boxes", price + worth * rng.randrange(55, 98) // 100, id=f"{name}-{label}", unit=name,
                  contents=contents)  # fmt: skip
