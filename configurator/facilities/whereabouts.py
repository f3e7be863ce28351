"""Where everything is in a build: per unit its parts and devices, then links and uplinks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from configurator import messages
from configurator.answer import (
    Accompanying,
    FreePorts,
    Link,
    ModulePlace,
    PortRange,
    Power,
    SplitPlace,
    StackPorts,
    SupplyPlace,
    Unit,
    Uplink,
    Watts,
)
from configurator.build import Along, Build, BuiltUnit, PortUse
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.facilities import load
from configurator.facilities.facility import airflow_of
from configurator.kinds import kinds_of, said_by
from configurator.parts import Cable, FibreCable, Module, Optic, PortGroup
from configurator.setting import Ask


def unit_of(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> Unit:
    """One unit for people."""
    return Unit(
        position=unit.position,
        type=unit.unit_type,
        box=unit.box,
        airflow=airflow_of(unit, catalog),
        supplies=tuple(SupplyPlace(**one.model_dump()) for one in unit.supplies),
        fan_trays=unit.fan_trays,
        modules=tuple(ModulePlace(**one.model_dump()) for one in unit.modules),
        stacking=_stacking(unit),
        splits=tuple(SplitPlace(**one.model_dump()) for one in unit.splits),
        uses=tuple(_uses(unit, ask)),
        free=tuple(_free(unit, catalog)),
        along=along_of(unit.along, ask),
        power=_power(unit, ask, catalog),
    )


def along_of(found: Iterable[Along], ask: Ask) -> tuple[Accompanying, ...]:
    """What comes along, with the customer's words for what it is for."""
    names = names_of(ask)
    return tuple(
        Accompanying(
            slot=one.slot,
            part=one.part,
            quantity=one.count,
            statement=one.statement,
            name=None if one.statement is None else names.get(one.statement, one.statement),
        )
        for one in found
    )


def _stacking(unit: BuiltUnit) -> StackPorts | None:
    if unit.stack_group is None:
        return None
    ports = messages.ranges(unit.stack_ports)
    return StackPorts(slot=unit.stack_slot, group=unit.stack_group, ports=ports, adapters=unit.adapters)


def _power(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> Power:
    drawn = load.load_of(unit, ask, catalog)

    def watts(source: load.Source) -> Watts:
        return Watts(
            output_w=source.output_w,
            left_w=source.left_w(drawn),
            poe_budget_w=source.poe_budget_w,
            poe_left_w=source.poe_left_w(drawn),
        )

    lost = load.source_less_one(unit, ask, catalog)
    return Power(
        own_w=drawn.own_w,
        poe_w=drawn.poe_w,
        all_supplies=watts(load.source_of(unit, ask, catalog)),
        one_lost=None if lost is None else watts(lost),
    )


def _uses(unit: BuiltUnit, ask: Ask) -> Iterator[PortRange]:
    """Devices on ports, in ranges of ports that are used alike, in the demand's order."""
    said, names = dict(said_by(ask)), names_of(ask)
    order = {statement: place for place, statement in enumerate(said)}
    alike: dict[tuple[int, str, str, int, bool, str, str], list[PortUse]] = {}
    for use in unit.uses:
        place = order.get(use.statement, len(order))
        key = (place, use.slot or "", use.group, use.speed_mbps, use.powered, use.plug or "", use.statement)
        alike.setdefault(key, []).append(use)
    for (_, slot, group, speed_mbps, powered, plug, statement), uses in sorted(alike.items(), key=lambda one: one[0]):
        yield PortRange(
            name=names.get(statement, statement),
            statement=statement,
            ref=said[statement].ref if statement in said else None,
            slot=slot or None,
            group=group,
            ports=_port_words(uses),
            count=len(uses),
            speed_mbps=speed_mbps,
            powered=powered,
            plug=plug or None,
        )


def names_of(ask: Ask) -> dict[str, str]:
    """What people call the devices, ports or uplinks of each statement."""
    return {kind.statement: kind.name for kind in kinds_of(ask)}


def _port_words(uses: list[PortUse]) -> str:
    """Port numbers as ranges; of split ports with their ways."""
    whole = [use.port for use in uses if use.way is None]
    words = [messages.ranges(whole)] if whole else []
    for port in sorted({use.port for use in uses if use.way is not None}):
        ways = [use.way for use in uses if use.port == port and use.way is not None]
        words.append(f"{port} {'way' if len(ways) == 1 else 'ways'} {messages.ranges(ways)}")
    return ", ".join(words)


def _groups(unit: BuiltUnit, catalog: Catalog) -> Iterator[tuple[str | None, PortGroup]]:
    for group in catalog.unit_types[unit.unit_type].ports:
        yield None, group
    for fitted in unit.modules:
        for group in catalog.get(fitted.module, Module).ports:
            yield fitted.slot, group


def _free(unit: BuiltUnit, catalog: Catalog) -> Iterator[FreePorts]:
    """Network ports that nothing uses; that a rule forbids some of them is not looked at."""
    for slot, group in _groups(unit, catalog):
        if "network" not in group.roles:
            continue
        taken = {use.port for use in unit.uses if (use.slot, use.group) == (slot, group.id)}
        taken |= {split.port for split in unit.splits if (split.slot, split.group) == (slot, group.id)}
        if (slot, group.id) == (unit.stack_slot, unit.stack_group):
            taken |= set(unit.stack_ports)
        free = set(range(1, group.count + 1)) - taken
        if free:
            yield FreePorts(slot=slot, group=group.id, ports=messages.ranges(free), count=len(free))


def links_of(build: Build, catalog: Catalog) -> tuple[Link, ...]:
    """The stacking connections with their cables' lengths."""
    out = []
    for link in build.links:
        parts = [catalog.by_id[number] for number in link.parts]
        lengths = [part.length_m for part in parts if isinstance(part, Cable | FibreCable)]
        out.append(
            Link(
                from_unit=link.from_unit,
                to_unit=link.to_unit,
                way_m=link.way_m,
                speed_mbps=link.speed_mbps,
                parts=link.parts,
                length_m=min(lengths, default=None),
            )
        )
    return tuple(out)


def uplinks_of(build: Build, ask: Ask, catalog: Catalog) -> tuple[Uplink, ...]:
    """Every uplink with both its ends, in the demand's order."""
    said, names = dict(said_by(ask)), names_of(ask)
    order = {statement: place for place, statement in enumerate(said)}
    found = []
    for unit in build.units:
        splits = {(split.slot, split.group, split.port): split.parts for split in unit.splits}
        for use in unit.uses:
            what = said.get(use.statement)
            if not isinstance(what, Uplinks):
                continue
            plug = () if use.plug is None else (use.plug,)
            one = Uplink(
                name=names[use.statement],
                statement=use.statement,
                ref=what.ref,
                unit=unit.position,
                slot=use.slot,
                group=use.group,
                port=use.port,
                way=use.way,
                speed_mbps=use.speed_mbps,
                plug=plug if use.way is None else splits.get((use.slot, use.group, use.port), plug),
                far_end=_far_end(use, build, catalog),
            )
            found.append(one)
    found.sort(key=lambda one: (order[one.statement], one.unit, one.slot or "", one.group, one.port, one.way or 0))
    return tuple(found)


def _far_end(use: PortUse, build: Build, catalog: Catalog) -> str | None:
    """The optic ordered for the other end: the one this optic pairs with, or another of its own."""
    optic = None if use.plug is None else catalog.by_id.get(use.plug)
    if not isinstance(optic, Optic):
        return None
    other = optic.pairs_with or optic.id
    ordered = any((end.statement, end.part) == (use.statement, other) for end in build.far_ends)
    return other if ordered else None
