"""What the power rules' parts of the model share: outputs, loads and draws, in tenths of a watt.

The checks have figures of their own (checking.py); nothing here is used by both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices
from configurator.fitout import Fitout
from configurator.kinds import Kind, Plug
from configurator.parts import Cable, Optic, PoeClassRow, Supply, UnitType
from configurator.rule import Budget
from configurator.setting import Setting

Gives = Callable[[Fitout, Setting, Catalog], int | None]


def dw(amount_w: Decimal) -> int:
    """Watts as tenths; they have one decimal at most."""
    return int((amount_w * 10).to_integral_value(ROUND_CEILING))


# --- what a unit has ------------------------------------------------------------------------------


def has_supplies(fitout: Fitout) -> bool:
    """Whether the catalog says how the type is powered."""
    return fitout.unit_type.supply_bays is not None or fitout.unit_type.built_in_supply is not None


def best_dw(supply: Supply) -> int:
    """Output at the input voltage where it is largest."""
    return max(dw(output.output_w) for output in supply.outputs)


def site_dw(supply: Supply, setting: Setting) -> int:
    """Output at the site's input voltage; the least of all where no voltage is known."""
    volts = setting.input_v
    outputs = [dw(o.output_w) for o in supply.outputs if volts is None or o.from_v <= volts <= o.to_v]
    return min(outputs, default=0)


def sum_dw(supplies: Iterable[Supply], setting: Setting) -> int:
    """Output of several supplies at the site's input voltage."""
    return sum(site_dw(supply, setting) for supply in supplies)


def tabled_dw(unit: UnitType, supplies: tuple[Supply, ...], setting: Setting) -> int:
    """PoE by the type's table for just these supplies; nothing where it has no row for them."""
    names = sorted(supply.id for supply in supplies)
    volts = setting.input_v
    amounts = [
        dw(row.poe_w)
        for row in unit.poe_table
        if sorted(row.supplies) == names
        and (volts is None or ((row.from_v or 0) <= volts <= (row.to_v if row.to_v is not None else volts)))
    ]
    return min(amounts, default=0)


def input_a(supply: Supply, setting: Setting) -> Fraction | None:
    """Input current at rated output, in amps: P / (efficiency * power factor * U)."""
    output = site_dw(supply, setting)
    if setting.input_v is None or not output:
        return None
    return Fraction(output) / (10 * Fraction(supply.efficiency) * Fraction(supply.power_factor) * setting.input_v)


# --- what it takes, what is drawn -------------------------------------------------------------------


def takes(fitout: Fitout, setting: Setting, catalog: Catalog) -> int:
    """Base draw, modules, ports that stack, and what splits ports."""
    total = dw(fitout.unit_type.base_draw_w) + sum(dw(module.draw_w) for _, module in fitout.modules)
    if fitout.stack is not None:
        cables = catalog.families[fitout.unit_type.family].cables_a_link
        total += 2 * cables * dw(fitout.stack[1].stack_reserve_w)
    return total + sum(p.count * dw(p.split.head.draw_w) for p in fitout.ports if p.split is not None)


def takes_nothing(fitout: Fitout, setting: Setting, catalog: Catalog) -> int:
    """PoE is no part of what a unit itself draws."""
    return 0


def draws_without_poe(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> int:
    """What is plugged in; a split port's head is the unit's own."""
    return dw(plug.draw_w) if isinstance(plug, Optic | Cable) else 0


def draws_poe(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> int:
    """Watts that the port reserves: by class, as stated at the port, or at the device plus the cable's loss."""
    said = kind.said
    if not kind.powered or not isinstance(said, AccessPorts | Devices):
        return 0
    if isinstance(said, Devices) and said.port_w is not None:
        return dw(said.port_w)
    if isinstance(said, Devices) and said.device_w is not None:
        return _at_port_dw(said.device_w, said.cable_m, catalog)
    poe_class = said.poe_class if isinstance(said, Devices) else said.powered_at_class
    row = catalog.poe_classes.get(poe_class) if poe_class is not None else None
    return dw(row.port_w) if row is not None else 0


def draws(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> int:
    """Both."""
    return draws_poe(kind, plug, setting, catalog) + draws_without_poe(kind, plug, setting, catalog)


def _at_port_dw(device_w: Decimal, cable_m: Decimal, catalog: Catalog) -> int:
    """Fewest tenths of a watt at the port of the lowest class that gets `device_w` to the device.

    What arrives, p - (p / U)**2 * R, grows with p over every class's range, so halving finds it.
    """
    for row in sorted(catalog.poe_classes.values(), key=lambda row: (row.port_w, row.poe_class)):
        low, high = 0, dw(row.port_w)
        if not _arrives(high, row, device_w, cable_m):
            continue
        while low < high:
            middle = (low + high) // 2
            if _arrives(middle, row, device_w, cable_m):
                high = middle
            else:
                low = middle + 1
        return low
    return 0


def _arrives(port_dw: int, row: PoeClassRow, device_w: Decimal, cable_m: Decimal) -> bool:
    port_w = Fraction(port_dw, 10)
    lost_w = (port_w / row.port_min_v) ** 2 * Fraction(row.loop_ohm) * Fraction(cable_m) / 100
    return port_w - lost_w >= Fraction(device_w)


# --- budgets of a whole load --------------------------------------------------------------------------


def load_budgets(name: str, gives: Gives) -> tuple[Budget, Budget]:
    """What supplies give covers the load; the PoE of a type with a PoE table is not part of it."""

    def without_table(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
        return None if fitout.unit_type.poe_table else gives(fitout, setting, catalog)

    def with_table(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
        return gives(fitout, setting, catalog) if fitout.unit_type.poe_table else None

    return (
        Budget(name, without_table, takes, draws),
        Budget(f"{name}, without PoE", with_table, takes, draws_without_poe),
    )
