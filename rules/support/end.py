"""No contract runs past the day on which support of the unit's type ends.

Why it matters: after that day there are no spares, whatever was paid for.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.services import Support
from configurator.setting import Ask, Setting

from ..looking import type_of
from . import modelling
from .checking import ends, of_units

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A contract that outlasts the type's support."""
    if not isinstance(part, Support) or part.covers_parts or unit is None or unit.support_ends is None:
        return False
    return modelling.end(part, setting) > unit.support_ends


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the end of each unit's contracts with the last day of its type's support."""
    for held in of_units(build, catalog):
        unit_type = type_of(held.unit, catalog) if held.unit is not None else None
        last = unit_type.support_ends if unit_type is not None else None
        end = ends(held, ask.setting)
        if unit_type is not None and last is not None and end > last:
            text = f"{held.contract.id} runs until {end}, support of {unit_type.id} ends on {last}"
            yield Breach(text, held.position)


RULE = Rule(
    id="support.end",
    family="support",
    sentence="No contract runs past the day on which support of the unit's type ends.",
    source=COMMON_PRACTICE,
    about=("support_months", "support_until"),
    applies=lambda catalog: any(unit_type.support_ends is not None for unit_type in catalog.parts.unit_types),
    forbids_for=forbids_for,
    check=check,
)
