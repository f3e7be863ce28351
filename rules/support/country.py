"""Every contract holds in the country of the site.

Why it matters: spares and people come from a depot in the country, or don't come.
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
    """A contract for other countries."""
    if not isinstance(part, Support) or setting.country is None:
        return False
    return bool(part.countries) and setting.country not in part.countries


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """The site's country is among those that each contract lists, if it lists any."""
    site = ask.setting.country
    for held in all_held(build, catalog):
        listed = held.contract.countries
        if site is not None and listed and site not in listed:
            yield Breach(f"{held.contract.id} holds in {', '.join(listed)}, the site is in {site}", held.position)


RULE = Rule(
    id="support.country",
    family="support",
    sentence="Every contract holds in the country of the site.",
    source=COMMON_PRACTICE,
    about=("country",),
    applies=lambda catalog: any(contract.countries for contract in catalog.parts.support),
    forbids_for=forbids_for,
    check=check,
)
