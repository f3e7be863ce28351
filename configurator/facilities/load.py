"""What the units of a build draw and feed, in watts, for people to read.

The rules and their checks work this out for themselves; nothing here decides anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from configurator.build import BuiltUnit, PortUse
from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.kinds import said_by
from configurator.parts import Cable, Module, Optic, PortGroup, Supply, UnitType
from configurator.setting import Ask

NONE_W = Decimal(0)


@dataclass(frozen=True)
class Load:
    """What one unit draws, by what draws it."""

    base_w: Decimal
    modules_w: Decimal
    stacking_w: Decimal
    plugs_w: Decimal  # optics and cable ends in its ports
    poe_w: Decimal  # reserved at its ports

    @property
    def own_w(self) -> Decimal:
        """Everything but what leaves on the devices' cables."""
        return self.base_w + self.modules_w + self.stacking_w + self.plugs_w

    @property
    def all_w(self) -> Decimal:
        """Everything that its supplies deliver."""
        return self.own_w + self.poe_w


@dataclass(frozen=True)
class Source:
    """What some supplies of a unit give: watts altogether, and what PoE is capped at."""

    output_w: Decimal
    poe_budget_w: Decimal | None  # none: PoE is only limited by the supplies
    poe_from_output: bool  # whether PoE is taken from the output; a PoE table has its own sum

    def left_w(self, load: Load) -> Decimal:
        """Output that nothing uses; negative where it is short."""
        return self.output_w - (load.all_w if self.poe_from_output else load.own_w)

    def poe_left_w(self, load: Load) -> Decimal:
        """PoE that could be fed besides."""
        left_w = self.left_w(load) if self.poe_from_output else None
        cap_w = None if self.poe_budget_w is None else self.poe_budget_w - load.poe_w
        return min(watts for watts in (left_w, cap_w) if watts is not None)

    def carries_w(self, load: Load) -> Decimal:
        """What it delivers of a load: all of it, or as much as it can."""
        if self.poe_from_output:
            return min(load.all_w, self.output_w)
        return min(load.own_w, self.output_w) + min(load.poe_w, self.poe_budget_w or NONE_W)


def group_in(unit: BuiltUnit, slot: str | None, group: str, catalog: Catalog) -> PortGroup:
    """The port group of a unit's chassis, or of the module in one of its slots."""
    ports: Iterable[PortGroup] = catalog.unit_types[unit.unit_type].ports
    if slot is not None:
        module = next(fitted.module for fitted in unit.modules if fitted.slot == slot)
        ports = catalog.get(module, Module).ports
    return next(found for found in ports if found.id == group)


def load_of(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> Load:
    """What one unit draws with everything asked for in use at once."""
    said = dict(said_by(ask))
    stacking_w = NONE_W
    if unit.stack_group is not None:
        group = group_in(unit, unit.stack_slot, unit.stack_group, catalog)
        stacking_w = group.stack_reserve_w * len(unit.stack_ports)
    plugged = [use.plug for use in unit.uses if use.way is None] + [p for s in unit.splits for p in s.parts]
    return Load(
        base_w=catalog.unit_types[unit.unit_type].base_draw_w,
        modules_w=sum((catalog.get(m.module, Module).draw_w for m in unit.modules), NONE_W),
        stacking_w=stacking_w,
        plugs_w=sum((plug_w(part, catalog) for part in plugged), NONE_W),
        poe_w=sum((_reserve_w(use, said, catalog) for use in unit.uses), NONE_W),
    )


def source_of(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> Source:
    """What all supplies of a unit give."""
    return source_of_some(supplies_of(unit, catalog), unit, ask, catalog)


def source_less_one(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> Source | None:
    """What is left when the supply fails that hurts most; none where it has one supply only."""
    supplies = supplies_of(unit, catalog)
    if len(supplies) < 2:
        return None
    rest = [source_of_some(supplies[:i] + supplies[i + 1 :], unit, ask, catalog) for i in range(len(supplies))]
    budgets = [source.poe_budget_w for source in rest if source.poe_budget_w is not None]
    return Source(min(s.output_w for s in rest), min(budgets) if budgets else None, rest[0].poe_from_output)


def supplies_of(unit: BuiltUnit, catalog: Catalog) -> tuple[Supply, ...]:
    """The supplies in a unit, by bay."""
    return tuple(catalog.get(s.supply, Supply) for s in sorted(unit.supplies, key=lambda fitted: fitted.bay))


def output_w(supply: Supply, input_v: int | None) -> Decimal:
    """A supply's output at this input voltage; its smallest where nobody said which."""
    outputs = [o.output_w for o in supply.outputs if input_v is None or o.from_v <= input_v <= o.to_v]
    return min(outputs, default=NONE_W)


def source_of_some(supplies: tuple[Supply, ...], unit: BuiltUnit, ask: Ask, catalog: Catalog) -> Source:
    """What these of a unit's supplies give."""
    unit_type, input_v = catalog.unit_types[unit.unit_type], ask.setting.input_v
    return Source(
        sum((output_w(supply, input_v) for supply in supplies), NONE_W),
        _poe_budget_w(supplies, unit_type, input_v),
        poe_from_output=not unit_type.poe_table,
    )


def _poe_budget_w(supplies: tuple[Supply, ...], unit_type: UnitType, input_v: int | None) -> Decimal | None:
    """The chassis' cap, or the row of its PoE table for exactly these supplies."""
    if not unit_type.poe_table:
        return unit_type.poe_cap_w
    have = sorted(supply.id for supply in supplies)
    rows = [
        row.poe_w
        for row in unit_type.poe_table
        if sorted(row.supplies) == have and (input_v is None or (row.from_v or 0) <= input_v <= (row.to_v or input_v))
    ]
    row_w = min(rows, default=NONE_W)
    return row_w if unit_type.poe_cap_w is None else min(row_w, unit_type.poe_cap_w)


def plug_w(part: str | None, catalog: Catalog) -> Decimal:
    """What an optic or the end of a cable draws from the unit it is in."""
    found = None if part is None else catalog.by_id.get(part)
    return found.draw_w if isinstance(found, Optic | Cable) else NONE_W


def _reserve_w(use: PortUse, said: dict[str, AccessPorts | Devices | Uplinks], catalog: Catalog) -> Decimal:
    """PoE that a port keeps for what it feeds."""
    what = said.get(use.statement)
    return reserve_w(what, catalog) if use.powered and what is not None else NONE_W


def reserve_w(what: AccessPorts | Devices | Uplinks, catalog: Catalog) -> Decimal:
    """PoE that a port keeps for one of these, powered."""
    if isinstance(what, Uplinks):
        return NONE_W
    if isinstance(what, Devices):
        if what.port_w is not None:
            return what.port_w
        if what.device_w is not None:
            return port_w_for(what.device_w, what.cable_m, catalog)
    poe_class = what.poe_class if isinstance(what, Devices) else what.powered_at_class
    return NONE_W if poe_class is None else catalog.poe_classes[poe_class].port_w


def port_w_for(device_w: Decimal, cable_m: Decimal, catalog: Catalog) -> Decimal:
    """Watts at the port, in tenths, so that the device gets its own after what the cable loses.

    A port at v volts that gives p watts sends p/v amps through r ohms: p - (p/v)^2 r arrives.
    Volts and ohms are those of the lowest class that is enough.
    """
    for row in sorted(catalog.poe_classes.values(), key=lambda row: (row.port_w, row.poe_class)):
        loop_ohm = row.loop_ohm * cable_m / 100
        for tenths in range(int(device_w * 10), int(row.port_w * 10) + 1):
            watts = Decimal(tenths) / 10
            if (watts - device_w) * row.port_min_v**2 >= watts**2 * loop_ohm:  # by v squared: nothing is rounded
                return watts
    return device_w  # more than any class gives: no port can feed it, and no build has it
