"""An independent model: one block of variables for each unit, no columns, no weight rows.

It reads the rules' sentences anew and shares no code with the engine or with `rules`.  Two back
ends answer it (`linear`): CP-SAT, and a MIP solver.

Covered: unit types, boxes with fixed and movable contents, kits and loose parts with contents;
supplies (mixed where allowed, built in), derating and input voltage, loss of a supply and of a
feed, circuits, cords, outlets, fan trays, airflow; PoE by class and by stated watts, with the
cable's loss, caps and tables; modules; ports with roles, exclusions, shared innards, blocks of
one speed; copper and fibre access, optics, direct cables, split ports with cables or fans,
optics for both ends, spread; stacks of one and of several families, ring and chain in every
lacing, distance, adapters, stacking cables from boxes and bought; regions, withdrawn parts,
dates, currency.

Not covered (`not_covered` says so): stacking over optics and fibre, stacking through a module's
ports, a type with both bays and a built-in supply, or without any supply, fans beside a built-in
supply, PoE of modules beside PoE tables, stacks of more than 8, blocks that
don't divide their group or in a group that may stack.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from math import ceil

from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.parts import FanTray, Module, Supply, UnitType
from configurator.setting import Ask
from tests.oracles import linking, serving, supplying
from tests.oracles.block_ports import UnitPorts
from tests.oracles.linear import Answer, Linear, Term, by_cp_sat, by_mip
from tests.oracles.orders import Orders, in_order, orderable

MOST_UNITS = 8


def solve_by_cp_sat(ask: Ask, catalog: Catalog, seconds: float = 20.0, workers: int = 1) -> Answer:
    """Least price by CP-SAT."""
    model = model_of(ask, catalog)
    return Answer("impossible") if model is None else by_cp_sat(model, seconds, workers)


def solve_by_mip(ask: Ask, catalog: Catalog, seconds: float = 20.0) -> Answer:
    """Least price by the MIP solver."""
    model = model_of(ask, catalog)
    return Answer("impossible") if model is None else by_mip(model, seconds)


def not_covered(ask: Ask, catalog: Catalog) -> str | None:
    """What of a catalog or demand this model doesn't know; none: it knows all."""
    parts = catalog.parts
    if ask.setting.stack_fibre is not None or any(fan.ways == 1 for fan in parts.fibre_cables):
        return "stacking over optics and fibre"
    if any("stack" in group.roles for module in parts.modules for group in module.ports):
        return "stacking through a module"
    for unit in parts.unit_types:
        if (unit.supply_bays is None) == (unit.built_in_supply is None) or (unit.fan_bays and not unit.supply_bays):
            return f"supplies of {unit.id}"
        if limit_of(unit, catalog) > MOST_UNITS and (ask.stack.units_at_most or 99) > MOST_UNITS:
            return f"stacks of {limit_of(unit, catalog)}"
    chassis = [group for unit in parts.unit_types for group in unit.ports]
    on_modules = [group for module in parts.modules for group in module.ports]
    blocks = [group for group in (*chassis, *on_modules) if group.block > 1]
    if any(group.count % group.block or "stack" in group.roles for group in blocks):
        return "blocks that don't divide their group, or stack"
    if any(g.poe_class is not None for g in on_modules) and any(unit.poe_table for unit in parts.unit_types):
        return "PoE of modules beside PoE tables"
    return None


def limit_of(unit: UnitType, catalog: Catalog) -> int:
    """Most units of a stack with this type in it."""
    return unit.largest_stack or catalog.families[unit.family].largest_stack


def model_of(ask: Ask, catalog: Catalog) -> Linear | None:
    """The model, or none where the order itself is impossible."""
    blocks = blocks_of(ask, catalog)
    return None if blocks is None else blocks.model


def blocks_of(ask: Ask, catalog: Catalog) -> Blocks | None:
    """One stack's blocks, or none where the order itself is impossible."""
    missing = not_covered(ask, catalog)
    if missing is not None:
        raise ValueError(f"not covered: {missing}")
    if not in_order(ask, catalog) or not _bandwidth(ask, catalog):
        return None
    most = max(min(limit_of(unit, catalog), MOST_UNITS) for unit in catalog.parts.unit_types)
    shapes = list(linking.arrangements(ask, catalog, most))
    return Blocks(ask, catalog, shapes) if shapes else None


def _bandwidth(ask: Ask, catalog: Catalog) -> bool:
    """Oversubscription: it depends on the demand alone."""
    wants = serving.wants_of(ask, catalog)
    access = sum(w.count * w.said.speed_mbps for w in wants if not isinstance(w.said, Uplinks))
    uplinks = sum(w.count * w.said.speed_mbps for w in wants if isinstance(w.said, Uplinks))
    return ask.stack.oversubscription is None or access <= ask.stack.oversubscription * uplinks


@dataclass
class _Unit:
    """One unit's choices: variables by what they choose."""

    types: dict[str, int] = field(default_factory=dict)
    stacks: dict[tuple[str, str], int] = field(default_factory=dict)  # type and group
    sets: dict[supplying.Set, int] = field(default_factory=dict)
    trays: dict[str, int] = field(default_factory=dict)
    modules: dict[tuple[str, str], int] = field(default_factory=dict)  # slot and module
    needs: dict[str, list[Term]] = field(default_factory=lambda: defaultdict(list))  # part -> how many
    plugs: list[tuple[str, Term]] = field(default_factory=list)  # optics, cables: any box serves them
    far_ends: list[tuple[str, Term]] = field(default_factory=list)  # optics for the other ends of uplinks


class Blocks:
    """Builds the model of one stack."""

    def __init__(self, ask: Ask, catalog: Catalog, shapes: list[linking.Arranged]) -> None:
        self.ask, self.catalog, self.model = ask, catalog, Linear()
        self.wants = serving.wants_of(ask, catalog)
        self.shapes = {shape: self.model.variable(1) for shape in shapes}
        self.model.row([(1, v) for v in self.shapes.values()], 1, 1)
        self.types = {t.id: t for t in catalog.parts.unit_types if self._sold(t)}
        self.units = [_Unit() for _ in range(max(shape.units for shape in shapes))]
        self.ports: list[UnitPorts] = []
        for unit in self.units:
            self._chassis(unit)
            self._supplies(unit)
            self._trays(unit)
            self._cords(unit)
            self.ports.append(UnitPorts(self.model, self.wants, self.types, catalog, unit))
            self._watts(unit, self.ports[-1])
        self._like_units()
        self._stack()
        self._served()
        self._outlets()
        self.links = list(self._links())
        self.orders = Orders(self.model, ask, catalog, self.units, self.links)
        self.orders.post()

    def _sold(self, unit: UnitType) -> bool:
        asked = self.ask.setting.airflow
        blows = asked is None or unit.airflow in (None, "fanless", asked)
        return blows and any(orderable(box, self.ask, self.catalog) for box in self.catalog.boxes_of[unit.id])

    def _chassis(self, unit: _Unit) -> None:
        """Type, modules, and what it stacks through."""
        for name, unit_type in self.types.items():
            chosen = unit.types[name] = self.model.variable(1, name=name)
            for group in unit_type.ports:
                if "stack" in group.roles:
                    unit.stacks[name, group.id] = self.model.variable(1)
            for slot in unit_type.module_slots:
                for module in slot.takes:
                    if (slot.id, module) not in unit.modules:
                        unit.modules[slot.id, module] = self.model.variable(1, name=module)
                        unit.needs[module].append((1, unit.modules[slot.id, module]))
            # stacks through one group in a stack, through none alone
            through = [(1, v) for (t, _), v in unit.stacks.items() if t == name]
            self.model.row([*through, (-1, chosen)], high=0)
            alone = [(1, v) for shape, v in self.shapes.items() if shape.units == 1]
            self.model.row([*through, (-1, chosen), *alone], low=0)
            for adapter in self.catalog.parts.stack_adapters:
                if name in adapter.unit_types:
                    unit.needs[adapter.id] += [(adapter.count * c, v) for c, v in through]
        self.model.row([(1, v) for v in unit.types.values()], high=1)
        slots = {held for held, _ in unit.modules}
        for name in sorted(slots):
            holds = [(1, v) for (s, _), v in unit.modules.items() if s == name]
            self.model.row(holds, high=1)
            must = [t for t, u in self.types.items() if any(s.required and s.id == name for s in u.module_slots)]
            self.model.row([*holds, *((-1, unit.types[t]) for t in must)], low=0)
        for (name, module), v in unit.modules.items():
            takes = [
                t for t, u in self.types.items() if any(s.id == name and module in s.takes for s in u.module_slots)
            ]
            self.model.row([(1, v), *((-1, unit.types[t]) for t in takes)], high=0)

    def _supplies(self, unit: _Unit) -> None:
        """One set of supplies, that the type takes and that blows its way."""
        takes: dict[supplying.Set, list[str]] = defaultdict(list)
        for name, unit_type in self.types.items():
            for chosen in supplying.sets_of(unit_type):
                ways = supplying.directions_of(chosen, self.catalog)
                own = {unit_type.airflow} & {"front-to-back", "back-to-front"}
                if supplying.works(chosen, self.ask, self.catalog) and len(ways | own) <= 1:
                    takes[chosen].append(name)
        for chosen, names in takes.items():
            v = unit.sets[chosen] = self.model.variable(1, name="+".join(chosen.supplies))
            self.model.row([(1, v), *((-1, unit.types[t]) for t in names)], high=0)
            if not chosen.built_in:
                for supply in chosen.supplies:
                    unit.needs[supply].append((1, v))
        every = [(1, v) for v in unit.sets.values()]
        self.model.row([*every, *((-1, v) for v in unit.types.values())], 0, 0)

    def _trays(self, unit: _Unit) -> None:
        """As many trays as the supplies need, all of one part, blowing the supplies' way."""
        with_bays = {t: u.fan_bays for t, u in self.types.items() if u.fan_bays is not None}
        for tray in sorted({tray for bays in with_bays.values() for tray in bays.takes}):
            way = self.catalog.get(tray, FanTray).airflow
            if self.ask.setting.airflow not in (None, way):
                continue
            v = unit.trays[tray] = self.model.variable(1, name=tray)
            takes = [t for t, bays in with_bays.items() if tray in bays.takes and self.types[t].airflow in (None, way)]
            self.model.row([(1, v), *((-1, unit.types[t]) for t in takes)], high=0)
            for chosen, s in unit.sets.items():
                if supplying.directions_of(chosen, self.catalog) - {way}:
                    self.model.row([(1, v), (1, s)], high=1)
            number = self.model.variable(max(max(bays.by_supplies) for bays in with_bays.values()))
            unit.needs[tray].append((1, number))
            for t in takes:
                for count in {len(c.supplies) for c in unit.sets}:
                    by = with_bays[t].by_supplies
                    trays = by[min(count, len(by)) - 1]
                    sets = [(-trays, s) for c, s in unit.sets.items() if len(c.supplies) == count]
                    self.model.row([(1, number), (-trays, v), (-trays, unit.types[t]), *sets], low=-2 * trays)
        every = [(1, v) for v in unit.trays.values()]
        self.model.row([*every, *((-1, unit.types[t]) for t in with_bays)], 0, 0)

    def _cords(self, unit: _Unit) -> None:
        """A cord for every inlet, where the catalog has cords at all."""
        if not self.catalog.parts.cords:
            return
        inlets: dict[frozenset[str], list[Term]] = defaultdict(list)
        for chosen, v in unit.sets.items():
            for name in chosen.supplies:
                supply = self.catalog.get(name, Supply)
                if supply.inlet is not None:
                    inlets[supplying.cords_for(supply, self.ask, self.catalog)].append((-1, v))
        for cords, terms in inlets.items():
            chosen_cords = [(1, self.model.variable(8, name=cord)) for cord in sorted(cords)]
            self.model.row([*chosen_cords, *terms], 0, 0)
            for cord, term in zip(sorted(cords), chosen_cords, strict=True):
                unit.needs[cord].append(term)

    def _watts(self, unit: _Unit, ports: UnitPorts) -> None:
        """Supplies cover the load, also after the losses asked; PoE within cap and table."""
        own: list[Term] = [(ceil(self.types[t].base_draw_w * 10), v) for t, v in unit.types.items()]
        own += [(ceil(self.catalog.get(m, Module).draw_w * 10), v) for (_, m), v in unit.modules.items()]
        for (t, name), v in unit.stacks.items():
            group = next(g for g in self.types[t].ports if g.id == name)
            own.append((ceil(group.stack_reserve_w * 10) * group.count, v))
        own += ports.plug_draws
        whole, best = own + ports.poe_of_supplies, []
        for chosen, v in unit.sets.items():
            ways = supplying.covers(chosen, self.ask, self.catalog)
            picks = [(w, self.model.variable(1)) for w in ways] if len(ways) > 1 else [(ways[0], v)]
            if len(ways) > 1:
                self.model.row([*((1, p) for _, p in picks), (-1, v)], 0, 0)
            best += picks
        self.model.row([*whole, *((-w.all_dw, p) for w, p in best)], high=0)
        self.model.row([*own, *((-w.own_dw, p) for w, p in best)], high=0)
        poe = ports.poe_by_type
        for name, unit_type in self.types.items():
            if unit_type.poe_cap_w is not None:
                self._when(unit.types[name], ports.poe_of_all, int(unit_type.poe_cap_w * 10))
            if not unit_type.poe_table:
                continue
            for chosen, v in unit.sets.items():
                limit = supplying.table_dw(unit_type, chosen, self.ask)
                slack = max(0, self.model.most(poe[name]) - limit)
                self.model.row([*poe[name], (slack, v)], high=limit + slack)

    def _when(self, switch: int, terms: list[Term], limit: int) -> None:
        """`terms <= limit` where the switch is on."""
        slack = max(0, self.model.most(terms) - limit)
        self.model.row([*terms, (slack, switch)], high=limit + slack)

    def _like_units(self) -> None:
        """Units stand in the order of their types: the rest would be the same build again."""
        rank = {name: len(self.types) - index for index, name in enumerate(self.types)}
        for one, other in zip(self.units, self.units[1:], strict=False):
            here = [(rank[t], v) for t, v in one.types.items()]
            self.model.row([*here, *((-rank[t], v) for t, v in other.types.items())], low=0)

    def _stack(self) -> None:
        """The shape's number of units, families, and what each stacks through."""
        used = [(1, v) for unit in self.units for v in unit.types.values()]
        self.model.row([*used, *((-s.units, v) for s, v in self.shapes.items())], 0, 0)
        for shape, v in self.shapes.items():
            for family in shape.families:
                there = [(1, u.types[t]) for u in self.units for t in self.types if self.types[t].family == family]
                self.model.row([*there, (-1, v)], low=0)
        for unit in self.units:
            for name, v in unit.types.items():
                unit_type = self.types[name]
                unfit = [
                    (1, s)
                    for shape, s in self.shapes.items()
                    if shape.units > limit_of(unit_type, self.catalog)
                    or (shape.families and unit_type.family not in shape.families)
                ]
                self.model.row([(1, v), *unfit], high=1)
            for (name, group_id), v in unit.stacks.items():
                group = next(g for g in self.types[name].ports if g.id == group_id)
                unfit = [(1, s) for shape, s in self.shapes.items() if not shape.stacks_through(group)]
                self.model.row([(1, v), *unfit], high=1)

    def _served(self) -> None:
        """Everything asked for is served, and uplinks are on as many units as asked."""
        for index, want in enumerate(self.wants):
            self.model.row([(1, v) for ports in self.ports for v in ports.serving[index]], want.count, want.count)
            if isinstance(want.said, Uplinks) and want.said.spread_over_units > 1:
                on = []
                for ports in self.ports:
                    has = self.model.variable(1)
                    self.model.row([*((1, v) for v in ports.serving[index]), (-1, has)], low=0)
                    on.append((1, has))
                self.model.row(on, low=want.said.spread_over_units)

    def _outlets(self) -> None:
        """No more plugs than outlets."""
        if self.ask.outlets is None:
            return
        free: dict[str, int] = defaultdict(int)
        for outlets in self.ask.outlets:
            free[outlets.plug] += outlets.count
        for plug in {cord.plug for cord in self.catalog.parts.cords}:
            cords = [cord.id for cord in self.catalog.parts.cords if cord.plug == plug]
            self.model.row([term for unit in self.units for c in cords for term in unit.needs[c]], high=free[plug])

    def in_service(self, name: str, *, unit_type: bool = False) -> list[Term]:
        """How many of a part the stack runs on, or how many units of a type; far ends are not its own."""
        if unit_type:
            return [(1, unit.types[name]) for unit in self.units if name in unit.types]
        plugs = [one for unit in self.units for one in unit.plugs]
        inside = [term for unit in self.units for term in unit.needs.get(name, [])]
        return [*inside, *(term for part, term in (*plugs, *self.links) if part == name)]

    def _links(self) -> Iterator[tuple[str, Term]]:
        """Stacking cables: of each set of admissible ones as many as the shape takes."""
        takes: dict[frozenset[str], list[Term]] = defaultdict(list)
        for shape, v in self.shapes.items():
            for cables, count in shape.cables:
                takes[cables].append((-count, v))
        for cables, terms in takes.items():
            chosen = [(1, self.model.variable(64, name=cable)) for cable in sorted(cables)]
            self.model.row([*chosen, *terms], 0, 0)
            yield from zip(sorted(cables), chosen, strict=True)
