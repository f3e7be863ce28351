"""The rule book: what the trade knows, one file a rule, in order of preference for explanations."""

from __future__ import annotations

from configurator.rule import Rule

from .airflow import as_asked, one_direction
from .licences import capable, features, port_features, release, subscription
from .licences import fits as licence_fits
from .licences import term as licence_term
from .modules import attenuator, both_ends, far_end, fits, matrix, optic_power, patch_lead, reach, single_fibre
from .modules import split as port_split
from .ordering import (
    bought_as,
    complete,
    currency,
    delivery,
    least,
    marks,
    packs,
    priced,
    region,
    spares,
    valid,
    withdrawn,
)
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
from .power import headroom as power_headroom
from .racking import blanks, depth, kit, lugs, space, weight
from .site import altitude, heat, inlet_air, noise, ups
from .site import circuit as site_circuit
from .stacking import adapter, cables, distance, members, size, topology, units_asked
from .stacking import ports as stacking_ports
from .stacking import rate as stacking_rate
from .support import alike, contract, country, end, failed_parts, level, optics
from .support import distance as support_distance
from .support import fits as support_fits
from .support import term as support_term
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
    power_headroom,
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
MODULES = (fits, matrix, optic_power, reach, attenuator, far_end, single_fibre, both_ends, patch_lead, port_split)
LICENCES = (features, port_features, capable, licence_fits, licence_term, subscription, release)
SUPPORT = (contract, support_fits, level, support_term, country, support_distance, failed_parts, end, alike, optics)
RACKING = (space, depth, weight, kit, blanks, lugs)
SITE = (inlet_air, altitude, noise, heat, ups, site_circuit)
ORDERING = (complete, priced, valid, currency, withdrawn, region, marks, bought_as, delivery, packs, least, spares)

RULES: tuple[Rule, ...] = tuple(
    module.RULE
    for module in (
        *PORTS,
        *POWER,
        *AIRFLOW,
        *STACKING,
        *TWINAX,
        *MODULES,
        *LICENCES,
        *SUPPORT,
        *RACKING,
        *SITE,
        *ORDERING,
    )
)
