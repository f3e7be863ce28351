"""From counts and a packing to a finished build: every part in its bay, slot, port or link."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from configurator.build import (
    Agreed,
    Along,
    Bought,
    Build,
    BuiltUnit,
    FarEnd,
    FittedModule,
    FittedSupply,
    PortUse,
    SplitPort,
    StackLink,
)
from configurator.engine.columns import Column
from configurator.engine.layouts import stack_ports
from configurator.engine.model import Counts, StackModel
from configurator.engine.offers import Offers, cheapest_recipe, is_pooled
from configurator.engine.packing import Placed
from configurator.engine.pooling import PoolKey, key_of
from configurator.fitout import Fitout, Mode, Ports
from configurator.kinds import SplitPlug
from configurator.rule import Need


class Pool:
    """Parts that came out of boxes (or were bought for the stack) and are still to be handed out."""

    def __init__(self, model: StackModel, values: tuple[int, ...]) -> None:
        self.model = model
        self.parts: dict[PoolKey, list[tuple[str, ...]]] = {}
        for key, group in model.groups.items():
            out: list[tuple[str, ...]] = [recipe for recipe, var in group.takes.items() for _ in range(values[var])]
            if group.buys is not None:
                out += [group.recipe] * values[group.buys]
            self.parts[key] = out

    def hand_out(self, need: Need, *, of_unit: bool = False) -> tuple[str, ...]:
        """Parts that meet one of a need; none where it fell away."""
        held = self.parts.get(key_of(need, of_unit=of_unit))
        if not of_unit and not is_pooled(need, self.model.pool):
            found = cheapest_recipe(self.model.book, need, self.model.setting)
            return found[1] if found is not None else ()
        return held.pop(0) if held else ()


def construct(model: StackModel, counts: Counts, values: tuple[int, ...], placed: Placed) -> Build:
    """The build that a solution and its packing stand for."""
    pool = Pool(model, values)
    chosen = [c for c, count in zip(model.columns, counts.columns, strict=True) for _ in range(count)]
    mode = counts.arrangement.mode
    units = tuple(
        _unit(model, position, column, mode, placed[position - 1], pool)
        for position, column in enumerate(chosen, start=1)
    )
    arrangement = counts.arrangement.arrangement
    links: list[StackLink] = []
    needs = [need for _, need in counts.arrangement.needs]
    for index, link in enumerate(arrangement.links):
        mine = [need for need in needs if need.slot == f"link {index}"]
        parts = [part for need in mine for _ in range(need.count) for part in pool.hand_out(need)]
        speed = arrangement.mode.speed_mbps if arrangement.mode else 0
        links.append(
            StackLink(
                from_unit=link.from_unit, to_unit=link.to_unit, way_m=link.way_m, speed_mbps=speed, parts=tuple(parts)
            )
        )
    return Build(
        stack=model.ask.stack.name,
        units=units,
        topology="chain" if arrangement.topology == "chain" else "ring" if arrangement.topology else None,
        links=tuple(links),
        lacing=arrangement.lacing if arrangement.links else None,
        agreed=tuple(Agreed(topic=topic, choice=choice) for topic, choice in counts.agreed.items()),
        far_ends=tuple(_far_ends(model, counts, pool)),
        along=tuple(_along(model, counts, pool)),
        bought=tuple(Bought(part=part, count=count) for part, count in counts.loose),
    )


def _far_ends(model: StackModel, counts: Counts, pool: Pool) -> Iterator[FarEnd]:
    for offer, count in zip(model.offers.offers, counts.served, strict=True):
        for _, need in offer.needs:
            if need.slot == "far end" and count:
                handed = Counter(part for _ in range(count * need.count) for part in pool.hand_out(need))
                for part, number in sorted(handed.items()):
                    yield FarEnd(statement=model.kinds[offer.kind].statement, part=part, count=number)


def _along(model: StackModel, counts: Counts, pool: Pool) -> Iterator[Along]:
    """What comes along with the stack and with what it serves, besides plugs, links and far ends."""
    every: list[tuple[Need, int, str | None]] = []
    for offer, count in zip(model.offers.offers, counts.served, strict=True):
        every += [(need, count * need.count, model.kinds[offer.kind].statement) for _, need in offer.needs]
    every += [(need, need.count, None) for _, need in counts.arrangement.needs]
    for need, count, statement in every:
        if any(counts.agreed.get(topic) == choice for topic, choice in need.unless):
            continue  # it falls away, even if a box holds what would meet it
        if need.slot not in PLACED and not need.slot.startswith("link "):
            handed = Counter(part for _ in range(count) for part in pool.hand_out(need))
            for part, number in sorted(handed.items()):
                yield Along(slot=need.slot, part=part, count=number, statement=statement)


PLACED = ("supply", "fan tray", "module", "split", "adapter", "plug", "far end")
"""Slots of needs that have a place of their own in a build, besides cords and links."""


def _unit(
    model: StackModel,
    position: int,
    column: Column,
    mode: Mode | None,
    placed: dict[tuple[int, int], int],
    pool: Pool,
) -> BuiltUnit:
    priced = column.stacked(mode)
    fitout = priced.fitout
    fills: dict[str, list[tuple[str, ...]]] = {}
    for slot, parts in priced.fills:
        fills.setdefault(slot, []).append(parts)
    for need in priced.left_to_pool:
        fills.setdefault(need.slot, []).append(pool.hand_out(need, of_unit=True))
    supplies = []
    for index, supply in enumerate(fitout.supplies):
        cord = fills.get(f"cord {index}", [()])[0]
        supplies.append(
            FittedSupply(
                bay=0 if fitout.unit_type.built_in_supply else index + 1,
                supply=supply.id,
                cord=cord[0] if cord else None,
                feed=fitout.feeds[index] if fitout.feeds else None,
            )
        )
    stack = fitout.stack
    ordered = Counter((priced.box, *priced.bought))
    return BuiltUnit(
        position=position,
        unit_type=fitout.unit_type.id,
        box=priced.box,
        supplies=tuple(supplies),
        fan_trays=tuple(tray.id for tray in fitout.fan_trays),
        modules=tuple(FittedModule(slot=slot, module=module.id) for slot, module in fitout.modules),
        stack_slot=stack[0] if stack else None,
        stack_group=stack[1].id if stack else None,
        stack_ports=tuple(range(1, stack_ports(model.book, fitout.unit_type) + 1)) if stack else (),
        adapters=tuple(sorted(part for parts in fills.get("adapter", []) for part in parts)),
        splits=tuple(splits_of(fitout.ports)),
        uses=tuple(uses_of(model.offers, fitout, placed)),
        along=tuple(
            Along(slot=slot, part=part, count=number)
            for slot in sorted(fills)
            if slot not in PLACED and not slot.startswith("cord ")
            for part, number in sorted(Counter(part for parts in fills[slot] for part in parts).items())
        ),
        bought=tuple(Bought(part=part, count=count) for part, count in ordered.items()),
    )


def splits_of(ports: Iterable[Ports]) -> Iterator[SplitPort]:
    """Split ports with what splits each."""
    for some in ports:
        if some.split is not None:
            for port in range(some.first, some.first + some.count):
                yield SplitPort(slot=some.slot, group=some.group.id, port=port, parts=some.split.parts)


def uses_of(offers: Offers, fitout: Fitout, placed: Mapping[tuple[int, int], int]) -> Iterator[PortUse]:
    """Give each device a port of its own that serves it, least flexible ports first."""
    ends = [(end, offers.mask(ports)) for ports in fitout.ports for end in _ends(ports)]
    ends.sort(key=lambda end: end[1].bit_count())
    counts = Counter[int]()
    for (_, bit), count in placed.items():
        counts[bit] += count
    devices = [bit for bit, count in sorted(counts.items()) for _ in range(count)]
    for bit, taken in zip(devices, _matched(devices, [mask for _, mask in ends]), strict=True):
        ports, port, way = ends[taken][0]
        offer = offers.offers[bit]
        kind, plug = offers.kinds[offer.kind], offer.plug
        yield PortUse(
            slot=ports.slot,
            group=ports.group.id,
            port=port,
            way=way,
            statement=kind.statement,
            speed_mbps=kind.said.speed_mbps,
            powered=kind.powered,
            plug=None if plug is None else plug.parts[0] if isinstance(plug, SplitPlug) else plug.id,
        )


def _matched(devices: list[int], masks: list[int]) -> list[int]:
    """A port for each device, by augmenting paths; a port serves two only where the rule against that is off."""
    holder: dict[int, int] = {}  # port -> device

    def seat(device: int, seen: set[int]) -> bool:
        for port, mask in enumerate(masks):
            if mask >> devices[device] & 1 and port not in seen:
                seen.add(port)
                if port not in holder or seat(holder[port], seen):
                    holder[port] = device
                    return True
        return False

    crowded = [device for device in range(len(devices)) if not seat(device, set())]
    seats = {device: port for port, device in holder.items()}
    for device in crowded:
        seats[device] = next(port for port, mask in enumerate(masks) if mask >> devices[device] & 1)
    return [seats[device] for device in range(len(devices))]


def _ends(ports: Ports) -> Iterator[tuple[Ports, int, int | None]]:
    for port in range(ports.first, ports.first + ports.count):
        if ports.split is None:
            yield ports, port, None
        else:
            for way in range(1, ports.split.ways + 1):
                yield ports, port, way
