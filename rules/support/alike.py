"""Where a family says so, all units of a stack share the level and the term of their support.

Why it matters: the maker takes one call for a stack, and answers it at the level of its weakest unit.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.fitout import Fitout
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Rule, Topic
from configurator.services import Support
from configurator.setting import Ask, Setting

from .. import looking
from . import country, distance, failed_parts, level, modelling, term
from .checking import is_asked, of_units

TERMS = "support terms"
OWN = "each unit's own"

# the rule's part of the model


def agrees(ask: Ask, catalog: Catalog) -> Iterator[Topic]:
    """Each level and term of the contracts that will do; families that don't mind leave them open."""
    minding = [family.support_alike for family in catalog.parts.families]
    if not modelling.asked(ask.setting) or not any(minding):
        return
    every = modelling.unit_contracts(catalog)
    # where none will do, that is for the rules about it to say, which can't once their contracts are left out here
    suitable = [one for one in every if _suits(one, ask.setting, catalog)] or every
    terms = sorted({(one.level, modelling.months(one, ask.setting)) for one in suitable})
    yield Topic(TERMS, (*(_words(level, n) for level, n in terms), *(() if all(minding) else (OWN,))))


def _suits(contract: Support, setting: Setting, catalog: Catalog) -> bool:
    """Whether the demand leaves a contract any use, whatever the unit: every choice costs the engine a round."""
    rules = (level, term, country, distance, failed_parts)
    return not any(rule.forbids_for(contract, None, setting, catalog) for rule in rules)


def _words(level: str, months: int) -> str:
    return f"{level}, {months} months"


def forbids_type(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A type of a family that minds, where terms are left open."""
    family = catalog.families.get(fitout.unit_type.family)
    return setting.agreed_on(TERMS) == OWN and family is not None and family.support_alike


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A unit's contract of another level or term."""
    agreed = setting.agreed_on(TERMS)
    if not isinstance(part, Support) or part.covers_parts or unit is None or agreed in (None, OWN):
        return False
    return _words(part.level, modelling.months(part, setting)) != agreed


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """In a stack with a family that minds, the units' contracts are of one level and one term."""
    types = (looking.type_of(unit, catalog) for unit in build.units)
    families = (catalog.families.get(unit_type.family) for unit_type in types if unit_type is not None)
    minding = sorted({family.id for family in families if family is not None and family.support_alike})
    found = {(held.contract.level, held.months) for held in of_units(build, catalog)}
    if is_asked(ask) and minding and len(found) > 1:
        which = "; ".join(f"{level} for {months} months" for level, months in sorted(found))
        yield Breach(f"units of {', '.join(minding)} share their support's level and term, here are {which}")


RULE = Rule(
    id="support.alike",
    family="support",
    sentence="Where a family says so, all units of a stack share the level and the term of their support.",
    source=COMMON_PRACTICE,
    about=("support_level", "support_months", "support_until"),
    applies=lambda catalog: any(family.support_alike for family in catalog.parts.families),
    agrees=agrees,
    forbids={"type": forbids_type},
    forbids_for=forbids_for,
    check=check,
)
