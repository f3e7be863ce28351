"""A unit has the fan trays that its number of supplies needs.

More supplies make more heat; an empty fan bay where the chassis expects a tray stops the unit.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from ..looking import type_of

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """Another number of trays than the supplies need, or trays of two kinds."""
    bays = fitout.unit_type.fan_bays
    trays = fitout.fan_trays
    if bays is None:
        return bool(trays)
    needed = bays.by_supplies[: max(1, len(fitout.supplies))][-1]
    return len(trays) != needed or len({tray.id for tray in trays}) > 1


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """As many trays as the type says for so many supplies, of a kind it takes, all alike."""
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if unit_type is None:
            continue
        bays = unit_type.fan_bays
        by_supplies = bays.by_supplies if bays else (0,)
        supplies = max(len(unit.supplies), 1)
        needed = by_supplies[min(supplies, len(by_supplies)) - 1]
        if len(unit.fan_trays) != needed:
            yield Breach(
                f"{len(unit.fan_trays)} fan trays, {unit_type.id} with {supplies} supplies has {needed}",
                unit.position,
            )
        kinds = sorted(set(unit.fan_trays))
        for tray in kinds:
            if bays and tray not in bays.takes:
                yield Breach(f"{tray} is a fan tray, {unit_type.id} takes {', '.join(bays.takes)}", unit.position)
        if len(kinds) > 1:
            yield Breach(f"{len(kinds)} kinds of fan tray, a unit takes 1: {', '.join(kinds)}", unit.position)


RULE = Rule(
    id="power.fan_trays",
    family="power",
    sentence="A unit has as many fan trays as its number of supplies needs, all the same part.",
    source=COMMON_PRACTICE,
    forbids={"fans": forbids},
    explains=("fan tray",),
    check=check,
)
