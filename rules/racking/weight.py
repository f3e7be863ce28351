"""The rack carries the units with everything that is fitted in them.

Wall brackets and shelves have limits that a stack of full units soon reaches.  Weights count in whole grams,
rounded up; one that the catalog doesn't know counts nothing, and a built-in supply is part of its unit.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask, OrderAsk

from ..looking import closets, plain, type_of
from . import modelling

# the rule's part of the model


def grams(fitout: Fitout) -> int:
    """A unit with its supplies, fan trays and modules."""
    unit_type = fitout.unit_type
    supplies = () if unit_type.built_in_supply is not None else fitout.supplies
    fitted = (*supplies, *fitout.fan_trays, *(module for _, module in fitout.modules))
    return sum(map(modelling.grams, (unit_type.weight_kg, *(part.weight_kg for part in fitted))))


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """All units together."""
    most_kg = ask.stack.rack_weight_kg
    if most_kg is not None:
        yield Row("<=", int(most_kg * 1000), fitouts=grams, shared=True, told=lambda amount: f"{amount / 1000:g} kg")


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Adds up types and the parts in bays and slots, each to the next gram."""
    most_kg = ask.stack.rack_weight_kg
    if most_kg is None:
        return
    weights_kg = []
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        fitted = [supply.supply for supply in unit.supplies if supply.bay != 0]
        fitted += [*unit.fan_trays, *(module.module for module in unit.modules)]
        known = [unit_type, *(catalog.by_id.get(part) for part in fitted)]
        weights_kg += [one.weight_kg for one in known if one is not None and one.weight_kg is not None]
    total_kg = sum((weight.quantize(Decimal("0.001"), ROUND_CEILING) for weight in weights_kg), Decimal(0))
    if total_kg > most_kg:
        over = plain(total_kg - most_kg)
        yield Breach(f"the units weigh {plain(total_kg)} kg, the rack carries {plain(most_kg)} kg: over by {over} kg")


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """The weights of all stacks in one closet."""
    for closet in closets(order, asked):
        for breach in check(closet.build, closet.ask, catalog):
            yield Breach(f"{closet.name}: {breach.text}")


RULE = Rule(
    id="racking.weight",
    family="racking",
    sentence="The units with what is fitted in them weigh no more than the rack still carries.",
    source=COMMON_PRACTICE,
    about=("rack_weight_kg",),
    applies=lambda catalog: any(unit_type.weight_kg is not None for unit_type in catalog.parts.unit_types),
    limits=limits,
    check=check,
    check_order=check_order,
)
