"""A licence serves only the unit types that it lists.

Why it matters: a licence for another model can be bought and can't be installed.
A licence for ports or for a stack that lists types serves stacks of these types alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.fitout import Fitout
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.services import Licence
from configurator.setting import Ask, Setting

from . import modelling
from .checking import held

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A licence for other types."""
    return isinstance(part, Licence) and unit is not None and bool(part.unit_types) and unit.id not in part.unit_types


def forbids_type(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A type that what was agreed for the whole stack doesn't serve."""
    return any(types and fitout.unit_type.id not in types for types in _served(setting, catalog))


def _served(setting: Setting, catalog: Catalog) -> Iterator[tuple[str, ...]]:
    """The types that each choice of licence lists; none: all."""
    for topic, choice in setting.agreed:
        if not topic.startswith((modelling.OF_STACK, modelling.OF_PORTS)):
            continue
        licence = catalog.by_id.get(choice)
        if isinstance(licence, Licence):
            yield licence.unit_types
        elif topic.startswith(modelling.OF_PORTS):
            yield modelling.port_ways(topic.removeprefix(modelling.OF_PORTS), catalog).get(choice, ())


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each licence of a unit lists its type; each licence of the stack or of its ports, the types of all units."""
    for unit in build.units:
        for licence, _ in held(unit.along, catalog):
            if licence.unit_types and unit.unit_type not in licence.unit_types:
                yield Breach(f"{_words(licence)}, the unit is a {unit.unit_type}", unit.position)
    for licence, _ in held(build.along, catalog):
        others = sorted({unit.unit_type for unit in build.units} - set(licence.unit_types))
        if licence.unit_types and others:
            yield Breach(f"{_words(licence)}, the stack has {', '.join(others)} too")


def _words(licence: Licence) -> str:
    return f"licence {licence.id} is for {', '.join(licence.unit_types)}"


RULE = Rule(
    id="licences.fits",
    family="licences",
    sentence="A licence serves only the unit types that it lists.",
    source=COMMON_PRACTICE,
    applies=lambda catalog: any(licence.unit_types for licence in catalog.parts.licences),
    forbids_for=forbids_for,
    forbids={"type": forbids_type},
    check=check,
)
