"""What the site's power checks share: what a finished stack takes from the mains, in exact hundredths.

Each unit's own draw counts over the poorest of its supplies, each port's PoE and each
optic or cable end over the poorest of the stack's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.parts import Module, Supply
from configurator.setting import Ask

from ..looking import draws_power, group_of, head_of, part_of, plug_of, port_watts, said, type_of, uses
from ..power.checking import tenths

Share = Callable[[Supply], Decimal]  # what of the input comes out


def taken(stacks: Sequence[tuple[Build, Ask]], catalog: Catalog, share: Share, *, poe_stays: bool) -> int:
    """Hundredths of what the supplies take in, each unit and each port rounded up; or without the PoE that leaves.

    stacks -- one, or all that stand in one closet
    """
    units = [unit for build, _ in stacks for unit in build.units]
    shares = [_poorest(unit, catalog, share) for unit in units]
    least = min(shares, default=Fraction(1))
    own = (_rounded_up(Fraction(_own_dw(unit, catalog)) / own) for unit, own in zip(units, shares, strict=True))
    return sum(own) + sum(_by_ports(build, ask, catalog, least, poe_stays=poe_stays) for build, ask in stacks)


def _by_ports(build: Build, ask: Ask, catalog: Catalog, least: Fraction, *, poe_stays: bool) -> int:
    """Hundredths that the ports of a stack add."""
    total = 0
    for _, use in uses(build):
        asked = said(ask, use.statement)
        if asked is None:
            continue
        poe_dw = tenths(port_watts(asked, catalog)) if use.powered and draws_power(asked) else 0
        leaves_dw = 0 if poe_stays else poe_dw
        total += _rounded_up(Fraction(poe_dw) / least - leaves_dw)
        plug = plug_of(use, catalog) if use.way is None else None
        total += _rounded_up(tenths(plug.draw_w) / least) if plug is not None else 0
    return total


def _rounded_up(amount_dw: Fraction) -> int:
    """Tenths as hundredths."""
    return -(-amount_dw.numerator * 10 // amount_dw.denominator)


def _poorest(unit: BuiltUnit, catalog: Catalog, share: Share) -> Fraction:
    """What comes out of a unit's poorest supply; all of it where the unit has none."""
    supplies = [part_of(fitted.supply, Supply, catalog) for fitted in unit.supplies]
    return min((Fraction(share(supply)) for supply in supplies if supply is not None), default=Fraction(1))


def _own_dw(unit: BuiltUnit, catalog: Catalog) -> int:
    """Base draw, modules, ports that stack, and what splits ports."""
    unit_type = type_of(unit, catalog)
    modules = [part_of(fitted.module, Module, catalog) for fitted in unit.modules]
    heads = [head_of(split, catalog) for split in unit.splits]
    drawing = [unit_type.base_draw_w] if unit_type is not None else []
    drawing += [part.draw_w for part in (*modules, *heads) if part is not None]
    stacking = group_of(unit, unit.stack_slot, unit.stack_group, catalog) if unit.stack_group is not None else None
    if stacking is not None:
        drawing += [stacking.stack_reserve_w] * len(set(unit.stack_ports))
    return sum(map(tenths, drawing))


def hundredths(amount: int, unit: str) -> str:
    """Hundredths in words: `33.34 W`."""
    return f"{amount // 100}.{amount % 100:02} {unit}"
