"""A unit of a type that runs on subscription has one of its subscriptions.

Why it matters: such a switch is ordered with a term or isn't ordered at all.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

from ..looking import type_of
from .checking import held

# the rule's part of the model


def needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """One of the type's subscriptions; what it licenses besides needn't be bought again."""
    if fitout.unit_type.subscriptions:
        yield Need("subscription", tuple((one,) for one in fitout.unit_type.subscriptions), kept=True)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each unit whose type lists subscriptions has one of them."""
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        listed = unit_type.subscriptions if unit_type is not None else ()
        if listed and not any(licence.id in listed for licence, _ in held(unit.along, catalog)):
            yield Breach(f"{unit.unit_type} needs one of {', '.join(listed)}, it has none", unit.position)


RULE = Rule(
    id="licences.subscription",
    family="licences",
    sentence="A unit of a type that runs on subscription has one of its subscriptions.",
    source=COMMON_PRACTICE,
    applies=lambda catalog: any(unit_type.subscriptions for unit_type in catalog.parts.unit_types),
    requires=Requires(unit=needs),
    check=check,
)
