"""What the power checks share: each unit's supplies, its own draw and its PoE, and output by voltage.

Amounts are integer tenths of a watt (`_dw`), rounded up; currents are exact fractions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.parts import Module, Supply, UnitType
from configurator.setting import Ask

from ..looking import draws_power, group_of, head_of, part_of, plug_of, port_watts, statements, type_of


@dataclass(frozen=True)
class Powered:
    """A unit with the supplies that the catalog knows, what it draws itself and the PoE it reserves."""

    unit: BuiltUnit
    unit_type: UnitType
    supplies: tuple[Supply, ...]
    own_dw: int
    poe_dw: int

    @property
    def position(self) -> int:
        """The unit's place in the stack."""
        return self.unit.position

    def load_dw(self, *, poe: bool = True) -> int:
        """What the supplies' outputs must cover; a type with a PoE table feeds its PoE by the table."""
        return self.own_dw + (self.poe_dw if poe and not self.unit_type.poe_table else 0)


def powered_units(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Powered]:
    """The units whose type is known."""
    reserve_dw = {key: tenths(port_watts(said, catalog)) for key, said in statements(ask).items() if draws_power(said)}
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if unit_type is None:
            continue
        supplies = (part_of(fitted.supply, Supply, catalog) for fitted in unit.supplies)
        yield Powered(
            unit=unit,
            unit_type=unit_type,
            supplies=tuple(supply for supply in supplies if supply),
            own_dw=_own_dw(unit, unit_type, catalog),
            poe_dw=sum(reserve_dw.get(use.statement, 0) for use in unit.uses if use.powered),
        )


def units_with_supplies(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Powered]:
    """The units of whose supplies the catalog says anything."""
    for one in powered_units(build, ask, catalog):
        if one.unit_type.supply_bays or one.unit_type.built_in_supply:
            yield one


def _own_dw(unit: BuiltUnit, unit_type: UnitType, catalog: Catalog) -> int:
    """Base draw, modules, ports that stack, and what is plugged in: a split port's head once."""
    modules = (part_of(fitted.module, Module, catalog) for fitted in unit.modules)
    heads = (head_of(split, catalog) for split in unit.splits)
    plugs = (plug_of(use, catalog) for use in unit.uses if use.way is None)
    own_dw = tenths(unit_type.base_draw_w)
    own_dw += sum(tenths(part.draw_w) for part in (*modules, *heads, *plugs) if part)
    stacking = group_of(unit, unit.stack_slot, unit.stack_group, catalog) if unit.stack_group else None
    if stacking:
        own_dw += tenths(stacking.stack_reserve_w) * len(set(unit.stack_ports))
    return own_dw


# --- output -------------------------------------------------------------------------------------------


def largest_dw(supply: Supply) -> int:
    """Output of a supply at its best input voltage."""
    return max(tenths(row.output_w) for row in supply.outputs)


def output_dw(supply: Supply, input_v: int | None) -> int | None:
    """Output at this input voltage, the least where none is said; None where the supply doesn't work at it."""
    rows = [row for row in supply.outputs if input_v is None or row.from_v <= input_v <= row.to_v]
    return min((tenths(row.output_w) for row in rows), default=None)


def outputs_dw(supplies: Iterable[Supply], input_v: int | None) -> int:
    """Output of several supplies together; one that doesn't work at this voltage gives nothing."""
    return sum(output_dw(supply, input_v) or 0 for supply in supplies)


def table_dw(unit_type: UnitType, supplies: Iterable[Supply], input_v: int | None) -> int:
    """PoE that the type's table gives exactly these supplies; a combination without a row feeds none."""
    fitted = sorted(supply.id for supply in supplies)
    rows = [row for row in unit_type.poe_table if sorted(row.supplies) == fitted]
    if input_v is not None:
        rows = [r for r in rows if (r.from_v is None or r.from_v <= input_v) and (r.to_v is None or input_v <= r.to_v)]
    return min((tenths(row.poe_w) for row in rows), default=0)


def lack(one: Powered, supplies: Iterable[Supply], input_v: int | None, *, poe: bool) -> str | None:
    """What these of a unit's supplies fail to carry, in words; None where they carry it."""
    supplies = tuple(supplies)
    has_dw, takes_dw = outputs_dw(supplies, input_v), one.load_dw(poe=poe)
    if has_dw < takes_dw:
        return f"{watts(has_dw)} for {watts(takes_dw)}: short by {watts(takes_dw - has_dw)}"
    if poe and one.unit_type.poe_table:
        has_dw = table_dw(one.unit_type, supplies, input_v)
        if has_dw < one.poe_dw:
            return f"{watts(has_dw)} of PoE for {watts(one.poe_dw)}: short by {watts(one.poe_dw - has_dw)}"
    return None


def input_amps(supply: Supply, input_v: int | None) -> Fraction | None:
    """Input current at rated output: P / (efficiency * power factor * U)."""
    rated_dw = output_dw(supply, input_v)
    if input_v is None or rated_dw is None:
        return None
    return Fraction(rated_dw, 10) / (Fraction(supply.efficiency) * Fraction(supply.power_factor) * input_v)


# --- figures ------------------------------------------------------------------------------------------


def tenths(amount_w: Decimal | None) -> int:
    """Watts as whole tenths, rounded up; unknown watts are none."""
    return 0 if amount_w is None else int((amount_w * 10).to_integral_value(ROUND_CEILING))


def watts(amount_dw: int) -> str:
    """Tenths of a watt in words: `740.0 W`."""
    return f"{amount_dw // 10}.{amount_dw % 10} W"


def amps(current: Fraction) -> str:
    """A current in words, rounded up to hundredths: `4.83 A`."""
    hundredths = -(-current.numerator * 100 // current.denominator)
    return f"{hundredths // 100}.{hundredths % 100:02} A"
