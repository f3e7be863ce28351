"""Watts left: what the supplies of a build could still feed with everything asked drawn.

Of each unit, what can be fed at its ports: the output of all its supplies at the site's voltage, less
what chassis, modules and ports that stack or are split draw, or the unit's cap on PoE where that is
less; of a type with a PoE table the table's row for these supplies, whatever their output.  From the
sum is taken what is drawn at ports: PoE reserved, optics and cable ends.  In tenths of a watt.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.facilities.load import NONE_W, group_in, plug_w, reserve_w, source_of_some, supplies_of
from configurator.fitout import Fitout
from configurator.kinds import Kind, Plug, SplitPlug, said_by
from configurator.parts import Module, Supply, UnitType
from configurator.setting import Ask


def watts_left_dw(build: Build, ask: Ask, catalog: Catalog) -> int | None:
    """What could still be fed; none where the catalog doesn't say how a unit is powered."""
    if not all(is_powered(catalog.unit_types[unit.unit_type]) for unit in build.units):
        return None
    said = dict(said_by(ask))
    total = 0
    for unit in build.units:
        total += _of_unit_dw(unit, ask, catalog)
        for use in unit.uses:
            if use.powered and use.statement in said:
                total -= dw(reserve_w(said[use.statement], catalog))
            if use.way is None:
                total -= dw(plug_w(use.plug, catalog))
    return total


def is_powered(unit_type: UnitType) -> bool:
    """Whether the catalog says how a type is powered."""
    return unit_type.supply_bays is not None or unit_type.built_in_supply is not None


def of_fitout_dw(fitout: Fitout, ask: Ask, catalog: Catalog) -> int:
    """What can be fed at the ports of a fit-out."""
    reserve_each_w, ports = NONE_W, 0
    if fitout.stack is not None:
        reserve_each_w = fitout.stack[1].stack_reserve_w
        ports = 2 * catalog.families[fitout.unit_type.family].cables_a_link
    heads = [part for some in fitout.ports if some.split is not None for part in some.split.parts * some.count]
    return _feeds_dw(
        fitout.unit_type,
        fitout.supplies,
        (module for _, module in fitout.modules),
        reserve_each_w * ports,
        heads,
        ask,
        catalog,
    )


def of_kind_dw(kind: Kind, catalog: Catalog) -> int:
    """What each device of a kind draws at its port, besides what is plugged in."""
    return dw(reserve_w(kind.said, catalog)) if kind.powered else 0


def of_plug_dw(plug: Plug | None, catalog: Catalog) -> int:
    """What an optic or cable draws; what splits a port is the fit-out's."""
    return 0 if plug is None or isinstance(plug, SplitPlug) else dw(plug_w(plug.id, catalog))


def _of_unit_dw(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> int:
    stacking_w = NONE_W
    if unit.stack_group is not None:
        group = group_in(unit, unit.stack_slot, unit.stack_group, catalog)
        stacking_w = group.stack_reserve_w * len(unit.stack_ports)
    return _feeds_dw(
        catalog.unit_types[unit.unit_type],
        supplies_of(unit, catalog),
        (catalog.get(one.module, Module) for one in unit.modules),
        stacking_w,
        [part for split in unit.splits for part in split.parts],
        ask,
        catalog,
    )


def _feeds_dw(
    unit_type: UnitType,
    supplies: tuple[Supply, ...],
    modules: Iterable[Module],
    stacking_w: Decimal,
    heads: Iterable[str],
    ask: Ask,
    catalog: Catalog,
) -> int:
    if not is_powered(unit_type):
        return 0
    bare = BuiltUnit(position=1, unit_type=unit_type.id, box="-")
    source = source_of_some(supplies, bare, ask, catalog)
    limit_dw = None if source.poe_budget_w is None else dw(source.poe_budget_w)
    if limit_dw is not None and not source.poe_from_output:
        return limit_dw
    own_dw = dw(unit_type.base_draw_w) + dw(stacking_w) + sum(dw(module.draw_w) for module in modules)
    rest_dw = dw(source.output_w) - own_dw - sum(dw(plug_w(part, catalog)) for part in heads)
    return rest_dw if limit_dw is None else min(rest_dw, limit_dw)


def dw(amount_w: Decimal) -> int:
    """Watts as tenths, rounded up."""
    return int((amount_w * 10).to_integral_value(ROUND_CEILING))
