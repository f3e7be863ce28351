"""Spare ports: how many more network ports of a build could be in use, whatever would be plugged in.

Of each unit, the most ports of its chassis and modules that can be in the role network at once, less
those in use.  Ports that stack or are split are in use; so a split port's ways are none, used or not.
Of groups that share their innards only so many count as work at once, and of roles that exclude each
other only one side: that in use, or else the larger.  (Where groups share with several others, ports
in use may keep more ports out than they are themselves; that is not looked at.)
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.engine.solver import IntegerModel, solve
from configurator.facilities.load import group_in
from configurator.fields import Role
from configurator.fitout import Fitout
from configurator.parts import Module, PortGroup, UnitType

Place = tuple[str | None, str]  # slot (none: chassis) and group


@dataclass(frozen=True)
class Doing:
    """What the ports of one unit do: those that stack or are split, and groups of which some are plain and in use."""

    unit_type: UnitType
    modules: tuple[tuple[str, Module], ...]
    stacking: tuple[tuple[Place, int], ...]
    split: tuple[tuple[Place, int], ...]
    network: frozenset[str]  # ids of groups

    def groups(self) -> Iterator[tuple[Place, PortGroup]]:
        """All port groups, by place."""
        for group in self.unit_type.ports:
            yield (None, group.id), group
        for slot, module in self.modules:
            for group in module.ports:
                yield (slot, group.id), group

    def taken(self) -> Iterator[tuple[str, Role]]:
        """Roles that groups are in already."""
        yield from ((group, "stack") for (_, group), _ in self.stacking)
        yield from ((group, "split") for (_, group), _ in self.split)
        yield from ((group, "network") for group in self.network)


def spare_ports(build: Build, catalog: Catalog) -> int:
    """How many more network ports of a build could be in use."""
    used = sum(len({(use.slot, use.group, use.port) for use in unit.uses if use.way is None}) for unit in build.units)
    return sum(most_ports(_of_unit(unit, catalog)) for unit in build.units) - used


def counting(catalog: Catalog) -> Callable[[Fitout], int]:
    """The most network ports that a fit-out can have in use at once, each distinct one worked out once."""
    known: dict[object, int] = {}

    def most(fitout: Fitout) -> int:
        doing = _of_fitout(fitout, catalog)
        modules = tuple((slot, module.id) for slot, module in doing.modules)
        key = (doing.unit_type.id, modules, doing.stacking, doing.split, doing.network)
        if key not in known:
            known[key] = most_ports(doing)
        return known[key]

    return most


def most_ports(doing: Doing) -> int:
    """The most plain network ports that a unit can have in use at once."""
    unit, busy = doing.unit_type, Counter(dict(doing.stacking)) + Counter(dict(doing.split))
    free = {place: group.count - busy[place] for place, group in doing.groups() if "network" in group.roles}
    if not unit.shared_ports and not unit.excludes:
        return sum(free.values())
    model = IntegerModel()
    ports = {place: model.variable(0, count) for place, count in free.items()}
    on = {name: model.variable(int(name in doing.network), 1) for name in sorted({name for _, name in free})}
    for place, var in ports.items():
        model.at_most([(var, 1), (on[place[1]], -free[place])], 0)
    for shared in unit.shared_ports:
        rest = shared.at_most - sum(count for (_, name), count in busy.items() if name in shared.groups)
        model.at_most([(var, 1) for (_, name), var in ports.items() if name in shared.groups], rest)
    taken = {one for one in doing.taken() if one[1] != "network"}
    for pair in unit.excludes:
        open_ones = [on[one.group] for one in pair if one.role == "network" and one.group in on]
        held = sum((one.group, one.role) in taken for one in pair)
        if len(open_ones) + held == len(pair) and open_ones:
            model.at_most([(var, 1) for var in open_ones], 1 - held)
    model.objective = dict.fromkeys(ports.values(), -1)
    outcome = solve(model)
    return -outcome.objective if outcome.status == "optimal" else 0


def _of_unit(unit: BuiltUnit, catalog: Catalog) -> Doing:
    stacking = (((unit.stack_slot, unit.stack_group), len(unit.stack_ports)),) if unit.stack_group is not None else ()
    split = Counter((one.slot, one.group) for one in unit.splits)
    plain = {use.group for use in unit.uses if use.way is None}
    return Doing(
        catalog.unit_types[unit.unit_type],
        tuple((one.slot, catalog.get(one.module, Module)) for one in unit.modules),
        stacking,
        tuple(sorted(split.items(), key=_by_place)),
        frozenset(name for name in plain if _is_network(unit, name, catalog)),
    )


def _is_network(unit: BuiltUnit, name: str, catalog: Catalog) -> bool:
    slots = {use.slot for use in unit.uses if use.group == name}
    return any("network" in group_in(unit, slot, name, catalog).roles for slot in slots)


def _of_fitout(fitout: Fitout, catalog: Catalog) -> Doing:
    stacking: tuple[tuple[Place, int], ...] = ()
    if fitout.stack is not None:
        slot, group = fitout.stack
        stacking = (((slot, group.id), 2 * catalog.families[fitout.unit_type.family].cables_a_link),)
    split: Counter[Place] = Counter()
    for some in fitout.ports:
        if some.split is not None:
            split[some.slot, some.group.id] += some.count
    return Doing(
        fitout.unit_type,
        fitout.modules,
        stacking,
        tuple(sorted(split.items(), key=_by_place)),
        frozenset(some.group.id for some in fitout.ports if some.split is None and "network" in some.group.roles),
    )


def _by_place(item: tuple[Place, int]) -> tuple[str, str]:
    (slot, group), _ = item
    return slot or "", group
