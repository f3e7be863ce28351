"""Everything in the build is ordered, or is in the box of something ordered.

Why it matters: the cord that nobody ordered stops the installation.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from configurator.build import Bought, Build, BuiltUnit, Order
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Box
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.services import Licence
from configurator.setting import Ask, OrderAsk, Setting

from .. import looking

# the rule's part of the model


def unit_needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """The supplies, trays, modules and splits of a unit."""
    if fitout.unit_type.built_in_supply is None:
        for supply in fitout.supplies:
            yield Need("supply", ((supply.id,),))
    for tray in fitout.fan_trays:
        yield Need("fan tray", ((tray.id,),))
    for _, module in fitout.modules:
        yield Need("module", ((module.id,),))
    for ports in fitout.ports:
        if ports.split is not None:
            for part in ports.split.parts:
                yield Need("split", ((part,),), ports.count)


def served_needs(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """The optic or cable in the port."""
    if plug is not None and not isinstance(plug, SplitPlug):
        yield Need("plug", ((plug.id,),))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Weighs what each unit uses against what came for it, and the stack's rest against what may serve any unit."""
    yield from _lines(build, catalog)
    for unit in build.units:
        yield from _boxes(unit, catalog)
    # what is ordered for the stack serves any unit; what lies in its boxes, only if it may be moved
    spare = _movable(build.bought, catalog)
    for line in build.bought:
        if not catalog.serves_any_unit(line.part):
            spare[line.part] += max(line.count, 0)
    missing: list[tuple[BuiltUnit | None, Counter[str]]] = [(None, _shared_uses(build))]
    for unit in build.units:
        used, came, movable = (
            _uses(unit, catalog),
            looking.come_of(unit.bought, catalog),
            _movable(unit.bought, catalog),
        )
        missing.append((unit, used - came))
        spare += (came - used) & movable  # what can't move is used up first
    for part in sorted({part for _, short in missing for part in short}):
        needed = sum(short[part] for _, short in missing)
        if needed > spare[part]:
            short_of = [unit for unit, short in missing if short[part]]
            whose = _whose(short_of)
            lone = short_of[0].position if len(short_of) == 1 and short_of[0] is not None else None
            yield Breach(f"{part}: {needed} more needed by {whose}, {spare[part]} to be had for it", lone)


def _lines(build: Build, catalog: Catalog) -> Iterator[Breach]:
    """Every line orders one part or more, of the catalog; a box is ordered for its unit."""
    for unit in build.units:
        for line in unit.bought:
            if line.count < 1 or line.part not in catalog.by_id:
                yield Breach(f"{line.count} of {line.part} can't be ordered", unit.position)
    for line in build.bought:
        if line.count < 1 or line.part not in catalog.by_id:
            yield Breach(f"{line.count} of {line.part} can't be ordered")
        if looking.part_of(line.part, Box, catalog) is not None:
            yield Breach(f"{line.count} of {line.part}, a unit's box, is ordered for no unit")


def _boxes(unit: BuiltUnit, catalog: Catalog) -> Iterator[Breach]:
    """A unit comes in one box that holds its type."""
    box = looking.part_of(unit.box, Box, catalog)
    if box is None or box.unit != unit.unit_type or unit.unit_type not in catalog.unit_types:
        yield Breach(f"{unit.box} isn't a box that holds the unit {unit.unit_type}", unit.position)
    boxes = [line for line in unit.bought if looking.part_of(line.part, Box, catalog) is not None]
    if [(line.part, line.count) for line in boxes] != [(unit.box, 1)]:
        ordered = ", ".join(f"{line.count} of {line.part}" for line in boxes) or "none"
        yield Breach(f"1 of {unit.box} is to be ordered for the unit, boxes ordered: {ordered}", unit.position)


def _uses(unit: BuiltUnit, catalog: Catalog) -> Counter[str]:
    """Parts in and with the unit: a built-in supply (bay 0) is none; what splits a port, and a licence, count once."""
    used = Counter(s.supply for s in unit.supplies if s.bay != 0)
    used.update(s.cord for s in unit.supplies if s.cord is not None)
    used.update(unit.fan_trays)
    used.update(m.module for m in unit.modules)
    used.update(unit.adapters)
    for split in unit.splits:
        used.update(split.parts)
    used.update(u.plug for u in unit.uses if u.plug is not None and u.way is None)
    for one in unit.along:
        used[one.part] += one.count
    for licence in {one.part for one in unit.along if looking.part_of(one.part, Licence, catalog) is not None}:
        used[licence] = 1  # for all that it licenses
    return used


def _movable(lines: Iterable[Bought], catalog: Catalog) -> Counter[str]:
    """Of what was bought, what may serve any unit: contents that say so, and any cable or optic."""
    came = looking.come_of(lines, catalog)
    movable = Counter({part: count for part, count in came.items() if catalog.serves_any_unit(part)})
    for line in lines:
        part = catalog.by_id.get(line.part)
        for content in part.contents if part is not None else ():
            if content.movable and not catalog.serves_any_unit(content.part):
                movable[content.part] += content.count * max(line.count, 0)
    return movable


def _shared_uses(build: Build) -> Counter[str]:
    """What lies between the units and at the far ends of uplinks, and what comes along with them."""
    used = Counter(part for link in build.links for part in link.parts)
    for end in build.far_ends:
        used[end.part] += end.count
    for one in build.along:
        used[one.part] += one.count
    return used


def _whose(units: list[BuiltUnit | None]) -> str:
    """The units that are short of a part; none stands for links and far ends."""
    named = ", ".join(str(unit.position) for unit in units if unit is not None)
    both = (f"unit {named}" if named else "", "links and far ends" if None in units else "")
    return " and ".join(words for words in both if words)


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """The quantities on the order cover what every copy of every stack takes, and the cold spares."""
    needed, built = Counter[str](), Counter[str]()
    for one in order.stacks:
        built[one.build.stack] += one.copies
        needed.update({part: count * one.copies for part, count in looking.ordered(one.build).items()})
    for spare in order.spares:
        needed[spare.part] += spare.count
    there = looking.on_order(order)
    for part, count in sorted(needed.items()):
        if there.get(part, 0) < count:
            yield Breach(f"{count} of {part} needed by stacks and spares, {there.get(part, 0)} on the order")
    for line in order.ordered:
        if line.count < 1 or line.part not in catalog.by_id:
            yield Breach(f"{line.count} of {line.part} can't be ordered")
    for stack in (ask.stack for ask in asked.asks):
        if built[stack.name] not in (0, stack.copies):
            yield Breach(f"{stack.name}: {stack.copies} stacks asked, {built[stack.name]} on the order")


RULE = Rule(
    id="ordering.complete",
    family="ordering",
    sentence="Everything in the build is ordered, or is in the box of something ordered.",
    source=COMMON_PRACTICE,
    requires=Requires(unit=unit_needs, served=served_needs),
    check=check,
    check_order=check_order,
)
