"""No contract promises more than the way from the depot to the site allows.

Why it matters: four hours are sold within so many kilometres of a depot, and hold only there.
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

from .checking import all_held

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A contract for sites nearer to a depot."""
    if not isinstance(part, Support) or part.within_km is None or setting.depot_km is None:
        return False
    return part.within_km < setting.depot_km


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the way to the nearest depot, if it is said, with what each contract allows."""
    way = ask.setting.depot_km
    for held in all_held(build, catalog):
        within = held.contract.within_km
        if way is not None and within is not None and way > within:
            text = f"{held.contract.id} holds within {within} km of a depot, the site is {way} km away"
            yield Breach(text, held.position)


RULE = Rule(
    id="support.distance",
    family="support",
    sentence="Every contract holds at the site's distance from the nearest depot.",
    source=COMMON_PRACTICE,
    about=("depot_km",),
    applies=lambda catalog: any(contract.within_km is not None for contract in catalog.parts.support),
    forbids_for=forbids_for,
    check=check,
)
