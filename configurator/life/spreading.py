"""What the units of a stack draw, and the least that the mains give for it.

An order doesn't say which device goes into which unit.  So at each level the watts of the devices,
and of what is plugged in, count as spread over the units such that the mains give least; no unit
takes more than its supplies and its ports can give.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from configurator.build import BuiltUnit, FittedModule, FittedSupply
from configurator.catalog import Catalog
from configurator.facilities import load
from configurator.fitout import Fitout
from configurator.life.curves import Curve, curve_of
from configurator.parts import Cable, Module, Optic, PortGroup
from configurator.setting import Ask


@dataclass(frozen=True)
class Drawing:
    """One unit: its curve, what it draws itself, and how much more its ports can draw through it."""

    curve: Curve
    own_w: Fraction
    room_w: Fraction


def drawing_of(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> Drawing:
    """A unit of a build, without what is plugged into ports that serve one device."""
    drawn = load.load_of(unit.model_copy(update={"uses": ()}), ask, catalog)
    return _drawing(unit, Fraction(drawn.own_w), ask, catalog)


def drawing_of_fitout(fitout: Fitout, stack_ports: int, ask: Ask, catalog: Catalog) -> Drawing:
    """The same of a fit-out that stacks through so many ports."""
    own_w = fitout.unit_type.base_draw_w + sum((module.draw_w for _, module in fitout.modules), Decimal(0))
    if fitout.stack is not None:
        own_w += stack_ports * fitout.stack[1].stack_reserve_w
    own_w += sum((some.count * some.split.head.draw_w for some in fitout.ports if some.split), Decimal(0))
    unit = BuiltUnit(
        position=1,
        unit_type=fitout.unit_type.id,
        box="-",
        supplies=tuple(FittedSupply(bay=bay, supply=one.id) for bay, one in enumerate(fitout.supplies)),
        modules=tuple(FittedModule(slot=slot, module=module.id) for slot, module in fitout.modules),
    )
    return _drawing(unit, Fraction(own_w), ask, catalog)


def _drawing(unit: BuiltUnit, own_w: Fraction, ask: Ask, catalog: Catalog) -> Drawing:
    supplies = load.supplies_of(unit, catalog)
    outputs = [(supply, load.output_w(supply, ask.setting.input_v)) for supply in supplies]
    source = load.source_of_some(supplies, unit, ask, catalog)
    feeds_w, holds_w = _ports_w(unit, catalog)
    room_w = Fraction(holds_w + (feeds_w if source.poe_budget_w is None else min(feeds_w, source.poe_budget_w)))
    if supplies and source.poe_from_output:
        room_w = min(room_w, Fraction(source.output_w) - own_w)
    return Drawing(curve_of(outputs), own_w, max(room_w, Fraction(0)))


def _ports_w(unit: BuiltUnit, catalog: Catalog) -> tuple[Decimal, Decimal]:
    """The most that all ports of a unit could feed, and that could be drawn by what is plugged into them."""
    groups: list[PortGroup] = [*catalog.unit_types[unit.unit_type].ports]
    groups += [group for fitted in unit.modules for group in catalog.get(fitted.module, Module).ports]
    feeds_w = sum((group.count * _fed_w(group, catalog) for group in groups), Decimal(0))
    return feeds_w, sum((group.count * _plugged_w(group, catalog) for group in groups), Decimal(0))


def _fed_w(group: PortGroup, catalog: Catalog) -> Decimal:
    highest = group.poe_class
    rows = [] if highest is None else [row for row in catalog.poe_classes.values() if row.poe_class <= (highest or 3)]
    return max((row.port_w for row in rows), default=Decimal(0))


def _plugged_w(group: PortGroup, catalog: Catalog) -> Decimal:
    takes = catalog.matrix.get(group.cage, frozenset()) if group.cage is not None else frozenset()
    found = [catalog.by_id.get(part) for part in takes]
    return max((one.draw_w for one in found if isinstance(one, Optic | Cable)), default=Decimal(0))


def asked_of(build_units: Iterable[BuiltUnit], ask: Ask, catalog: Catalog) -> tuple[Fraction, Fraction]:
    """Watts of all that is plugged into the units of a build, and of all that they feed."""
    plugged_w = fed_w = Decimal(0)
    for unit in build_units:
        drawn = load.load_of(unit.model_copy(update={"splits": ()}), ask, catalog)
        plugged_w += drawn.plugs_w
        fed_w += drawn.poe_w
    return Fraction(plugged_w), Fraction(fed_w)


class NoRoom(ValueError):
    """More watts than the units can take: no checked build gets here."""


def mains_w(units: Sequence[Drawing], spread_w: Fraction) -> Fraction:
    """The least that the mains give to these units with so many watts spread over them."""
    taken = sum((unit.curve.mains_w(unit.own_w) for unit in units), Fraction(0))
    left_w = spread_w
    stretches = [stretch for unit in units for stretch in unit.curve.above(unit.own_w, unit.room_w)]
    for slope, width_w in sorted(stretches):
        put_w = min(width_w, left_w)
        taken, left_w = taken + slope * put_w, left_w - put_w
    if left_w:
        raise NoRoom(f"{float(left_w)} W more than the units can take")
    return taken


def alike(unit: Drawing, most_w: Fraction) -> Drawing:
    """The unit as far as it matters where no more than so many watts are spread."""
    return replace(unit, room_w=min(unit.room_w, most_w))
