"""The ports of one unit's block: which serve what, with which plugs, drawing how much."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil
from typing import Protocol

from configurator.catalog import Catalog
from configurator.parts import Cable, Module, Optic, PortGroup, UnitType
from tests.oracles.linear import Linear, Term
from tests.oracles.serving import Head, Want, far_end_of, heads_for, plugs_for

Plug = Optic | Cable | None


class Block(Protocol):
    """A unit's variables, as far as ports look at them."""

    types: dict[str, int]
    stacks: dict[tuple[str, str], int]
    modules: dict[tuple[str, str], int]
    plugs: list[tuple[str, Term]]
    far_ends: list[tuple[str, Term]]


@dataclass
class _Cell:
    """Ports that serve alike: of several types together, where nothing tells them apart."""

    plain: list[tuple[int, Plug]]  # want and plug
    heads: list[tuple[Head, tuple[int, ...]]]  # what splits a port, and the wants it serves
    room: list[Term] = field(default_factory=list)
    owners: set[tuple[str | None, str, PortGroup]] = field(default_factory=set)  # slot, type or module, group

    @property
    def most(self) -> int:
        """The most ports that one owner has of these."""
        counts = Counter[tuple[str | None, str]]()
        for slot, owner, group in self.owners:
            counts[slot, owner] += group.count
        return max(counts.values())


class UnitPorts:
    """Posts one unit's port rows; the rest of the model reads the terms that it leaves."""

    def __init__(
        self, model: Linear, wants: Sequence[Want], types: Mapping[str, UnitType], catalog: Catalog, block: Block
    ) -> None:
        self.model, self.wants, self.types, self.catalog, self.block = model, wants, types, catalog, block
        self.serving: dict[int, list[int]] = defaultdict(list)  # want -> variables
        self.plug_draws: list[Term] = []
        self.poe_of_supplies: list[Term] = []  # PoE of types without a table
        self.poe_of_all: list[Term] = []
        self.poe_by_type: dict[str, list[Term]] = defaultdict(list)
        self.taken: dict[tuple[str | None, str, str], dict[str, list[Term]]] = {}  # slot, owner, group -> role -> ports
        for cell in self._cells().values():
            self._post(cell)
        for name, unit_type in types.items():
            self._exclusions(name, unit_type)

    def _cells(self) -> dict[object, _Cell]:
        """Groups that serve something, merged where they are alike."""
        cells: dict[object, _Cell] = {}
        for name, unit_type in self.types.items():
            apart = bool(unit_type.excludes or unit_type.shared_ports or unit_type.poe_table)
            for group in unit_type.ports:
                alone = apart or group.block > 1 or group.stack_reserve_w or "stack" in group.roles
                cell = self._cell(cells, group, (name, group.id) if alone else None)
                cell.room.append((group.count, self.block.types[name]))
                if (name, group.id) in self.block.stacks:  # a group that stacks does nothing else
                    cell.room.append((-group.count, self.block.stacks[name, group.id]))
                cell.owners.add((None, name, group))
        for (slot, name), v in self.block.modules.items():
            for group in self.catalog.get(name, Module).ports:
                cell = self._cell(cells, group, (slot, name, group.id))
                cell.room.append((group.count, v))
                cell.owners.add((slot, name, group))
        return cells

    def _cell(self, cells: dict[object, _Cell], group: PortGroup, apart: object) -> _Cell:
        plain = [(i, p) for i, want in enumerate(self.wants) for p in plugs_for(group, want.said, self.catalog)]
        by_head: dict[tuple[Head, int], list[int]] = defaultdict(list)
        for i, want in enumerate(self.wants):
            for head in heads_for(group, want.said, self.catalog):
                by_head[head, want.said.speed_mbps if group.block > 1 else 0].append(i)
        heads = [(head, tuple(wants)) for (head, _), wants in by_head.items()]  # in a block all ways run at one speed
        key = apart or (tuple((i, p.id if p else "") for i, p in plain), tuple(heads))
        return cells.setdefault(key, _Cell(plain, heads))

    def _post(self, cell: _Cell) -> None:
        """Variables for what the cell's ports serve, whole or split, and its room."""
        tables = {owner for slot, owner, _ in cell.owners if slot is None and self.types[owner].poe_table}
        ports: list[tuple[int, Term]] = []  # line speed and ports taken
        whole: list[Term] = []
        for index, plug in cell.plain:
            want = self.wants[index]
            v = self.model.variable(min(cell.most, want.count))
            self.serving[index].append(v)
            whole.append((1, v))
            ports.append((want.said.speed_mbps, (1, v)))
            if want.reserve_dw:
                self._poe(want.reserve_dw, v, tables)
            if plug is not None:
                self.block.plugs.append((plug.id, (1, v)))
                self.plug_draws.append((ceil(plug.draw_w * 10), v))
                far = far_end_of(plug, want.said)
                if far is not None:
                    self.block.far_ends.append((far, (1, v)))
        split = [self._split(cell, head, wants, ports) for head, wants in cell.heads]
        self.model.row([*whole, *((1, v) for v in split), *((-c, v) for c, v in cell.room)], high=0)
        self._blocks(cell, ports)
        for slot, owner, group in cell.owners:
            self.taken[slot, owner, group.id] = {"network": whole, "split": [(1, v) for v in split]}

    def _poe(self, reserve_dw: int, v: int, tables: set[str]) -> None:
        self.poe_of_all.append((reserve_dw, v))
        if not tables:
            self.poe_of_supplies.append((reserve_dw, v))
        for owner in tables:
            self.poe_by_type[owner].append((reserve_dw, v))

    def _split(self, cell: _Cell, head: Head, wants: tuple[int, ...], ports: list[tuple[int, Term]]) -> int:
        """Ports split by one head: every way serves one uplink."""
        ways_most = cell.most * head.ways
        v = self.model.variable(cell.most)
        served = [self.model.variable(min(ways_most, self.wants[i].count)) for i in wants]
        for index, way in zip(wants, served, strict=True):
            self.serving[index].append(way)
        self.model.row([*((1, way) for way in served), (-head.ways, v)], high=0)
        self.plug_draws.append((head.draw_dw, v))
        self.block.plugs += [(part, (1, v)) for part in head.parts]
        ports.append((self.wants[wants[0]].said.speed_mbps * head.ways, (1, v)))
        return v

    def _blocks(self, cell: _Cell, ports: list[tuple[int, Term]]) -> None:
        """Neighbours in a block run at one speed: whole blocks are given to a speed."""
        (_, _, group), *_ = cell.owners
        if group.block == 1:
            return
        given: list[Term] = []
        for speed in sorted({speed for speed, _ in ports}):
            blocks = self.model.variable(group.count // group.block)
            given.append((group.block, blocks))
            self.model.row([*(term for s, term in ports if s == speed), (-group.block, blocks)], high=0)
        self.model.row([*given, *((-c, v) for c, v in cell.room)], high=0)

    def _exclusions(self, name: str, unit_type: UnitType) -> None:
        """Roles that exclude each other, and groups that share their innards."""
        for one, other in unit_type.excludes:
            a, b = self._role(name, one.group, one.role), self._role(name, other.group, other.role)
            self.model.row([(1, a), (1, b), (1, self.block.types[name])], high=2)
        for shared in unit_type.shared_ports:
            terms: list[Term] = []
            for (slot, owner, group), roles in self.taken.items():
                if group in shared.groups and (slot is not None or owner == name):
                    terms += roles["network"] + roles["split"]
            for ports in unit_type.ports:
                if ports.id in shared.groups and (name, ports.id) in self.block.stacks:
                    terms.append((ports.count, self.block.stacks[name, ports.id]))
            slack = max(0, self.model.most(terms) - shared.at_most)
            self.model.row([*terms, (slack, self.block.types[name])], high=shared.at_most + slack)

    def _role(self, name: str, group: str, role: str) -> int:
        """A switch that is on where some port of the group takes the role in this type."""
        on = self.model.variable(1)
        for (slot, owner, group_id), roles in self.taken.items():
            if group_id == group and (slot is not None or owner == name) and role in roles:
                self.model.row([*roles[role], (-max(1, self.model.most(roles[role])), on)], high=0)
        if role == "stack" and (name, group) in self.block.stacks:
            self.model.row([(1, self.block.stacks[name, group]), (-1, on)], high=0)
        return on
