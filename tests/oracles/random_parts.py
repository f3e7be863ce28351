"""Seeded random catalogs of 1, 8, 40 … unit types: invented, but shaped like real line-ups."""

from __future__ import annotations

import random
from collections.abc import Iterable
from decimal import Decimal

from configurator.catalog import Catalog
from tests.oracles.draft import DIRECTIONS, Draft
from tests.oracles.facts import PLUGS
from tests.oracles.random_units import add_unit_type

SHAPES = ("access", "access big", "part multirate", "multirate", "multirate big", "mixed", "plain", "fibre")
BOTTOM = ("multirate", "mixed", "part multirate", "multirate big")  # a line-up of one type is one of these


def random_catalog(rng: random.Random, types: int = 8) -> Catalog:
    """A line-up of so many unit types in one to three families, with all that goes with them."""
    draft = Draft()
    _accessories(draft, rng)
    sizes = _supplies(draft, rng)
    families = ("FA",) if types == 1 else ("FA", "FB") if types < 20 else ("FA", "FB", "FC")
    _families(draft, rng, families)
    for index in range(types):
        shape = rng.choice(BOTTOM) if types == 1 else SHAPES[index % len(SHAPES)]
        family = "FB" if shape in ("plain", "fibre") else families[-1] if (index // len(SHAPES)) % 2 else "FA"
        add_unit_type(draft, rng, f"T{index:02d}", shape, family, sizes)
    return draft.catalog()


def _families(draft: Draft, rng: random.Random, families: Iterable[str]) -> None:
    """FA and FC stack over rear ports with cables of their own, FB through its front cages."""
    for name in families:
        mixed = name == "FC" and rng.random() < 0.5
        draft.add(
            "families",
            id=name,
            description=f"family {name}",
            largest_stack=6 if name == "FB" else 8,
            stacks_with=("FA",) if mixed or (name == "FA" and rng.random() < 0.5) else (),
            longest_link_m=None if name == "FB" else "3",
            cables_a_link=1,
        )
    for length, price in (("0.5", 9000), ("1", 14000), ("3", 22000)):
        draft.add("cables", price, id=f"SC-{length}", kind="stacking", length_m=length, near="SK", far="SK",
                  speeds_mbps=(80000,))  # fmt: skip


def _accessories(draft: Draft, rng: random.Random) -> None:
    """Optics, cables, modules, cords and the matrix of what a cage takes."""
    for name, form, speed, interface, connector, fibre, reach, draw, price in (
        ("SR10", "SFP+", 10000, "10GBASE-SR", "LC", "OM4", 400, "1.0", 12000),
        ("LR10", "SFP+", 10000, "10GBASE-LR", "LC", "OS2", 10000, "1.2", 26000),
        ("T1", "SFP", 1000, "1000BASE-T", "RJ45", "copper", 100, "1.1", 6000),
        ("SR25", "SFP28", 25000, "25GBASE-SR", "LC", "OM4", 100, "1.0", 21000),
        ("LR25", "SFP28", 25000, "25GBASE-LR", "LC", "OS2", 10000, "1.5", 48000),
        ("SR40", "QSFP+", 40000, "40GBASE-SR4", "MPO-12", "OM4", 150, "1.5", 39000),
    ):
        draft.add("optics", price + rng.randrange(2000), id=name, form=form, speeds_mbps=(speed,), draw_w=draw,
                  interface=interface, connector=connector, fibres=0 if fibre == "copper" else 2,
                  reaches=[dict(fibre=fibre, max_m=reach)])  # fmt: skip
    for name, form, speed, length, draw, kind, price in (
        ("DA10-1", "SFP+", 10000, "1", "0", "passive twinax", 5000),
        ("DA10-3", "SFP+", 10000, "3", "0", "passive twinax", 7000),
        ("DA10-7", "SFP+", 10000, "7", "0.6", "active twinax", 15000),
        ("DA25-3", "SFP28", 25000, "3", "0", "passive twinax", 11000),
        ("DA40-1", "QSFP+", 40000, "1", "0", "passive twinax", 13000),
        ("DA40-3", "QSFP+", 40000, "3", "0", "passive twinax", 17000),
    ):
        draft.add("cables", price + rng.randrange(1500), id=name, kind=kind, length_m=length, near=form, far=form,
                  speeds_mbps=(speed,), draw_w=draw)  # fmt: skip
    draft.add("cables", 18000 + rng.randrange(3000), id="SPLIT-3", kind="passive twinax", length_m="3", near="QSFP+",
              far="SFP+", ways=4, speeds_mbps=(10000,))  # fmt: skip
    draft.add("fibre_cables", 15000 + rng.randrange(3000), id="FAN-10", fibre="OM4", length_m="10", near="MPO-12",
              far="LC", ways=4)  # fmt: skip
    draft.add("optics_matrix", cage="SFP+", takes=("SR10", "LR10", "T1", "DA10-1", "DA10-3", "DA10-7"))
    draft.add("optics_matrix", cage="SFP28", takes=("SR10", "LR10", "DA10-1", "DA10-3", "SR25", "LR25", "DA25-3"))
    draft.add("optics_matrix", cage="QSFP+", takes=("SR40", "SPLIT-3", "DA40-1", "DA40-3"))
    for name, count, cage, speeds, roles, draw, price in (
        ("M4X10", 4, "SFP+", (1000, 10000), ("network",), "5", 60000),
        ("M8X10", 8, "SFP+", (1000, 10000), ("network",), "10", 105000),
        ("M2X25", 2, "SFP28", (10000, 25000), ("network",), "9", 95000),
        ("M2X40", 2, "QSFP+", (40000,), ("network", "split"), "12", 110000),
    ):
        group = dict(id="up", count=count, connector=cage, cage=cage, speeds_mbps=speeds, roles=roles)
        draft.add("modules", price + rng.randrange(20000), id=name, draw_w=draw, ports=[group])
    for country, plug in PLUGS.items():
        for coupler, rating, price in (("C13", "10", 900), ("C19", "16", 1900)):
            draft.add("cords", price + rng.randrange(300), id=f"CORD-{country}-{coupler}", countries=(country,),
                      coupler=coupler, plug=plug, rating_a=rating, length_m=Decimal("2.5"))  # fmt: skip
    for letter, airflow in DIRECTIONS:
        draft.add("fan_trays", 15000 + rng.randrange(5000), id=f"FT-{letter}", airflow=airflow)


def _supplies(draft: Draft, rng: random.Random) -> dict[str, tuple[int, ...]]:
    """Supplies of two widths in several sizes, both directions; at low line they give less."""
    sizes = {"N": (250, 400), "P": (600, 750, 1100, 1600)}
    for width, watts in sizes.items():
        for w in watts:
            low = w * rng.choice((70, 80, 100)) // 100
            price = 15000 + 55 * w + rng.randrange(8000)
            for letter, airflow in DIRECTIONS:
                draft.add("supplies", price + rng.randrange(0, 3000, 500), id=f"{width}{w}-{letter}", airflow=airflow,
                          outputs=[dict(from_v=100, to_v=127, output_w=low), dict(from_v=200, to_v=240, output_w=w)],
                          inlet="C20" if w > 1100 else "C14")  # fmt: skip
    return sizes
