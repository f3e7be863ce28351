"""The supplies of a unit are alike unless its type lets them differ.

Unlike supplies don't share the load; most chassis refuse to start with them.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from ..looking import type_of
from .supply_fits import BUILT_IN

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """Different supplies where the type doesn't allow it."""
    bays = fitout.unit_type.supply_bays
    return bays is not None and not bays.mixed and len({supply.id for supply in fitout.supplies}) > 1


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """One part number in all bays of a unit whose type doesn't say `mixed`."""
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if unit_type is None or unit_type.supply_bays is None or unit_type.supply_bays.mixed:
            continue
        kinds = sorted({fitted.supply for fitted in unit.supplies if fitted.bay != BUILT_IN})
        if len(kinds) > 1:
            yield Breach(f"{len(kinds)} kinds of supply, {unit_type.id} takes 1: {', '.join(kinds)}", unit.position)


RULE = Rule(
    id="power.supply_mix",
    family="power",
    sentence="All supplies of a unit are the same part unless its type lets them differ.",
    source=COMMON_PRACTICE,
    forbids={"supplies": forbids},
    check=check,
)
