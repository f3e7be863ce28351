"""What the stacking checks share: who is in a stack, what each unit stacks through, and how far it is."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.parts import Family, PortGroup
from configurator.setting import Ask

from ..looking import group_of, type_of

RACK_UNIT_M = Decimal("0.04445")  # EIA-310: 44.45 mm


def members(build: Build, catalog: Catalog) -> tuple[Family, ...]:
    """The families of a stack's units, each once."""
    types = (type_of(unit, catalog) for unit in build.units)
    families = (catalog.families.get(unit_type.family) for unit_type in types if unit_type)
    return tuple({family.id: family for family in families if family}.values())


def cables_a_link(families: Iterable[Family]) -> int:
    """Cables that one link takes: the most that any member needs."""
    return max((family.cables_a_link for family in families), default=1)


def stacking_group(unit: BuiltUnit, catalog: Catalog) -> PortGroup | None:
    """The port group through which a unit stacks."""
    return group_of(unit, unit.stack_slot, unit.stack_group, catalog) if unit.stack_group is not None else None


def way_m(a: int, b: int, build: Build, ask: Ask, catalog: Catalog) -> Decimal | None:
    """How far a cable goes between the units at two positions; None where nobody said.

    Stated distances between neighbours add up along the line and hold their slack already.
    Otherwise it is the distance in the rack plus the members' largest routing slack; units whose
    rack positions nobody stated stand one upon the other.
    """
    first, last = sorted((a, b))
    if first < 1:
        return None
    between = ask.stack.between_units_m
    if between:
        gaps = between * (last - 1) if len(between) == 1 else between
        return sum(gaps[first - 1 : last - 1], Decimal(0)) if last - 1 <= len(gaps) else None
    families = members(build, catalog)
    slack = max((family.routing_slack_m for family in families), default=Decimal(0))
    places = ask.stack.rack_positions
    if places:
        return abs(places[last - 1] - places[first - 1]) * RACK_UNIT_M + slack if last <= len(places) else None
    named = {family.id for family in families}
    tall = max((t.rack_units for t in catalog.parts.unit_types if t.family in named), default=1)
    return (last - first) * tall * RACK_UNIT_M + slack
