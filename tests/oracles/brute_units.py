"""Every unit that tiny worlds allow: bodies (supplies, cords, trays, modules) and what their ports serve.

Pruned with the rules' own checks on one-unit builds, and only by rules whose sentence speaks of one
unit by itself: what such a rule finds wrong with a unit is wrong in every stack.  Power rules are
used before ports are filled, too: what is served only adds to the load.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations_with_replacement, product
from typing import Any, Literal

from configurator.build import Build, BuiltUnit, FarEnd, FittedModule, FittedSupply, PortUse, SplitPort
from configurator.catalog import Catalog
from configurator.demand import Devices, Uplinks
from configurator.parts import Cable, FibreCable, Module, Optic, PortGroup, UnitType
from configurator.rule import Rule
from configurator.setting import Ask

SUPPLIES = ("power.supply_fits", "power.supply_mix", "power.input_voltage", "power.circuit", "power.cord",
            "airflow.one_direction", "airflow.as_asked")  # fmt: skip
POWER = ("power.supplies_cover_load", "power.derating", "power.supply_loss", "power.feed_loss")
BODY = (*SUPPLIES, "power.fan_trays", "modules.fits", *POWER)
ONE_PORT = ("ports.once", "ports.roles", "ports.speed", "ports.connector", "ports.poe_class", "modules.matrix",
            "modules.optic_power", "modules.reach", "modules.far_end", "modules.single_fibre", "modules.both_ends",
            "modules.split", "twinax.length", "twinax.passive")  # fmt: skip
LOADED = ("ports.once", "ports.roles", "ports.shared", "ports.block", "power.poe_budget", *POWER)

Key = tuple[str, bool]  # statement, and whether the port is powered


@dataclass(frozen=True)
class Serving:
    """One port in use: a whole one, or a split one with what its ways serve."""

    plug: str | None
    serves: tuple[Key, ...]
    split: tuple[str, ...] = ()
    far: str | None = None  # optic ordered for the far end


@dataclass(frozen=True)
class Loaded:
    """A unit without its box, what it serves, and the parts in it."""

    unit: BuiltUnit
    served: tuple[Key, ...]
    far_ends: tuple[FarEnd, ...]

    @property
    def stacking(self) -> tuple[object, ...]:
        """What rules about the whole stack see of it, besides what it serves."""
        unit = self.unit
        return (unit.unit_type, unit.stack_slot, unit.stack_group, unit.adapters)

    @cached_property
    def needs(self) -> Counter[str]:
        """Every part that must come from somewhere for this unit."""
        unit = self.unit
        parts = Counter(s.supply for s in unit.supplies if s.bay)
        parts.update(s.cord for s in unit.supplies if s.cord)
        parts.update(unit.fan_trays)
        parts.update(m.module for m in unit.modules)
        parts.update(unit.adapters)
        parts.update(part for split in unit.splits for part in split.parts)
        parts.update(use.plug for use in unit.uses if use.plug and use.way is None)
        parts.update(end.part for end in self.far_ends)
        return parts


class Judge:
    """The rules' checks, by id."""

    def __init__(self, rules: Sequence[Rule], ask: Ask, catalog: Catalog) -> None:
        self.ask, self.catalog = ask, catalog
        self.rules = {rule.id: rule for rule in rules if rule.applies(catalog)}

    def accepts(self, build: Build, ids: Sequence[str] | None = None) -> bool:
        """Whether the named rules (all, if none are named) find nothing wrong."""
        rules = self.rules.values() if ids is None else [self.rules[i] for i in ids if i in self.rules]
        return not any(True for rule in rules for _ in rule.check(build, self.ask, self.catalog))

    def accepts_unit(self, unit: BuiltUnit, ids: Sequence[str], far_ends: tuple[FarEnd, ...] = ()) -> bool:
        """The same for a unit by itself."""
        return self.accepts(Build(stack="-", units=(unit,), far_ends=far_ends), ids)


def totals(judge: Judge) -> Counter[Key]:
    """The fewest ports, and of these powered ones, with which nothing asked for is missing."""
    out: Counter[Key] = Counter()
    for name in ("ports", "devices", "uplinks"):
        for index, said in enumerate(getattr(judge.ask.stack, name)):
            key, alone = f"{name}[{index}]", Stub(judge, name, said)
            total = next(n for n in range(1000) if alone.enough(n, n))
            powered = next(p for p in range(total + 1) if alone.enough(total, p))
            if powered:
                out[key, True] = powered
            if total > powered:
                out[key, False] = total - powered
    return out


class Stub:
    """A demand with one statement alone."""

    def __init__(self, judge: Judge, name: str, said: Any) -> None:
        empty: dict[str, Any] = dict(ports=(), devices=(), uplinks=())
        stack = judge.ask.stack.model_copy(update={**empty, name: (said,)})
        self.judge = Judge(list(judge.rules.values()), replace(judge.ask, stack=stack), judge.catalog)
        self.key, self.mbps = f"{name}[0]", said.speed_mbps

    def enough(self, count: int, powered: int) -> bool:
        """Whether so many ports, so many of them powered, are enough for it."""
        uses = tuple(
            PortUse(group="-", port=n + 1, statement=self.key, speed_mbps=self.mbps, powered=n < powered)
            for n in range(count)
        )
        unit = BuiltUnit(position=1, unit_type="-", box="-", uses=uses)
        return self.judge.accepts_unit(unit, ("ports.all_served", "ports.headroom"))


def bodies(judge: Judge) -> Iterator[BuiltUnit]:
    """Every unit with nothing in its ports yet, for stacks (one for each stacking group) and alone."""
    parts = judge.catalog.parts
    for unit_type in parts.unit_types:
        for supplies in _supply_sets(judge, unit_type):
            most = max(unit_type.fan_bays.by_supplies, default=0) if unit_type.fan_bays else 0
            for trays in _multisets([tray.id for tray in parts.fan_trays], most):
                for modules in _module_sets(judge.catalog, unit_type):
                    body = BuiltUnit(position=1, unit_type=unit_type.id, box="-", supplies=supplies,
                                     fan_trays=trays, modules=modules)  # fmt: skip
                    if judge.accepts_unit(body, BODY):
                        yield from _stacked(judge.catalog, body)


def _stacked(catalog: Catalog, body: BuiltUnit) -> Iterator[BuiltUnit]:
    """The body alone, and through each group that stacks, with and without each adapter."""
    yield body
    adapters = [[(), (a.id,) * a.count] for a in catalog.parts.stack_adapters]
    for slot, group in groups_of(catalog, body):
        if "stack" in group.roles:
            for chosen in product(*adapters):
                fitted = tuple(part for several in chosen for part in several)
                yield body.model_copy(update=dict(stack_slot=slot, stack_group=group.id, adapters=fitted,
                                                  stack_ports=tuple(range(1, group.count + 1))))  # fmt: skip


def groups_of(catalog: Catalog, unit: BuiltUnit) -> list[tuple[str | None, PortGroup]]:
    """Port groups of the chassis and of its modules."""
    chassis = [(None, group) for group in catalog.unit_types[unit.unit_type].ports]
    return [*chassis, *((m.slot, g) for m in unit.modules for g in catalog.get(m.module, Module).ports)]


def _supply_sets(judge: Judge, unit_type: UnitType) -> Iterator[tuple[FittedSupply, ...]]:
    """Supplies in bays, each with every cord and on every feed; bays are alike."""
    parts = judge.catalog.parts
    feeds: tuple[Literal["A", "B"] | None, ...] = ("A", "B") if judge.ask.setting.on_feed_loss != "stops" else (None,)
    choices = list(product([s.id for s in parts.supplies], [None, *(c.id for c in parts.cords)], feeds))
    built_in = [unit_type.built_in_supply] if unit_type.built_in_supply else []
    for fixed in product(*([c for c in choices if c[0] == name] for name in built_in)):
        for chosen in _multisets(choices, unit_type.supply_bays.count if unit_type.supply_bays else 0):
            held = [*((0, c) for c in fixed), *((bay, c) for bay, c in enumerate(chosen, 1))]
            supplies = tuple(FittedSupply(bay=bay, supply=s, cord=c, feed=f) for bay, (s, c, f) in held)
            if judge.accepts_unit(BuiltUnit(position=1, unit_type=unit_type.id, box="-", supplies=supplies), SUPPLIES):
                yield supplies


def _module_sets(catalog: Catalog, unit_type: UnitType) -> Iterator[tuple[FittedModule, ...]]:
    slots = [[None, *catalog.parts.modules] for _ in unit_type.module_slots]
    for chosen in product(*slots):
        pairs = zip(unit_type.module_slots, chosen, strict=True)
        yield tuple(FittedModule(slot=slot.id, module=module.id) for slot, module in pairs if module is not None)


def _multisets(choices: Sequence[Any], most: int) -> Iterator[tuple[Any, ...]]:
    for count in range(most + 1):
        yield from combinations_with_replacement(choices, count)


def loads(judge: Judge, body: BuiltUnit, asked: Counter[Key]) -> Iterator[Loaded]:
    """The body with every filling of its ports; ports of a group without blocks are alike."""
    places = [
        (slot, group, _servings(judge, body, slot, group, asked))
        for slot, group in groups_of(judge.catalog, body)
        if (slot, group.id) != (body.stack_slot, body.stack_group)
    ]
    seen: set[object] = set()
    for filled in _fill(places, asked):
        unit, far_ends = _placed(judge.ask, body, filled)
        served = tuple(sorted(key for _, _, serving in filled for key in serving.serves))
        found = Loaded(unit, served, far_ends)
        # where on the unit something stands matters only to rules about one unit, which are checked here
        mark = (served, tuple(sorted(found.needs.items())), far_ends)
        if mark not in seen and judge.accepts_unit(unit, LOADED):
            seen.add(mark)
            yield found


Filled = list[tuple[str | None, PortGroup, Serving]]


def _fill(places: Sequence[tuple[str | None, PortGroup, list[Serving]]], left: Counter[Key]) -> Iterator[Filled]:
    """Every choice of servings, group by group, that serves no more than what is left."""
    if not places:
        yield []
        return
    (slot, group, servings), *rest = places
    pick: Callable[..., Iterator[tuple[Serving, ...]]] = combinations_with_replacement if group.block == 1 else _ordered
    for count in range(group.count + 1):
        for chosen in pick(servings, count):
            used = Counter(key for serving in chosen for key in serving.serves)
            if all(used[key] <= left[key] for key in used):
                for more in _fill(rest, left - used):
                    yield [*((slot, group, serving) for serving in chosen), *more]


def _ordered(servings: Sequence[Serving], count: int) -> Iterator[tuple[Serving, ...]]:
    return product(servings, repeat=count)


def _servings(judge: Judge, body: BuiltUnit, slot: str | None, group: PortGroup, asked: Counter[Key]) -> list[Serving]:
    """What one port of the group may serve, each tried on the first port alone."""
    parts = judge.catalog.parts
    plugs: list[str | None] = [None, *(o.id for o in parts.optics), *(c.id for c in parts.cables)]
    heads: list[tuple[str, ...]] = [(c.id,) for c in parts.cables if c.ways > 1]
    heads += [(o.id, f.id) for o in parts.optics for f in parts.fibre_cables if f.ways > 1]
    options = [Serving(plug, (key,), (), far) for plug in plugs for key in asked for far in _fars(judge, key, plug)]
    for head in heads:
        fan = judge.catalog.by_id[head[-1]]
        ways = fan.ways if isinstance(fan, Cable | FibreCable) else 1
        options += [
            Serving(None, keys, head)
            for count in range(1, ways + 1)
            for keys in combinations_with_replacement(sorted(asked), count)
        ]
    out = []
    for option in options:
        unit, far_ends = _placed(judge.ask, body, [(slot, group, option)])
        if judge.accepts_unit(unit, ONE_PORT, far_ends):
            out.append(option)
    return out


def _fars(judge: Judge, key: Key, plug: str | None) -> list[str | None]:
    """No optic for the far end, or any."""
    said = _said(judge.ask, key)
    both = isinstance(said, Uplinks) and said.ends == "both" and isinstance(judge.catalog.by_id.get(plug or ""), Optic)
    return [optic.id for optic in judge.catalog.parts.optics] if both else [None]


def _said(ask: Ask, key: Key) -> Devices | Uplinks | Any:
    name, _, index = key[0].partition("[")
    return getattr(ask.stack, name)[int(index[:-1])]


def _placed(ask: Ask, body: BuiltUnit, filled: Filled) -> tuple[BuiltUnit, tuple[FarEnd, ...]]:
    """The body with these servings on the first free ports of their groups."""
    uses, splits, fars = [], [], []
    taken: Counter[tuple[str | None, str]] = Counter()
    for slot, group, serving in filled:
        taken[slot, group.id] += 1
        port = taken[slot, group.id]
        if serving.split:
            splits.append(SplitPort(slot=slot, group=group.id, port=port, parts=serving.split))
        for number, key in enumerate(serving.serves, 1):
            plug = serving.split[0] if serving.split else serving.plug
            uses.append(
                PortUse(
                    slot=slot,
                    group=group.id,
                    port=port,
                    way=number if serving.split else None,
                    statement=key[0],
                    speed_mbps=_said(ask, key).speed_mbps,
                    powered=key[1],
                    plug=plug,
                )
            )
        if serving.far is not None:
            fars.append(FarEnd(statement=serving.serves[0][0], part=serving.far, count=1))
    return body.model_copy(update=dict(uses=tuple(uses), splits=tuple(splits))), tuple(fars)
