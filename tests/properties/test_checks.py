"""Checks and constraints agree: a build changed by hand is either found faulty or no cheaper than the optimum."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise

from hypothesis import given

from configurator.build import Bought, Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.verify import verify
from configurator_rules import RULES
from tests.oracles.brute_force import price_of
from tests.oracles.random_worlds import World
from tests.oracles.tiny_worlds import tiny_world
from tests.properties.asking import examples, seeds, small_world, solved

Change = Callable[[Build, Catalog, random.Random], Build | None]


@given(seeds)
@examples(12)
def test_no_changed_build_that_checks_accept_is_cheaper(seed: int) -> None:
    """Whatever is exchanged, moved or left out: what all checks accept costs at least the optimum."""
    for world in (small_world(seed), tiny_world(seed)):
        _try_changes(world, random.Random(seed))


def _try_changes(world: World, rng: random.Random) -> None:
    answer = solved(world)
    if answer.build is None or answer.price_minor is None:
        return
    for _ in range(40):
        build: Build | None = answer.build
        for change in rng.choices(CHANGES, k=rng.choice((1, 1, 2, 3))):
            build = change(build, world.catalog, rng) if build else None
        if build is not None and price_of(build, world.catalog) < answer.price_minor:
            assert verify(build, world.ask, world.catalog, RULES), build


@given(seeds)
@examples(12)
def test_nothing_can_be_left_out_of_an_order(seed: int) -> None:
    """An order with one priced part fewer is found incomplete, whichever part it is."""
    world = small_world(seed)
    answer = solved(world)
    if answer.build is None:
        return
    for build in _one_fewer(answer.build):
        assert "ordering.complete" in {rule for rule, _ in verify(build, world.ask, world.catalog, RULES)}


@given(seeds)
@examples(12)
def test_nothing_that_serves_can_be_taken_away(seed: int) -> None:
    """Without any one of its port uses, supplies' cords, stack links or units a build is found faulty."""
    world = small_world(seed)
    answer = solved(world)
    if answer.build is None:
        return
    for build in _one_gone(answer.build):
        assert verify(build, world.ask, world.catalog, RULES)


def test_each_change_changes_something() -> None:
    """Every change finds something to change in some build: none of them is idle."""
    rng = random.Random(1)
    worlds = [world for seed in range(30) for world in (small_world(seed), tiny_world(seed))]
    builds = [(build, world.catalog) for world in worlds if (build := solved(world).build)]
    for change in CHANGES:
        assert any(change(build, catalog, rng) not in (None, build) for build, catalog in builds), change


# --- one thing fewer ---------------------------------------------------------------------------------


def _one_fewer(build: Build) -> Iterator[Build]:
    for index in range(len(build.bought)):
        yield build.model_copy(update=dict(bought=_minus(build.bought, index)))
    for unit in build.units:
        for index in range(len(unit.bought)):
            yield _with_unit(build, unit.model_copy(update=dict(bought=_minus(unit.bought, index))))


def _minus(lines: tuple[Bought, ...], index: int) -> tuple[Bought, ...]:
    line = lines[index]
    less = (line.model_copy(update=dict(count=line.count - 1)),) if line.count > 1 else ()
    return (*lines[:index], *less, *lines[index + 1 :])


def _one_gone(build: Build) -> Iterator[Build]:
    for unit in build.units:
        for index in range(len(unit.uses)):
            yield _with_unit(build, unit.model_copy(update=dict(uses=unit.uses[:index] + unit.uses[index + 1 :])))
        for index, fitted in enumerate(unit.supplies):
            if fitted.cord is not None:
                bare = (*unit.supplies[:index], fitted.model_copy(update=dict(cord=None)), *unit.supplies[index + 1 :])
                yield _with_unit(build, unit.model_copy(update=dict(supplies=bare)))
    for index in range(len(build.links)):
        yield build.model_copy(update=dict(links=build.links[:index] + build.links[index + 1 :]))
    if len(build.units) > 1:
        yield build.model_copy(update=dict(units=build.units[:-1]))


def _with_unit(build: Build, unit: BuiltUnit) -> Build:
    units = tuple(unit if one.position == unit.position else one for one in build.units)
    return build.model_copy(update=dict(units=units))


# --- changes by hand ---------------------------------------------------------------------------------


def _renamed(build: Build, old: str, new: str, count: int) -> Build:
    """So many of a part on the order become another part, wherever they are ordered."""
    left = count

    def lines(bought: tuple[Bought, ...]) -> tuple[Bought, ...]:
        nonlocal left
        out: Counter[str] = Counter()
        for line in bought:
            moved = min(left, line.count) if line.part == old else 0
            left -= moved
            out[line.part] += line.count - moved
            out[new] += moved
        return tuple(Bought(part=part, count=n) for part, n in out.items() if n)

    units = tuple(unit.model_copy(update=dict(bought=lines(unit.bought))) for unit in build.units)
    return build.model_copy(update=dict(units=units, bought=lines(build.bought)))


def other_supply(build: Build, catalog: Catalog, rng: random.Random) -> Build | None:
    """All supplies of a unit become another part, in its bays and on the order."""
    unit = rng.choice(build.units)
    new = rng.choice(catalog.parts.supplies).id
    if not unit.supplies or any(fitted.bay == 0 for fitted in unit.supplies):
        return None
    old = unit.supplies[0].supply
    fitted = tuple(one.model_copy(update=dict(supply=new)) for one in unit.supplies)
    return _renamed(_with_unit(build, unit.model_copy(update=dict(supplies=fitted))), old, new, len(fitted))


def one_supply_less(build: Build, _catalog: Catalog, rng: random.Random) -> Build | None:
    """A unit's last supply is neither fitted nor ordered, nor is its cord."""
    unit = rng.choice(build.units)
    if not unit.supplies:
        return None
    gone = unit.supplies[-1]
    build = _with_unit(build, unit.model_copy(update=dict(supplies=unit.supplies[:-1])))
    for part in (gone.supply, gone.cord):
        build = _without(build, part) if part else build
    return build


def _without(build: Build, part: str) -> Build:
    """One of a part fewer on the order, if it is on it."""
    for index, line in enumerate(build.bought):
        if line.part == part:
            return build.model_copy(update=dict(bought=_minus(build.bought, index)))
    for unit in build.units:
        for index, line in enumerate(unit.bought):
            if line.part == part:
                return _with_unit(build, unit.model_copy(update=dict(bought=_minus(unit.bought, index))))
    return build


def other_box(build: Build, catalog: Catalog, rng: random.Random) -> Build | None:
    """A unit comes in another box, and what lies in it isn't ordered again."""
    unit = rng.choice(build.units)
    box = rng.choice(catalog.boxes_of[unit.unit_type])
    bought = tuple(
        Bought(part=box.id if line.part == unit.box else line.part, count=line.count) for line in unit.bought
    )
    build = _with_unit(build, unit.model_copy(update=dict(box=box.id, bought=bought)))
    for content in box.contents:
        for _ in range(content.count):
            build = _without(build, content.part)
    return build


def other_type(build: Build, catalog: Catalog, rng: random.Random) -> Build | None:
    """A unit becomes another type, in a box of its own, with everything else left as it is."""
    unit = rng.choice(build.units)
    boxes = [box for box in catalog.parts.boxes if box.unit != unit.unit_type]
    if not boxes:
        return None
    box = rng.choice(boxes)
    bought = tuple(
        Bought(part=box.id if line.part == unit.box else line.part, count=line.count) for line in unit.bought
    )
    return _with_unit(build, unit.model_copy(update=dict(unit_type=box.unit, box=box.id, bought=bought)))


def moved_device(build: Build, catalog: Catalog, rng: random.Random) -> Build | None:
    """A device moves to any port of any unit."""
    here, there = rng.choice(build.units), rng.choice(build.units)
    if not here.uses:
        return None
    use = rng.choice(here.uses)
    group = rng.choice(catalog.unit_types[there.unit_type].ports)
    build = _with_unit(build, here.model_copy(update=dict(uses=tuple(u for u in here.uses if u != use))))
    there = next(unit for unit in build.units if unit.position == there.position)
    moved = use.model_copy(update=dict(slot=None, group=group.id, port=rng.randint(1, group.count), way=None))
    return _with_unit(build, there.model_copy(update=dict(uses=(*there.uses, moved))))


def swapped_devices(build: Build, _catalog: Catalog, rng: random.Random) -> Build | None:
    """Two devices change places."""
    here, there = rng.choice(build.units), rng.choice(build.units)
    if not here.uses or not there.uses or here.position == there.position:
        return None
    a, b = rng.choice(here.uses), rng.choice(there.uses)
    who = ("statement", "speed_mbps", "powered")
    new_a = a.model_copy(update={name: getattr(b, name) for name in who})
    new_b = b.model_copy(update={name: getattr(a, name) for name in who})
    build = _with_unit(build, here.model_copy(update=dict(uses=tuple(new_a if u == a else u for u in here.uses))))
    return _with_unit(build, there.model_copy(update=dict(uses=tuple(new_b if u == b else u for u in there.uses))))


def other_plug(build: Build, catalog: Catalog, rng: random.Random) -> Build | None:
    """What is plugged into a port becomes another optic or cable."""
    unit = rng.choice(build.units)
    plugged = [use for use in unit.uses if use.plug is not None and use.way is None]
    if not plugged:
        return None
    use, new = rng.choice(plugged), rng.choice((*catalog.parts.optics, *catalog.parts.cables)).id
    changed = tuple(u.model_copy(update=dict(plug=new)) if u == use else u for u in unit.uses)
    return _renamed(_with_unit(build, unit.model_copy(update=dict(uses=changed))), use.plug or "", new, 1)


def other_stack_cable(build: Build, catalog: Catalog, rng: random.Random) -> Build | None:
    """A stacking cable becomes another."""
    if not build.links:
        return None
    index = rng.randrange(len(build.links))
    link, new = build.links[index], rng.choice(catalog.parts.cables).id
    changed = link.model_copy(update=dict(parts=(new, *link.parts[1:])))
    links = (*build.links[:index], changed, *build.links[index + 1 :])
    return _renamed(build.model_copy(update=dict(links=links)), link.parts[0], new, 1)


def one_link_less(build: Build, _catalog: Catalog, _rng: random.Random) -> Build | None:
    """A stacking link is neither made nor ordered."""
    if not build.links:
        return None
    gone = build.links[-1]
    build = build.model_copy(update=dict(links=build.links[:-1]))
    for part in gone.parts:
        build = _without(build, part)
    return build


def no_module(build: Build, catalog: Catalog, rng: random.Random) -> Build | None:
    """A unit's modules are neither fitted nor ordered; what they served moves into the chassis."""
    unit = rng.choice(build.units)
    if not unit.modules:
        return None
    group = rng.choice(catalog.unit_types[unit.unit_type].ports)
    uses = tuple(u if u.slot is None else u.model_copy(update=dict(slot=None, group=group.id)) for u in unit.uses)
    build = _with_unit(build, unit.model_copy(update=dict(modules=(), uses=uses)))
    for fitted in unit.modules:
        build = _without(build, fitted.module)
    return build


def one_unit_less(build: Build, catalog: Catalog, _rng: random.Random) -> Build | None:
    """The last unit goes; what it served takes the free ports of the others, as far as there are any."""
    if len(build.units) < 2:
        return None
    *kept, last = build.units
    homeless = list(last.uses)
    units = []
    for unit in kept:
        taken, more = {(use.slot, use.group, use.port) for use in unit.uses}, []
        for group in catalog.unit_types[unit.unit_type].ports:
            free = [n for n in range(1, group.count + 1) if (None, group.id, n) not in taken]
            for port in free if group.id != unit.stack_group else ():
                if homeless:
                    more.append(homeless.pop().model_copy(update=dict(slot=None, group=group.id, port=port, way=None)))
        units.append(unit.model_copy(update=dict(uses=(*unit.uses, *more))))
    pairs = [{one.position, other.position} for one, other in pairwise(units)]
    links = tuple(link for link in build.links if {link.from_unit, link.to_unit} in pairs)
    topology = build.topology if len(units) > 1 else None
    return build.model_copy(update=dict(units=tuple(units), links=links, topology=topology))


CHANGES: tuple[Change, ...] = (
    other_supply,
    one_supply_less,
    other_box,
    other_type,
    moved_device,
    swapped_devices,
    other_plug,
    other_stack_cable,
    one_link_less,
    no_module,
    one_unit_less,
)
