"""The warmest air at the site is no warmer than each unit takes in, there.

Thin air cools less: what a data sheet allows at sea level is lower in the mountains, by a degree for each so many
metres, and each step begun counts as a whole degree.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from ..looking import type_of

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A type that is known to take in only cooler air; without an altitude the site is at sea level."""
    hottest_c, each_m = fitout.unit_type.hottest_inlet_c, fitout.unit_type.cooler_each_m
    if setting.inlet_c is None or hottest_c is None:
        return False
    less_c = -(-(setting.altitude_m or 0) // each_m) if each_m is not None else 0
    return setting.inlet_c > hottest_c - less_c


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Climbs as far as the degrees between the site's air and each unit's limit go."""
    inlet_c, altitude_m = ask.setting.inlet_c, ask.setting.altitude_m or 0
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if inlet_c is None or unit_type is None or unit_type.hottest_inlet_c is None:
            continue
        has_c, each_m = unit_type.hottest_inlet_c - inlet_c, unit_type.cooler_each_m
        takes = f"{unit_type.id} takes in air of {unit_type.hottest_inlet_c} \N{DEGREE SIGN}C"
        if has_c < 0:
            yield Breach(f"{takes}, the warmest is {inlet_c} \N{DEGREE SIGN}C", unit.position)
        elif each_m is not None and has_c * each_m < altitude_m:
            yield Breach(
                f"{takes}, 1 degree less for each {each_m} m: air of {inlet_c} \N{DEGREE SIGN}C up to "
                f"{has_c * each_m} m, the site is at {altitude_m} m",
                unit.position,
            )


RULE = Rule(
    id="site.inlet_air",
    family="site",
    sentence="The warmest air at the inlets is within what each unit takes in at the site's altitude.",
    source=COMMON_PRACTICE,
    about=("inlet_c", "altitude_m"),
    applies=lambda catalog: any(unit_type.hottest_inlet_c is not None for unit_type in catalog.parts.unit_types),
    forbids={"type": forbids},
    check=check,
)
