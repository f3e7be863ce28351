"""A feature asked of a stack is licensed on all of its units, or once for the whole stack.

Why it matters: a stack routes only when each of its units may, whichever of them is in charge today.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Arrangement, Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule, Topic
from configurator.setting import Ask, Setting

from . import modelling
from .checking import stack_has, takes_licence, unit_has

# the rule's part of the model


def agrees(ask: Ask, catalog: Catalog) -> Iterator[Topic]:
    """How each feature is licensed: by one licence for the stack, or on every unit."""
    for feature in modelling.of_units(ask.setting, catalog):
        yield Topic(modelling.OF_STACK + feature, modelling.wide_ways(feature, catalog))


def unit_needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """A licence for each feature that is licensed on every unit."""
    for feature in modelling.of_units(setting, catalog):
        if setting.agreed_on(modelling.OF_STACK + feature) == modelling.EVERY_UNIT:
            yield from modelling.unit_need(feature, fitout.unit_type, catalog)


def stack_needs(arrangement: Arrangement, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """Each licence for the whole stack, once, whatever it is for."""
    for licence in modelling.for_stack(modelling.OF_STACK, setting, catalog):
        yield Need("stack licence", ((licence,),))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each feature is the whole stack's, or each unit has it."""
    for feature in dict.fromkeys(ask.setting.features):
        if not takes_licence(feature, catalog) or stack_has(build, feature, catalog):
            continue
        without = [unit for unit in build.units if not unit_has(unit, feature, catalog)]
        have = len(build.units) - len(without)
        for unit in without:
            yield Breach(f"no licence for {feature}, which {have} of {len(build.units)} units have", unit.position)


RULE = Rule(
    id="licences.features",
    family="licences",
    sentence="A feature asked of a stack is licensed on every unit of it, or once for the whole stack.",
    source=COMMON_PRACTICE,
    about=("features",),
    applies=lambda catalog: bool(catalog.parts.features),
    agrees=agrees,
    requires=Requires(unit=unit_needs, stack=stack_needs),
    check=check,
)
