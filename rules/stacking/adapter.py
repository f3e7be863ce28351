"""A unit that stacks has the adapters its type needs.

Some types stack only with a card that is neither in their box nor in the cable's.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

# the rule's part of the model


def needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """The adapters of its type, for a unit that stacks."""
    for adapter in catalog.parts.stack_adapters:
        if fitout.stack is not None and fitout.unit_type.id in adapter.unit_types:
            yield Need("adapter", ((adapter.id,),), adapter.count)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Every unit of a stack of two or more has as many of each adapter as its type needs."""
    if len(build.units) < 2:
        return
    for unit in build.units:
        for adapter in catalog.parts.stack_adapters:
            has = unit.adapters.count(adapter.id)
            if unit.unit_type in adapter.unit_types and has < adapter.count:
                yield Breach(
                    f"{unit.unit_type} stacks with {adapter.count} {adapter.id}, it has {has}: "
                    f"short by {adapter.count - has}",
                    unit.position,
                )


RULE = Rule(
    id="stacking.adapter",
    family="stacking",
    sentence="A unit that stacks has the adapters its type needs.",
    source=COMMON_PRACTICE,
    applies=lambda catalog: bool(catalog.parts.stack_adapters),
    requires=Requires(unit=needs),
    check=check,
)
