"""A licence that ends runs at least as many months as asked; one for good always does.

Why it matters: a licence that runs out takes its feature along, in the middle of the contract.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.services import Licence
from configurator.setting import Ask, Setting

from .checking import held

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A licence that ends too soon."""
    if not isinstance(part, Licence) or part.term_months is None or setting.licence_months is None:
        return False
    return part.term_months < setting.licence_months


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the term of each licence with the months asked."""
    asked = ask.setting.licence_months
    if asked is None:
        return
    places = [(unit.position, unit.along) for unit in build.units]
    for position, along in [*places, (None, build.along)]:
        for licence, _ in held(along, catalog):
            if licence.term_months is not None and licence.term_months < asked:
                yield Breach(f"{licence.id} runs {licence.term_months} months, {asked} are asked", position)


RULE = Rule(
    id="licences.term",
    family="licences",
    sentence="A licence that ends runs at least as many months as asked.",
    source=COMMON_PRACTICE,
    about=("licence_months",),
    applies=lambda catalog: any(licence.term_months is not None for licence in catalog.parts.licences),
    forbids_for=forbids_for,
    check=check,
)
