"""Plain look-ups for checks: what the words of a build and of a demand stand for.

Every look-up answers None, or nothing, where there is nothing to find: a check may be handed
any build, nonsense included.  Only checks use this file; a rule's part of the model does not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import NamedTuple, TypeVar

from configurator.build import Bought, Build, BuiltUnit, Order, PortUse, SplitPort
from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.fields import Part
from configurator.parts import Cable, FibreCable, Module, Optic, PortGroup, UnitType
from configurator.setting import Ask, OrderAsk

P = TypeVar("P", bound=Part)
Said = AccessPorts | Devices | Uplinks


# --- parts and ports ------------------------------------------------------------------------------


def part_of(part: str | None, kind: type[P], catalog: Catalog) -> P | None:
    """The part with this number, if it is of this kind."""
    found = catalog.by_id.get(part) if part is not None else None
    return found if isinstance(found, kind) else None


def type_of(unit: BuiltUnit, catalog: Catalog) -> UnitType | None:
    """The unit's type."""
    return catalog.unit_types.get(unit.unit_type)


def group_of(unit: BuiltUnit, slot: str | None, group: str, catalog: Catalog) -> PortGroup | None:
    """The port group with this id, of the chassis (no slot) or of the module in the slot."""
    if slot is None:
        unit_type = type_of(unit, catalog)
        groups = unit_type.ports if unit_type else ()
    else:
        modules = (part_of(m.module, Module, catalog) for m in unit.modules if m.slot == slot)
        groups = tuple(g for module in modules if module for g in module.ports)
    return next((g for g in groups if g.id == group), None)


def places(unit: BuiltUnit) -> list[PortUse | SplitPort]:
    """Everything that names a port of the unit."""
    return [*unit.splits, *unit.uses]


def all_groups(catalog: Catalog) -> list[PortGroup]:
    """The port groups of every unit type and module, for what a rule's data may be about."""
    of_units = [group for unit_type in catalog.parts.unit_types for group in unit_type.ports]
    return of_units + [group for module in catalog.parts.modules for group in module.ports]


def split_of(unit: BuiltUnit, use: PortUse) -> SplitPort | None:
    """The split port that a use stands on."""
    place = (use.slot, use.group, use.port)
    return next((s for s in unit.splits if (s.slot, s.group, s.port) == place), None)


def ways_of(split: SplitPort, catalog: Catalog) -> int | None:
    """Ports that a split port becomes, by its cable or its split fibre lead."""
    for part in split.parts:
        found = catalog.by_id.get(part)
        if isinstance(found, Cable | FibreCable):
            return found.ways
    return None


def head_of(split: SplitPort, catalog: Catalog) -> Optic | Cable | None:
    """What is plugged into a split port."""
    found = catalog.by_id.get(split.parts[0]) if split.parts else None
    return found if isinstance(found, Optic | Cable) else None


def plug_of(use: PortUse, catalog: Catalog) -> Optic | Cable | None:
    """What is plugged into a port that isn't split."""
    found = catalog.by_id.get(use.plug) if use.plug is not None else None
    return found if isinstance(found, Optic | Cable) else None


def carries(optic: Optic, fibre: str | None, way_m: Decimal) -> bool:
    """Whether an optic carries a way over this fibre; over every fibre it knows when none is said."""
    fibres = {row.fibre for row in optic.reaches} if fibre is None else {fibre}
    return all(any(r.fibre == f and r.min_m <= way_m <= r.max_m for r in optic.reaches) for f in fibres)


# --- statements -----------------------------------------------------------------------------------


def statements(ask: Ask) -> dict[str, Said]:
    """What asks for ports, by key: `ports[0]`, `devices[1]`, `uplinks[0]` …"""
    out: dict[str, Said] = {}
    out.update({f"ports[{i}]": p for i, p in enumerate(ask.stack.ports)})
    out.update({f"devices[{i}]": d for i, d in enumerate(ask.stack.devices)})
    out.update({f"uplinks[{i}]": u for i, u in enumerate(ask.stack.uplinks)})
    return out


def said(ask: Ask, statement: str) -> Said | None:
    """The statement with this key."""
    return statements(ask).get(statement)


def uses(build: Build) -> Iterator[tuple[BuiltUnit, PortUse]]:
    """Every port use of the stack with its unit."""
    return ((unit, use) for unit in build.units for use in unit.uses)


def grown(count: int, percent: int, more: int) -> int:
    """A count with its growth: so many percent, rounded up, or so many more, whichever is more."""
    return count + max(-(-count * percent // 100), more)


def class_asked(said: Said) -> int | None:
    """The highest PoE class a statement names, whether watts are reserved for it or not.

    Class 0 is fed like class 3 (IEEE 802.3 clause 33: 15.4 W).
    """
    if isinstance(said, AccessPorts):
        named = [c for c in (said.powered_at_class, said.capable_of_class) if c is not None]
        return max(named, key=lambda c: c or 3, default=None)
    return said.poe_class if isinstance(said, Devices) else None


def draws_power(said: Said) -> bool:
    """Whether watts are reserved for the statement's ports."""
    if isinstance(said, AccessPorts):
        return said.powered_at_class is not None
    return isinstance(said, Devices) and any(x is not None for x in (said.poe_class, said.device_w, said.port_w))


def port_watts(said: Said, catalog: Catalog) -> Decimal | None:
    """Watts that a powered port of this statement reserves; None when the class table has no answer.

    The power lost in the cable is I²R: a port gives p, and p - (p / v)² * r reaches the device
    (IEEE 802.3, clauses 33 and 145; v is the class's lowest port voltage, r the loop of 100 m).
    """
    if isinstance(said, Devices) and said.port_w is not None:
        return said.port_w
    if isinstance(said, Devices) and said.device_w is not None:
        return _watts_for_device(said.device_w, said.cable_m, catalog)
    asked = said.powered_at_class if isinstance(said, AccessPorts) else class_asked(said)
    row = catalog.poe_classes.get(asked) if asked is not None else None
    return row.port_w if row else None


def _watts_for_device(device_w: Decimal, cable_m: Decimal, catalog: Catalog) -> Decimal | None:
    """The fewest watts at the port, in tenths, of the smallest class of which enough reaches the device."""
    for row in sorted(catalog.poe_classes.values(), key=lambda row: (row.port_w, row.poe_class)):
        ohm = row.loop_ohm * cable_m / 100
        for tenths in range(int(device_w * 10), int(row.port_w * 10) + 1):
            at_port_w = Decimal(tenths) / 10
            # multiplied out by v², so that nothing is rounded
            if at_port_w * row.port_min_v**2 - at_port_w**2 * ohm >= device_w * row.port_min_v**2:
                return at_port_w
    return None


# --- orders ---------------------------------------------------------------------------------------


def ordered(build: Build) -> dict[str, int]:
    """Every part number to order, with its count, in the order of first mention."""
    out: dict[str, int] = {}
    for line in (*(b for unit in build.units for b in unit.bought), *build.bought):
        out[line.part] = out.get(line.part, 0) + line.count
    return out


def on_order(order: Order) -> dict[str, int]:
    """Every part number on an order, with its quantity."""
    out: dict[str, int] = {}
    for line in order.ordered:
        out[line.part] = out.get(line.part, 0) + line.count
    return out


def come_of(bought: Iterable[Bought], catalog: Catalog) -> Counter[str]:
    """What arrives when these lines are ordered: their parts, and what lies in the parts' boxes."""
    out: Counter[str] = Counter()
    for line in bought:
        part = catalog.by_id.get(line.part)
        count = max(line.count, 0)
        out[line.part] += count
        for content in part.contents if part is not None else ():
            out[content.part] += content.count * count
    return out


# --- words ----------------------------------------------------------------------------------------


def title(statement: str, said: Said) -> str:
    """A statement's key and its name: `devices[0] (camera)`."""
    name = said.kind if isinstance(said, Devices) else said.name
    return f"{statement} ({name})" if name else statement


def link_name(use: PortUse, said: Said) -> str:
    """A port and what it serves: `port 3 of access, devices[0] (camera)`."""
    return f"{port_name(use)}, {title(use.statement, said)}"


def port_name(place: PortUse | SplitPort) -> str:
    """A port's place in words: `port 3 of access` or `port 1 of up in slot S`."""
    slot = f" in slot {place.slot}" if place.slot is not None else ""
    return f"port {place.port} of {place.group}{slot}"


def rate(mbps: int) -> str:
    """A speed in words: `100 Mb/s`, `2.5 Gb/s`."""
    return f"{mbps} Mb/s" if mbps < 1000 else f"{plain(Decimal(mbps) / 1000)} Gb/s"


def rates(several: Iterable[int]) -> str:
    """Several speeds in words."""
    return ", ".join(rate(mbps) for mbps in sorted(several))


def plain(number: Decimal) -> str:
    """A decimal without needless zeros."""
    return f"{number.normalize():f}"


class Closet(NamedTuple):
    """A closet that stacks share: their builds, copy by copy, each with what is asked of it."""

    name: str
    stacks: tuple[tuple[Build, Ask], ...]

    @property
    def ask(self) -> Ask:
        """What is asked of the closet, which each of its stacks says alike."""
        return self.stacks[0][1]

    @property
    def build(self) -> Build:
        """All units as if they were of one stack, for what doesn't ask whom they serve."""
        return Build(stack=self.name, units=tuple(unit for build, _ in self.stacks for unit in build.units))


def closets(order: Order, asked: OrderAsk) -> Iterator[Closet]:
    """Closets in which more than one stack stands, all copies of a stack that names one."""
    found: dict[str, list[tuple[Build, Ask]]] = {}
    for one in order.stacks:
        ask = next((ask for ask in asked.asks if ask.stack.name == one.build.stack), None)
        if ask is not None and ask.stack.closet is not None:
            found.setdefault(ask.stack.closet, []).extend([(one.build, ask)] * one.copies)
    yield from (Closet(name, tuple(stacks)) for name, stacks in found.items() if len(stacks) > 1)
