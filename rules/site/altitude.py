"""The site is no higher than each unit works at.

In thin air insulation and fans are weaker than a data sheet promises beyond its highest altitude.
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
    """A type that is known not to work so high."""
    highest_m = fitout.unit_type.highest_m
    return highest_m is not None and setting.altitude_m is not None and setting.altitude_m > highest_m


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the site's altitude with the highest that each type is made for."""
    altitude_m = ask.setting.altitude_m
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if altitude_m is None or unit_type is None or unit_type.highest_m is None:
            continue
        over_m = altitude_m - unit_type.highest_m
        if over_m > 0:
            text = (
                f"{unit_type.id} works up to {unit_type.highest_m} m, the site is at {altitude_m} m: over by {over_m} m"
            )
            yield Breach(text, unit.position)


RULE = Rule(
    id="site.altitude",
    family="site",
    sentence="The site is no higher than each unit works at.",
    source=COMMON_PRACTICE,
    about=("altitude_m",),
    applies=lambda catalog: any(unit_type.highest_m is not None for unit_type in catalog.parts.unit_types),
    forbids={"type": forbids},
    check=check,
)
