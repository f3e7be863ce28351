"""A unit feeds no more PoE than its type allows, however strong its supplies are.

Makers cap the PoE of a chassis, or publish it by combination of supplies; the published figure
counts, not the sum of the outputs.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Budget, Rule
from configurator.setting import Ask, Setting

from . import modelling
from .checking import powered_units, table_dw, tenths, watts

# the rule's part of the model


def gives(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """The chassis cap, or the table's row of these supplies, whichever is less."""
    cap = fitout.unit_type.poe_cap_w
    limits = [] if cap is None else [modelling.dw(cap)]
    if fitout.unit_type.poe_table:
        limits.append(modelling.tabled_dw(fitout.unit_type, fitout.supplies, setting))
    return min(limits, default=None)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """PoE reserved in a unit is within the chassis cap and within the row of exactly its supplies."""
    for one in powered_units(build, ask, catalog):
        limits: list[tuple[str, int]] = []
        if one.unit_type.poe_cap_w is not None:
            limits.append((one.unit_type.id, tenths(one.unit_type.poe_cap_w)))
        if one.unit_type.poe_table:
            fitted = " and ".join(sorted(supply.id for supply in one.supplies)) or "no supply"
            has_dw = table_dw(one.unit_type, one.supplies, ask.setting.input_v)
            limits.append((f"{one.unit_type.id} with {fitted}", has_dw))
        for what, has_dw in limits:
            if one.poe_dw > has_dw:
                yield Breach(
                    f"ports reserve {watts(one.poe_dw)} of PoE, {what} feeds at most {watts(has_dw)}: "
                    f"short by {watts(one.poe_dw - has_dw)}",
                    one.position,
                )


RULE = Rule(
    id="power.poe_budget",
    family="power",
    sentence="A unit feeds no more PoE than its chassis and its combination of supplies allow.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "input_v"),
    applies=lambda catalog: any(t.poe_cap_w is not None or t.poe_table for t in catalog.parts.unit_types),
    budgets=(Budget("PoE", gives, modelling.takes_nothing, modelling.draws_poe),),
    check=check,
)
