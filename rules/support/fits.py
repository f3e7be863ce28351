"""A contract covers only the unit types that it lists.

Why it matters: a contract for a smaller model costs less, and the maker turns the call away.
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

from .checking import of_units

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A contract for other types."""
    if not isinstance(part, Support) or part.covers_parts or unit is None:
        return False
    return bool(part.unit_types) and unit.id not in part.unit_types


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """The type of each unit is among those that its contracts list, if these list any."""
    for held in of_units(build, catalog):
        listed = held.contract.unit_types
        if held.unit is not None and listed and held.unit.unit_type not in listed:
            text = f"{held.contract.id} covers {', '.join(listed)}, the unit is a {held.unit.unit_type}"
            yield Breach(text, held.position)


RULE = Rule(
    id="support.fits",
    family="support",
    sentence="A contract covers only the unit types that it lists.",
    source=COMMON_PRACTICE,
    applies=lambda catalog: any(contract.unit_types for contract in catalog.parts.support),
    forbids_for=forbids_for,
    check=check,
)
