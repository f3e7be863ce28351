"""Each unit is no deeper than the rack is inside.

The door of a shallow cabinet doesn't close over a deep unit; cables need their bend besides, so the usable depth
is what the customer states.
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
    """A type that is known to be too deep."""
    depth_mm, usable_mm = fitout.unit_type.depth_mm, setting.rack_depth_mm
    return depth_mm is not None and usable_mm is not None and depth_mm > usable_mm


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares each known depth with the usable one."""
    usable_mm = ask.setting.rack_depth_mm
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if usable_mm is None or unit_type is None or unit_type.depth_mm is None:
            continue
        over_mm = unit_type.depth_mm - usable_mm
        if over_mm > 0:
            text = f"{unit_type.id} is {unit_type.depth_mm} mm deep, usable are {usable_mm} mm: over by {over_mm} mm"
            yield Breach(text, unit.position)


RULE = Rule(
    id="racking.depth",
    family="racking",
    sentence="Each unit is no deeper than the rack's usable depth.",
    source=COMMON_PRACTICE,
    about=("rack_depth_mm",),
    applies=lambda catalog: any(unit_type.depth_mm is not None for unit_type in catalog.parts.unit_types),
    forbids={"type": forbids},
    check=check,
)
