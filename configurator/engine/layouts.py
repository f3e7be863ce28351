"""Port layouts: for a unit type with its modules, every way its ports can take their roles."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement, product

from configurator.book import Book
from configurator.engine.exchange import touched
from configurator.engine.offers import Offers
from configurator.fitout import Fitout, Ports
from configurator.kinds import SplitPlug
from configurator.parts import Module, ModuleSlot, PortGroup, UnitType
from configurator.setting import Setting

Place = tuple[str | None, PortGroup]
Rates = tuple[tuple[int, int], ...]  # speed, and most ports that it is of use to split for it


class Wanted:
    """Which splits and which speeds are of use to some offers."""

    def __init__(self, offers: Offers) -> None:
        self.speeds = sorted({kind.said.speed_mbps for kind in offers.kinds})
        self._offers = offers
        self._plugs = offers.splits()
        self._splits: dict[int, tuple[tuple[SplitPlug, int], ...]] = {}

    def splits(self, group: PortGroup) -> tuple[tuple[SplitPlug, int], ...]:
        """What could split ports of a group, with the most ports that it is of use to split."""
        found = self._splits.get(id(group))
        if found is None:
            out = []
            for plug in self._plugs:
                mask = self._offers.mask(Ports(None, group, 1, split=plug))
                if mask:
                    out.append((plug, self._most(mask, plug)))
            found = self._splits[id(group)] = tuple(out)
        return found

    def ways_at(self, group: PortGroup, plug: SplitPlug) -> Rates:
        """Speeds of the ways of a split port, each with the most ports that it is of use to split for it."""
        out = []
        for speed in self.speeds:
            mask = self._offers.mask(Ports(None, group, 1, split=plug, speed_mbps=speed))
            if mask:
                out.append((speed, self._most(mask, plug)))
        return tuple(out)

    def _most(self, mask: int, plug: SplitPlug) -> int:
        """Ports that it is of use to split: each full; or, where splits count as such, each for one device."""
        wanted, counted = self._offers.wanted(mask), self._offers.setting.counted
        if counted is not None and not touched(self._offers.book, counted).isdisjoint(plug.parts):
            return wanted
        return -(-wanted // plug.ways)

    def key(self, book: Book, unit: UnitType) -> tuple[object, ...]:
        """What of this matters to a type and its modules."""
        groups = groups_of(book, unit)
        speeds = tuple(self.speeds) if any(group.block > 1 for group in groups) else ()
        if not self._plugs:
            return (speeds,)
        splits = [(id(g), [(id(p), min(n, g.count), self._rates(g, p)) for p, n in self.splits(g)]) for g in groups]
        return (speeds, *((g, tuple(plugs)) for g, plugs in splits if plugs))

    def _rates(self, group: PortGroup, plug: SplitPlug) -> Rates:
        """`ways_at`, where blocks make it matter."""
        return tuple((s, min(n, group.count)) for s, n in self.ways_at(group, plug)) if group.block > 1 else ()


def groups_of(book: Book, unit: UnitType) -> tuple[PortGroup, ...]:
    """Port groups of a type and of every module its slots could hold."""
    store = book.catalog.cache("groups of a type")
    if unit.id not in store:
        modules = book.catalog.parts.modules if unit.module_slots else ()
        store[unit.id] = (*unit.ports, *(group for module in modules for group in module.ports))
    found: tuple[PortGroup, ...] = store[unit.id]
    return found


def module_choices(book: Book, unit: UnitType, setting: Setting) -> list[Fitout]:
    """The ways to fill the module slots that no rule forbids."""

    def make(setting: Setting) -> list[Fitout]:
        every = [module for module in book.catalog.parts.modules if book.to_be_had(module.id, setting)]
        slots = [[(slot, module) for module in (None, *every)] for slot in unit.module_slots]
        return [
            fitout
            for fitout in (_with_modules(unit, choice) for choice in product(*slots))
            if book.allows("modules", fitout, setting)
        ]

    return book.made("module choices", ("forbids.modules", "forbids_part"), unit.id, setting, make)


def _with_modules(unit: UnitType, choice: tuple[tuple[ModuleSlot, Module | None], ...]) -> Fitout:
    return Fitout(unit, modules=tuple((slot.id, module) for slot, module in choice if module is not None))


def layouts(book: Book, fitout: Fitout, wanted: Wanted, setting: Setting) -> Iterator[Fitout]:
    """The fit-out with its ports' roles decided, in every way that no rule forbids.

    A group takes part in splits only where an offer wants it, and runs block by block at one
    speed only where its type has such blocks.
    """
    places: list[Place] = [(None, group) for group in fitout.unit_type.ports]
    places += [(slot, group) for slot, module in fitout.modules for group in module.ports]
    for stack in _stack_choices(book, fitout, places, setting):
        per_group = [_group_choices(book, place, stack, fitout, wanted) for place in places]
        for choice in product(*per_group):
            every = [p for part in choice for p in part]
            for ports in _shared(fitout.unit_type, every, stack, stack_ports(book, fitout.unit_type)):
                found = replace(fitout, stack=stack, ports=ports)
                if book.allows("ports", found, setting):
                    yield found


def _stack_choices(book: Book, fitout: Fitout, places: list[Place], setting: Setting) -> list[Place | None]:
    """Alone, or through any group that no rule forbids to stack."""
    allowed: list[Place | None] = [None]
    for place in places:
        if book.allows("ports", replace(fitout, stack=place), setting):
            allowed.append(place)
    return allowed


def stack_ports(book: Book, unit: UnitType) -> int:
    """Ports of a unit that two stacking links take."""
    family = book.catalog.families[unit.family]
    return 2 * family.cables_a_link


def _group_choices(
    book: Book, place: Place, stack: Place | None, fitout: Fitout, wanted: Wanted
) -> list[tuple[Ports, ...]]:
    """How the ports of one group may be shared out between roles and, in blocks, between speeds."""
    slot, group = place
    first = 1
    if stack is not None and stack[0] == slot and stack[1] is group:
        first += stack_ports(book, fitout.unit_type)
    free = group.count - first + 1
    if free <= 0:
        return [()]
    out: list[tuple[Ports, ...]] = []
    for splits in _split_counts(group, free, wanted):
        used = sum(count for _, count in splits)
        cut: list[Ports] = []
        at = first
        for plug, count in splits:
            cut.append(Ports(slot, group, count, at, split=plug))
            at += count
        rest = Ports(slot, group, free - used, at)
        out.append((*cut, rest) if rest.count else tuple(cut))
        if rest.count and _may_idle(fitout.unit_type, group):
            out.append(tuple(cut))
    if group.block > 1:
        out += _blocks(Ports(slot, group, free, first), wanted)
    return list(dict.fromkeys(out))


def _may_idle(unit: UnitType, group: PortGroup) -> bool:
    """Whether a rule could want the plain ports of a group unused."""
    if "network" not in group.roles or group.block > 1:
        return True
    return any(taking.group == group.id for pair in unit.excludes for taking in pair)


def _split_counts(group: PortGroup, free: int, wanted: Wanted) -> Iterator[tuple[tuple[SplitPlug, int], ...]]:
    """So many ports split by one plug; more kinds of split in one group are not mixed."""
    yield ()
    for plug, most in wanted.splits(group):
        for count in range(1, min(free, most) + 1):
            yield ((plug, count),)


@dataclass(frozen=True)
class _Run:
    """What the ports of one block do at one speed: so many split, the rest plain or (without a speed) idle."""

    plain_mbps: int | None = None
    plug: SplitPlug | None = None
    way_mbps: int = 0
    splits: int = 0


def _blocks(free: Ports, wanted: Wanted) -> Iterator[tuple[Ports, ...]]:
    """The free ports of a group with each block of neighbours at one speed; one kind of split a group."""
    size = free.group.block
    blocks: dict[int, list[int]] = {}  # first free port of each block, by how many of its ports are free
    port, end = free.first, free.first + free.count
    while port < end:
        after = min(end, (port - 1) // size * size + size + 1)
        blocks.setdefault(after - port, []).append(port)
        port = after
    places = [(count, first) for count, firsts in blocks.items() for first in firsts]
    plugs: list[SplitPlug | None] = [None, *(plug for plug, _ in wanted.splits(free.group))]
    for plug, idle in product(plugs, (False, True)):
        ways = wanted.ways_at(free.group, plug) if plug is not None else ()
        alike = [
            _of_blocks(count, list(_runs(count, free.group, wanted.speeds, plug, ways, idle)), len(firsts))
            for count, firsts in blocks.items()
        ]
        for chosen in product(*alike):
            runs = [run for some in chosen for run in some]
            if all(sum(run.splits for run in runs if run.way_mbps == speed) <= most for speed, most in ways):
                yield tuple(p for place, run in zip(places, runs, strict=True) for p in _run(free, *place, run))


def _of_blocks(count: int, runs: list[_Run], blocks: int) -> Iterator[tuple[_Run, ...]]:
    """What so many blocks alike can do; of those split at one speed all but one are split throughout."""
    for chosen in combinations_with_replacement(runs, blocks):
        partly = [run.way_mbps for run in chosen if 0 < run.splits < count]
        if len(partly) == len(set(partly)):
            yield chosen


def _runs(
    count: int, group: PortGroup, wanted: list[int], plug: SplitPlug | None, ways: Rates, idle: bool
) -> Iterator[_Run]:
    """What so many ports of one block can do, with the plain ones of use or all idle."""
    speeds = [speed for speed in wanted if speed in group.speeds_mbps and not idle]
    yield from map(_Run, speeds) if speeds else [_Run()]
    for way_mbps, most in ways:
        line_mbps = way_mbps * plug.ways if plug is not None else way_mbps
        for splits in range(1, min(count, most) + 1):
            yield _Run(line_mbps if line_mbps in speeds else None, plug, way_mbps, splits)


def _run(free: Ports, count: int, first: int, run: _Run) -> Iterator[Ports]:
    if run.plug is not None:
        yield replace(free, count=run.splits, first=first, split=run.plug, speed_mbps=run.way_mbps)
    if run.plain_mbps is not None and count > run.splits:
        yield replace(free, count=count - run.splits, first=first + run.splits, speed_mbps=run.plain_mbps)


def _shared(unit: UnitType, ports: list[Ports], stack: Place | None, stacking: int) -> Iterator[tuple[Ports, ...]]:
    """As they are, and with groups that share their innards cut back to what they may use together."""
    yield tuple(ports)
    found = [tuple(ports)]
    for shared in unit.shared_ports:
        taken = stacking if stack is not None and stack[1].id in shared.groups else 0
        most = shared.at_most - taken
        found = list(dict.fromkeys(cut for some in found for cut in _cut_back(some, shared.groups, most)))
    yield from (cut for cut in found if cut != tuple(ports))


def _cut_back(ports: tuple[Ports, ...], groups: tuple[str, ...], most: int) -> Iterator[tuple[Ports, ...]]:
    """Every way to use no more than `most` ports of some groups, and as many as that allows."""
    members = [p for p in ports if p.group.id in groups]
    if sum(p.count for p in members) <= most:
        yield ports
        return
    others = [p for p in ports if p.group.id not in groups]
    for counts in product(*(range(min(p.count, most) + 1) for p in members)):
        if sum(counts) == most:
            yield (*others, *(replace(p, count=c) for p, c in zip(members, counts, strict=True) if c))
