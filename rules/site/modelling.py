"""What the site's power rules share in their parts of the model: what a stack takes from the mains.

Amounts are integer hundredths of a watt or volt-ampere.  Each unit's own draw counts over the poorest of its
supplies, rounded up; each port's PoE, and each optic or cable end, over the poorest supply of the stack, rounded
up, since no one knows beforehand on which unit it will be.  So a stack has a row for each figure that could be its
poorest, which holds where some unit is as poor.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from math import ceil

from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.kinds import Kind, Plug
from configurator.parts import Cable, Optic, Supply, UnitType
from configurator.rule import Row
from configurator.setting import Ask

from ..power import modelling as power

Figure = Callable[[Supply], Fraction]  # output over input: at most 1


def efficiency(supply: Supply) -> Fraction:
    """Watts out for each watt in."""
    return Fraction(supply.efficiency)


def efficiency_of_va(supply: Supply) -> Fraction:
    """Watts out for each volt-ampere in."""
    return Fraction(supply.efficiency) * Fraction(supply.power_factor)


def poorest(fitout: Fitout, figure: Figure) -> Fraction:
    """The poorest of a unit's supplies; a type of whose supplies nothing is known loses nothing."""
    return min(map(figure, fitout.supplies), default=Fraction(1))


def rows(bound: int, figure: Figure, ask: Ask, catalog: Catalog, *, poe_stays: bool, unit: str) -> Iterator[Row]:
    """What a stack takes is within a bound of hundredths; of PoE all, or only what is lost on the way to the ports."""
    known: dict[tuple[str, ...], Fraction] = {}  # by supplies, since many fit-outs have the same

    def worst(fitout: Fitout) -> Fraction:
        supplies = tuple([supply.id for supply in fitout.supplies])
        if supplies not in known:
            known[supplies] = poorest(fitout, figure)
        return known[supplies]

    def own(fitout: Fitout) -> int:
        share = worst(fitout)
        return -(-10 * power.takes(fitout, ask.setting, catalog) * share.denominator // share.numerator)

    def row(least: Fraction, *, best: bool) -> Row:
        def port(kind: Kind) -> int:
            poe_dw = power.draws_poe(kind, None, ask.setting, catalog)
            return ceil(10 * (poe_dw / least - (0 if poe_stays else poe_dw)))

        def plug(plug: Plug | None) -> int:
            return ceil(10 * power.dw(plug.draw_w) / least) if isinstance(plug, Optic | Cable) else 0

        def as_poor(fitout: Fitout) -> bool:
            return worst(fitout) <= least

        return Row("<=", bound, own, port, plug, None if best else as_poor, shared=True, told=told)

    def told(amount: int) -> str:
        return f"{amount / 100:g} {unit}"

    for place, least in enumerate(sorted(_figures(figure, catalog), reverse=True)):
        yield row(least, best=not place)


def _figures(figure: Figure, catalog: Catalog) -> set[Fraction]:
    """The figures of all supplies that some unit type has or takes, and 1 where a type has none."""
    found = set[Fraction]()
    for unit_type in catalog.parts.unit_types:
        supplies = _supplies(unit_type)
        found |= {figure(supply) for supply in catalog.parts.supplies if supply.id in supplies}
        found |= set() if supplies else {Fraction(1)}
    return found


def _supplies(unit_type: UnitType) -> tuple[str, ...]:
    if unit_type.built_in_supply is not None:
        return (unit_type.built_in_supply,)
    return unit_type.supply_bays.takes if unit_type.supply_bays is not None else ()
