"""A port is used once.

Why it matters: two plugs don't go into one hole, and a port that stacks carries nothing else.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.build import Build, BuiltUnit, PortUse, SplitPort
from configurator.catalog import Catalog
from configurator.fitout import Ports
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def holds(ports: Ports) -> int:
    """One device a port, or one a way of a split port."""
    return ports.count * (ports.split.ways if ports.split is not None else 1)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks at every place that something is put, and whether it is there and free."""
    for unit in build.units:
        for place in looking.places(unit):
            yield from _there(unit, place, catalog)
        for use in unit.uses:
            yield from _way(unit, use, catalog)
        yield from _twice(unit)


def _there(unit: BuiltUnit, place: PortUse | SplitPort, catalog: Catalog) -> Iterator[Breach]:
    """The port exists, and isn't one of those that stack."""
    name = looking.port_name(place)
    group = looking.group_of(unit, place.slot, place.group, catalog)
    if group is None:
        yield Breach(f"{name} is used, but the unit has no such group of ports", unit.position)
    elif not 1 <= place.port <= group.count:
        yield Breach(f"{name} is used, but the group has ports 1 to {group.count}", unit.position)
    stacks = (place.slot, place.group) == (unit.stack_slot, unit.stack_group) and place.port in unit.stack_ports
    if unit.stack_group is not None and stacks:
        yield Breach(f"{name} is used, but it stacks", unit.position)


def _way(unit: BuiltUnit, use: PortUse, catalog: Catalog) -> Iterator[Breach]:
    """A split port is used by its ways, any other port as a whole."""
    split = looking.split_of(unit, use)
    if split is None and use.way is not None:
        yield Breach(f"way {use.way} of {looking.port_name(use)} is used, but the port isn't split", unit.position)
    if split is not None and use.way is None:
        yield Breach(f"{looking.port_name(use)} serves {use.statement} whole, but it is split", unit.position)
    ways = looking.ways_of(split, catalog) if split is not None else None
    if ways is not None and use.way is not None and not 1 <= use.way <= ways:
        yield Breach(f"way {use.way} of {looking.port_name(use)} is used, but it has ways 1 to {ways}", unit.position)


def _twice(unit: BuiltUnit) -> Iterator[Breach]:
    """No port and no way of a port serves two, and no port is split twice."""
    served = Counter((looking.port_name(use), use.way) for use in unit.uses)
    for (name, way), times in served.items():
        if times > 1:
            whole = name if way is None else f"way {way} of {name}"
            yield Breach(f"{whole} is used {times} times", unit.position)
    for name, times in Counter(looking.port_name(split) for split in unit.splits).items():
        if times > 1:
            yield Breach(f"{name} is split {times} times", unit.position)


RULE = Rule(
    id="ports.once",
    family="ports",
    sentence="A port is used once: it serves one device, is split, or stacks.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    port_holds=holds,
    check=check,
)
