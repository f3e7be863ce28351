"""The rule book: what the trade knows, one file a rule, in order of preference for explanations."""

from __future__ import annotations

from configurator.rule import Rule

from .airflow import as_asked, one_direction
from .modules import both_ends, far_end, fits, matrix, optic_power, reach, single_fibre
from .modules import split as port_split
from .ordering import complete, currency, delivery, priced, region, valid, withdrawn
from .ports import (
    all_served,
    block,
    connector,
    headroom,
    once,
    oversubscription,
    poe_class,
    roles,
    shared,
    speed,
    spread,
)
from .power import (
    circuit,
    cord,
    derating,
    fan_trays,
    feed_loss,
    input_voltage,
    outlets,
    poe_budget,
    supplies_cover_load,
    supply_fits,
    supply_loss,
    supply_mix,
)
from .stacking import adapter, cables, distance, members, size, topology, units_asked
from .stacking import ports as stacking_ports
from .stacking import rate as stacking_rate
from .twinax import length, passive

__all__ = ["RULES"]

PORTS = (
    all_served,
    headroom,
    once,
    shared,
    block,
    roles,
    speed,
    connector,
    poe_class,
    spread,
    oversubscription,
)
POWER = (
    supplies_cover_load,
    derating,
    input_voltage,
    poe_budget,
    supply_loss,
    feed_loss,
    supply_fits,
    supply_mix,
    fan_trays,
    cord,
    circuit,
    outlets,
)
AIRFLOW = (one_direction, as_asked)
STACKING = (size, units_asked, members, stacking_ports, stacking_rate, topology, distance, cables, adapter)
TWINAX = (length, passive)
MODULES = (fits, matrix, optic_power, reach, far_end, single_fibre, both_ends, port_split)
ORDERING = (complete, priced, valid, currency, withdrawn, region, delivery)

RULES: tuple[Rule, ...] = tuple(
    module.RULE for module in (*PORTS, *POWER, *AIRFLOW, *STACKING, *TWINAX, *MODULES, *ORDERING)
)
