"""Little catalogs as files, and every build of a demand by arithmetic of its own.

Nothing here knows the engine or the rules: a shop is written out as YAML and CSV and read like any other,
and its builds are counted from the same figures in plain Python.  One family of units with copper ports,
supplies in one or two bays, a slot for a module with two cages, one optic, boxes with and without contents,
one stacking cable that is always long enough.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import combinations_with_replacement
from pathlib import Path

import yaml

CLASS_W = {1: Decimal(4), 2: Decimal(7), 3: Decimal("15.4"), 4: Decimal(30)}  # IEEE 802.3, clause 33, at the port
CAGES = 2  # of a module
ISSUED, VALID_UNTIL = "2026-11-02", "2027-03-31"


@dataclass(frozen=True)
class Type:
    """A chassis."""

    name: str
    ports: int
    poe_class: int | None
    base_w: int
    bays: int
    takes: tuple[str, ...]
    rack_units: int
    slot: bool  # for a module


@dataclass(frozen=True)
class BoxOf:
    """A part number for a chassis, with supplies and cables in the box."""

    name: str
    type: str
    supply: str | None
    supplies: int
    cables: int
    module: bool  # for this unit
    optics: int  # for any
    price: int  # whole euro

    @property
    def holds_more(self) -> bool:
        """Whether more than the unit lies in it."""
        return bool(self.supplies or self.cables or self.module or self.optics)


@dataclass(frozen=True)
class Shop:
    """What is sold."""

    types: dict[str, Type]
    boxes: tuple[BoxOf, ...]
    supplies: dict[str, tuple[int, int]]  # output in watts, price
    cable: int  # price
    module: tuple[int, int]  # watts that it draws, price
    optic: int  # price
    largest: int  # units of a stack

    def write(self, folder: Path) -> None:
        """The shop as a catalog's folder."""
        parts = {
            "families": [{"id": "brook", "largest_stack": self.largest}],
            "unit_types": [self._type(one) for one in self.types.values()],
            "boxes": [self._box(one) for one in self.boxes],
            "supplies": [
                {"id": name, "description": name, "outputs": [{"from_v": 100, "to_v": 240, "output_w": output}]}
                for name, (output, _) in self.supplies.items()
            ],
            "cables": [
                {"id": "link", "description": "link", "kind": "stacking", "length_m": 2, "near": "RST", "far": "RST",
                 "speeds_mbps": ["40G"]}
            ],
            "modules": [
                {"id": "card", "description": "card", "draw_w": self.module[0], "ports": [
                    {"id": "u", "count": CAGES, "connector": "SFP+", "cage": "cage", "speeds_mbps": ["10G"]}]}
            ],
            "optics": [
                {"id": "light", "description": "light", "form": "SFP+", "speeds_mbps": ["10G"], "connector": "LC",
                 "interface": "10GBASE-SR", "reaches": [{"fibre": "OM4", "max_m": 400}]}
            ],
            "optics_matrix": [{"cage": "cage", "takes": ["light"]}],
        }  # fmt: skip
        (folder / "parts").mkdir(parents=True, exist_ok=True)
        (folder / "parts" / "parts.yaml").write_text(yaml.safe_dump(parts), encoding="utf-8")
        prices = {one.name: one.price for one in self.boxes} | {
            "link": self.cable,
            "card": self.module[1],
            "light": self.optic,
        }
        prices |= {name: price for name, (_, price) in self.supplies.items()}
        lines = ["part,price,currency,status,lead_time_days,issued,valid_until"]
        lines += [f"{name},{price}.00,EUR,active,10,{ISSUED},{VALID_UNTIL}" for name, price in prices.items()]
        (folder / "prices.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")

    @staticmethod
    def _type(one: Type) -> dict[str, object]:
        ports: dict[str, object] = {"id": "c", "count": one.ports, "connector": "RJ45", "speeds_mbps": ["1G"]}
        if one.poe_class is not None:
            ports["poe_class"] = one.poe_class
        rear = {"id": "rear", "count": 2, "connector": "RST", "face": "rear", "speeds_mbps": ["40G"],
                "roles": ["stack"]}  # fmt: skip
        return {
            "id": one.name, "description": one.name, "family": "brook", "ports": [ports, rear],
            "base_draw_w": one.base_w, "supply_bays": {"count": one.bays, "takes": list(one.takes)},
            "rack_units": one.rack_units,
            "module_slots": [{"id": "s", "takes": ["card"]}] if one.slot else [],
        }  # fmt: skip

    @staticmethod
    def _box(one: BoxOf) -> dict[str, object]:
        contents = []
        if one.supplies:
            contents.append({"part": one.supply, "count": one.supplies})
        if one.cables:
            contents.append({"part": "link", "count": one.cables})
        if one.module:
            contents.append({"part": "card", "count": 1})
        if one.optics:
            contents.append({"part": "light", "count": one.optics})
        return {"id": one.name, "description": one.name, "unit": one.type} | (
            {"contents": contents} if contents else {}
        )


@dataclass(frozen=True)
class Need:
    """A demand for one stack."""

    desks: int = 0
    powered: int = 0
    poe_class: int = 4
    uplinks: int = 0
    survives: bool = False  # on the loss of one supply everything goes on
    at_most: int | None = None

    def written(self) -> str:
        """As a demand file."""
        stack: dict[str, object] = {"name": "Attic"}
        if self.desks:
            stack["ports"] = [{"count": self.desks, "name": "desks"}]
        if self.powered:
            stack["devices"] = [{"kind": "camera", "count": self.powered, "poe_class": self.poe_class}]
        if self.uplinks:
            stack["uplinks"] = [
                {"count": self.uplinks, "speed_mbps": "10G", "over": "fibre", "fibre": "OM4", "length_m": 50}
            ]
        if self.survives:
            stack["on_supply_loss"] = "carries_all"
        if self.at_most is not None:
            stack["units_at_most"] = self.at_most
        return yaml.safe_dump({"stacks": [stack]})

    @property
    def things(self) -> int:
        """How many things have to be served."""
        return self.desks + self.powered + self.uplinks


@dataclass(frozen=True)
class Fitted:
    """One unit: its box and what is in its bays."""

    type: Type
    box: BoxOf
    supply: str
    count: int
    module: bool

    def own_w(self, shop: Shop) -> int:
        """Watts of the unit and its module."""
        return self.type.base_w + self.module * shop.module[0]

    def carries(self, shop: Shop, need: Need) -> int:
        """Powered devices that it can feed."""
        if (self.type.poe_class or 0) < need.poe_class:
            return 0
        left_w = self.supplied_w(shop, need) - self.own_w(shop)
        return min(self.type.ports, int(left_w // CLASS_W[need.poe_class]))

    def supplied_w(self, shop: Shop, need: Need) -> int:
        """Watts that count."""
        return shop.supplies[self.supply][0] * (self.count - (1 if need.survives else 0))

    def works(self, shop: Shop, need: Need) -> bool:
        """Whether it runs at all."""
        return self.supplied_w(shop, need) >= self.own_w(shop)

    def loose(self, shop: Shop) -> int:
        """Price of the supplies and the module that don't lie in its box."""
        there = self.box.supplies if self.box.supply == self.supply else 0
        card = shop.module[1] if self.module and not self.box.module else 0
        return card + shop.supplies[self.supply][1] * max(0, self.count - there)


@dataclass(frozen=True)
class Made:
    """A whole stack."""

    units: tuple[Fitted, ...]
    price: int
    shop: Shop = field(repr=False, compare=False)
    need: Need = field(repr=False, compare=False)

    @property
    def substance(self) -> tuple[tuple[str, int], ...]:
        """How many of each type, of each supply in bays, of modules in slots."""
        found = Counter(f"unit {one.type.name}" for one in self.units)
        for one in self.units:
            found[one.supply] += one.count
            found["card"] += one.module
        found += Counter()  # without those of which there are none
        return tuple(sorted(found.items()))

    @property
    def spare_ports(self) -> int:
        """Copper ports and cages that nothing uses."""
        return sum(one.type.ports + CAGES * one.module for one in self.units) - self.need.things

    @property
    def rack_units(self) -> int:
        """Height of all units."""
        return sum(one.type.rack_units for one in self.units)


def links(units: int) -> int:
    """Cables of a ring: two between two units."""
    return 0 if units == 1 else units


def builds(shop: Shop, need: Need) -> Iterator[Made]:
    """Every build of no more units than there is something to serve."""
    each = [
        one
        for box in shop.boxes
        for supply in shop.types[box.type].takes
        for count in range(1, shop.types[box.type].bays + 1)
        for module in ((False, True) if shop.types[box.type].slot else (False,))
        if (one := Fitted(shop.types[box.type], box, supply, count, module)).works(shop, need)
    ]
    largest = min(shop.largest, need.at_most or shop.largest, need.things)
    for size in range(1, largest + 1):
        for units in combinations_with_replacement(each, size):
            ports = sum(one.type.ports for one in units)
            fed = sum(one.carries(shop, need) for one in units)
            cages = sum(CAGES * one.module for one in units)
            if ports < need.desks + need.powered or fed < need.powered or cages < need.uplinks:
                continue
            cables = max(0, links(size) - sum(one.box.cables for one in units))
            optics = max(0, need.uplinks - sum(one.box.optics for one in units))
            price = sum(one.box.price + one.loose(shop) for one in units) + cables * shop.cable + optics * shop.optic
            yield Made(units, price, shop, need)


def shop(rng: random.Random) -> Shop:
    """A random one."""
    supplies = {f"supply.{w}": (w, rng.randint(4, 40)) for w in rng.sample((60, 120, 250, 400), 2)}
    module, optic = (rng.randint(0, 20), rng.randint(10, 60)), rng.randint(5, 30)
    types, boxes = {}, []
    for name in ("otter", "heron")[: rng.randint(1, 2)]:
        takes = tuple(sorted(rng.sample(sorted(supplies), rng.randint(1, 2))))
        poe = rng.choice((None, 3, 4, 4, 4))
        made = Type(
            name, rng.randint(4, 8), poe, rng.randint(10, 50), rng.randint(1, 2), takes, rng.randint(1, 2),
            slot=rng.random() < 0.6,
        )  # fmt: skip
        types[name] = made
        base = rng.randint(50, 200)
        boxes.append(BoxOf(f"{name}.alone", name, None, 0, 0, module=False, optics=0, price=base))
        for number in range(rng.randint(0, 2)):
            held = rng.choice(takes)
            count, cables = rng.randint(0, made.bays), rng.randint(0, 1)
            card, optics = made.slot and rng.random() < 0.4, rng.choice((0, 0, 1, 2)) if made.slot else 0
            extra = supplies[held][1] * count + 10 * cables + card * module[1] + optics * optic
            boxes.append(
                BoxOf(
                    f"{name}.set{number}", name, held if count else None, count, cables, module=card, optics=optics,
                    price=base + max(0, extra + rng.randint(-15, 15)),
                )
            )  # fmt: skip
    return Shop(types, tuple(boxes), supplies, rng.randint(1, 30), module, optic, rng.choice((1, 2, 3, 3)))


def need(rng: random.Random) -> Need:
    """A random one that asks for something."""
    desks, powered = rng.randint(0, 10), rng.randint(0, 6)
    uplinks = rng.choice((0, 0, 1, 2, 3))
    return Need(
        desks=desks or (0 if powered or uplinks else 1),
        powered=powered,
        poe_class=rng.choice((3, 4)),
        uplinks=uplinks,
        survives=rng.random() < 0.25,
        at_most=rng.choice((None, None, None, 1, 2)),
    )
