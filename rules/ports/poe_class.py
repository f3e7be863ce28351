"""A port feeds at least the class of its device.

Why it matters: an access point on a port of a lower class starts with its radios off, or not at all.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices
from configurator.kinds import Kind, Plug
from configurator.parts import PoeClassRow, PortGroup
from configurator.rule import Breach, Rule, Source
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def port_serves(group: PortGroup, kind: Kind, catalog: Catalog) -> bool:
    """The port's class is the device's or higher, or gives the watts stated."""
    said = kind.said
    if not isinstance(said, AccessPorts | Devices) or not _wants_poe(said):
        return True
    row = catalog.poe_classes.get(group.poe_class) if group.poe_class is not None else None
    if isinstance(said, Devices) and said.device_w is not None:
        return row is not None and _reaches(row, said.device_w, said.cable_m)
    if isinstance(said, Devices) and said.port_w is not None:
        return row is not None and row.port_w >= said.port_w
    asked = said.poe_class if isinstance(said, Devices) else said.powered_at_class
    wanted = [asked] if isinstance(said, Devices) else [asked, said.capable_of_class]
    # class 0 is fed like class 3 (IEEE 802.3 clause 33: 15.4 W)
    return group.poe_class is not None and all(c is None or (group.poe_class or 3) >= (c or 3) for c in wanted)


def _wants_poe(said: AccessPorts | Devices) -> bool:
    if isinstance(said, AccessPorts):
        return said.powered_at_class is not None or said.capable_of_class is not None
    return said.poe_class is not None or said.device_w is not None or said.port_w is not None


def _reaches(row: PoeClassRow, device_w: Decimal, cable_m: Decimal) -> bool:
    """Watts at the port less the cable's loss, (P / U)**2 * R, are enough for the device."""
    lost_w = (row.port_w / row.port_min_v) ** 2 * row.loop_ohm * cable_m / 100
    return row.port_w - lost_w >= device_w


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """What is plugged into a cage feeds no device."""
    said = kind.said
    return plug is None or not (isinstance(said, AccessPorts | Devices) and _wants_poe(said))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares each port's class with the class or the watts of what it serves, powered now or not."""
    for unit, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        group = looking.group_of(unit, use.slot, use.group, catalog)
        if said is None or group is None:
            continue
        asked = looking.class_asked(said)
        if asked is None and not looking.draws_power(said):
            continue
        wrong = _plug(use.plug) or _class(asked, group) or _stated(said, group, catalog)
        if wrong:
            yield Breach(f"{looking.link_name(use, said)}: {wrong}", unit.position)


def _plug(plug: str | None) -> str | None:
    """Nothing that is plugged into a cage feeds a device."""
    return f"{plug} in the port feeds no PoE" if plug is not None else None


def _class(asked: int | None, group: PortGroup) -> str | None:
    """Class 0 gets what class 3 gets (IEEE 802.3 clause 33: 15.4 W)."""
    if asked is None:
        return None
    if group.poe_class is None:
        return f"class {asked} asked, the port feeds no PoE"
    if (group.poe_class or 3) < (asked or 3):
        return f"class {asked} asked, the port feeds class {group.poe_class}"
    return None


def _stated(said: looking.Said, group: PortGroup, catalog: Catalog) -> str | None:
    """Watts that are stated, at the port or at the device, against what the port's class gives and brings."""
    if not isinstance(said, Devices) or (said.device_w is None and said.port_w is None):
        return None
    row = catalog.poe_classes.get(group.poe_class) if group.poe_class is not None else None
    if row is None:
        return f"{_watts(said.port_w or said.device_w)} W asked, the port feeds no known class"
    if said.port_w is not None:
        short = row.port_w < said.port_w
        gives = f"class {row.poe_class} gives {_watts(row.port_w)} W"
        return f"{_watts(said.port_w)} W asked at the port, {gives}" if short else None
    # p - (p / v)² * r reaches the device; compared as multiples of v², so that nothing is rounded
    v2 = row.port_min_v**2
    reaches_v2 = row.port_w * v2 - row.port_w**2 * row.loop_ohm * said.cable_m / 100
    if said.device_w is not None and reaches_v2 < said.device_w * v2:
        brings = f"class {row.poe_class} brings {_watts(reaches_v2 / v2)} W over {looking.plain(said.cable_m)} m"
        return f"{_watts(said.device_w)} W asked at the device, {brings}"
    return None


def _watts(number: Decimal | None) -> str:
    """Watts to two decimals, as the class tables have them."""
    return looking.plain(round(number or Decimal(0), 2))


RULE = Rule(
    id="ports.poe_class",
    family="ports",
    sentence="A port feeds at least the class, or the watts, of its device.",
    source=Source("IEEE 802.3, clauses 33 and 145: power classes"),
    about=("ports", "devices"),
    port_serves=port_serves,
    plug_serves=plug_serves,
    check=check,
)
