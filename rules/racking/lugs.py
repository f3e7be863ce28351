"""Where units are to be earthed, each has a lug made for its type.

Why it matters: a bonding conductor ends in a lug, and not every chassis has a place for one.  Which conductor, and
whether one is due, is for the local code to say.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

from . import modelling
from .checking import fits

# the rule's part of the model


def needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """One lug, whatever is in the unit; a type that none is made for can't be had."""
    if setting.earthing_lugs:
        yield Need("lug", modelling.recipes(catalog.parts.lugs, fitout.unit_type))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each unit has a lug that is for its type."""
    for unit in build.units if ask.setting.earthing_lugs else ():
        made = [lug.id for lug in catalog.parts.lugs if fits(lug, unit.unit_type)]
        if not made:
            yield Breach(f"{unit.unit_type} can't be earthed: no lug is made for it", unit.position)
        elif not any(along.slot == "lug" and along.part in made and along.count > 0 for along in unit.along):
            yield Breach(f"{unit.unit_type} has no lug, made for it are: {', '.join(made)}", unit.position)


RULE = Rule(
    id="racking.lugs",
    family="racking",
    sentence="Where earthing lugs are asked, each unit has one that is made for its type.",
    source=COMMON_PRACTICE,
    about=("earthing_lugs",),
    explains=("lug",),
    applies=lambda catalog: bool(catalog.parts.lugs),
    requires=Requires(unit=needs),
    check=check,
)
