"""What an oracle wants served, and which ports and plugs serve it, read from the rules' sentences.

Independent of the engine and of the rules' code: only the catalog's and the demand's words are used.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.fields import Part
from configurator.parts import Cable, FibreCable, Optic, PortGroup
from configurator.setting import Ask

Said = AccessPorts | Devices | Uplinks


@dataclass(frozen=True)
class Want:
    """So many alike ports of one statement; `reserve_dw` is the PoE that each reserves."""

    statement: str
    said: Said
    count: int
    reserve_dw: int


@dataclass(frozen=True)
class Head:
    """What splits a port: a split cable, or an optic with a split fibre lead."""

    parts: tuple[str, ...]
    ways: int
    draw_dw: int


def wants_of(ask: Ask, catalog: Catalog) -> tuple[Want, ...]:
    """Every statement's ports with head-room, the powered ones apart."""
    out = []
    for name in ("ports", "devices", "uplinks"):
        for index, said in enumerate(getattr(ask.stack, name)):
            key = f"{name}[{index}]"
            if isinstance(said, Uplinks):
                out.append(Want(key, said, said.count, 0))
                continue
            total = ceil(Fraction(said.count * (100 + ask.headroom_percent), 100))
            drawing = total if ask.headroom_draws else said.count
            watts = at_port_w(said, catalog)
            powered = 0 if watts is None else ceil(Fraction(drawing * said.powered_percent, 100))
            if watts is not None and powered:
                out.append(Want(key, said, powered, ceil(watts * 10)))
            if total > powered:
                out.append(Want(key, said, total - powered, 0))
    return tuple(out)


def at_port_w(said: AccessPorts | Devices, catalog: Catalog) -> Decimal | None:
    """Watts that a powered port of the statement reserves; none where it reserves nothing.

    Watts at the device become watts at the port by I²R in the cable: p - (p / v)² r reaches it.
    """
    if isinstance(said, AccessPorts):
        return None if said.powered_at_class is None else catalog.poe_classes[said.powered_at_class].port_w
    if said.port_w is not None:
        return said.port_w
    if said.device_w is None:
        return None if said.poe_class is None else catalog.poe_classes[said.poe_class].port_w
    for row in sorted(catalog.poe_classes.values(), key=lambda row: row.port_w):
        ohm = Fraction(row.loop_ohm) * Fraction(said.cable_m) / 100
        for tenths in range(ceil(said.device_w * 10), int(row.port_w * 10) + 1):
            port = Fraction(tenths, 10)
            if port - (port / row.port_min_v) ** 2 * ohm >= Fraction(said.device_w):
                return Decimal(tenths) / 10
    return Decimal(10_000)  # more than any class gives


def feeds(group: PortGroup, said: Said, catalog: Catalog) -> bool:
    """Whether a fixed copper port feeds what the statement names, powered today or not."""
    if isinstance(said, Uplinks):
        return True
    asked = {said.poe_class} if isinstance(said, Devices) else {said.capable_of_class, said.powered_at_class}
    classes = [_level(c) for c in asked if c is not None]
    stated = isinstance(said, Devices) and (said.port_w is not None or said.device_w is not None)
    if not classes and not stated:
        return True
    if group.poe_class is None or any(_level(group.poe_class) < c for c in classes):
        return False
    watts = at_port_w(said, catalog) if stated else None
    return watts is None or catalog.poe_classes[group.poe_class].port_w >= watts


def _level(poe_class: int) -> int:
    """Class 0 gets what class 3 gets (IEEE 802.3 clause 33)."""
    return poe_class or 3


def wants_power(said: Said) -> bool:
    """Whether the statement names a class or watts, so that nothing plugged can serve it."""
    if isinstance(said, AccessPorts):
        return said.capable_of_class is not None or said.powered_at_class is not None
    return isinstance(said, Devices) and any(x is not None for x in (said.poe_class, said.device_w, said.port_w))


def plugs_for(group: PortGroup, said: Said, catalog: Catalog) -> Iterator[Optic | Cable | None]:
    """What may stand between a port of the group and one of the statement; none: the copper cable itself."""
    if "network" not in group.roles or said.speed_mbps not in group.speeds_mbps:
        return
    if group.cage is None:
        if group.connector == "RJ45" and is_copper(said) and feeds(group, said, catalog):
            yield None
        return
    for name in sorted(catalog.matrix.get(group.cage, ())):
        plug = catalog.by_id[name]
        if isinstance(plug, Optic | Cable) and plug_serves(plug, said, catalog) and within_limit(group, plug.draw_w):
            yield plug


def is_copper(said: Said) -> bool:
    """Whether a plain copper port can serve the statement."""
    return isinstance(said, Devices) or said.over == "copper"


def within_limit(group: PortGroup, draw_w: Decimal) -> bool:
    """Whether a port may hold something that draws so much."""
    return group.optic_limit_w is None or draw_w <= group.optic_limit_w


def plug_serves(plug: Optic | Cable, said: Said, catalog: Catalog) -> bool:
    """Whether an optic or a direct cable serves the statement at its speed."""
    if said.speed_mbps not in plug.speeds_mbps or wants_power(said):
        return False
    if isinstance(plug, Cable):
        return isinstance(said, Uplinks) and plug.ways == 1 and cable_reaches(plug, said, catalog)
    if isinstance(said, Devices):
        return plug.connector == "RJ45" and reaches(plug, "copper", said.cable_m)
    if isinstance(said, AccessPorts):
        return (plug.connector == "RJ45") == (said.over == "copper") and reaches(plug, said.over, said.length_m)
    return _optic_uplinks(plug, said, catalog)


def _optic_uplinks(optic: Optic, said: Uplinks, catalog: Catalog) -> bool:
    if said.over == "direct" or (said.over == "any" and said.fibre is None):
        return False
    copper = optic.connector == "RJ45"
    if copper != (said.over == "copper") or not reaches(optic, "copper" if copper else said.fibre, said.length_m):
        return False
    other = optic if optic.pairs_with is None else catalog.get(optic.pairs_with, Optic)
    if said.far_interface is not None and other.interface != said.far_interface:
        return False
    if said.far_connector is not None and optic.connector != said.far_connector:
        return False
    return (optic.fibres == 1) == said.single_fibre


def reaches(optic: Optic, fibre: str | None, way_m: Decimal) -> bool:
    """Whether an optic carries the way over a fibre; over all that it knows where none is stated."""
    rows = [row for row in optic.reaches if fibre in (None, row.fibre)]
    fits = [row.min_m <= way_m <= row.max_m for row in rows]
    return any(fits) if fibre is not None else bool(fits) and all(fits)


def cable_reaches(cable: Cable, said: Uplinks, catalog: Catalog) -> bool:
    """Whether a direct cable, split or not, fits the far end and the way."""
    below = catalog.parts.practice.passive_twinax_below_m
    passive_ok = cable.kind != "passive twinax" or below is None or said.length_m < below
    fits = said.far_form == cable.far and cable.length_m >= said.length_m
    return said.over in ("direct", "any") and fits and passive_ok


def heads_for(group: PortGroup, said: Said, catalog: Catalog) -> Iterator[Head]:
    """What may split a port of the group so that its ways serve the statement."""
    if not isinstance(said, Uplinks) or not said.may_split or "split" not in group.roles or group.cage is None:
        return
    for name in sorted(catalog.matrix.get(group.cage, ())):
        part = catalog.by_id[name]
        if isinstance(part, Cable) and part.ways > 1:
            speeds = said.speed_mbps in part.speeds_mbps and said.speed_mbps * part.ways in group.speeds_mbps
            if speeds and cable_reaches(part, said, catalog) and within_limit(group, part.draw_w):
                yield Head((part.id,), part.ways, ceil(part.draw_w * 10))
        elif isinstance(part, Optic) and within_limit(group, part.draw_w):
            yield from _fans(part, group, said, catalog)


def _fans(optic: Optic, group: PortGroup, said: Uplinks, catalog: Catalog) -> Iterator[Head]:
    if said.over not in ("fibre", "any") or said.fibre is None or said.ends == "both":
        return
    if not reaches(optic, said.fibre, said.length_m) or (optic.fibres == 1) != said.single_fibre:
        return
    for fan in catalog.parts.fibre_cables:
        line_mbps = said.speed_mbps * fan.ways
        if fan.ways < 2 or line_mbps not in optic.speeds_mbps or line_mbps not in group.speeds_mbps:
            continue
        if fan.near != optic.connector or fan.fibre != said.fibre:
            continue
        if said.far_connector in (None, fan.far):
            yield Head((optic.id, fan.id), fan.ways, ceil(optic.draw_w * 10))


def far_end_of(plug: Optic | Cable | FibreCable | Part | None, said: Said) -> str | None:
    """The optic to order for the other end of one uplink."""
    if not isinstance(said, Uplinks) or said.ends != "both" or not isinstance(plug, Optic):
        return None
    return plug.pairs_with or plug.id
