"""Every unit blows the way the customer's rows do.

Cold aisles and hot aisles only work when all units draw from the cold one; types without a fan
don't care, types that blow sideways never fit.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.parts import FanTray, Supply
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from ..looking import part_of, type_of

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """Parts, or a type, that blow another way than asked."""
    if setting.airflow is None:
        return False
    ways = ({s.airflow for s in fitout.supplies} | {tray.airflow for tray in fitout.fan_trays}) - {None, "fanless"}
    own = fitout.unit_type.airflow
    if own == "fanless":
        return False
    return bool((ways | ({own} if own is not None else set())) - {setting.airflow})


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """A unit that has one direction has the one asked; mixed directions are another rule's business."""
    asked = ask.setting.airflow
    if asked is None:
        return
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        own = unit_type.airflow if unit_type else None
        if own == "fanless":
            continue
        if own == "side-to-side":
            yield Breach(f"{unit.unit_type} blows side-to-side, asked is {asked}", unit.position)
            continue
        parts: list[Supply | FanTray | None] = [part_of(fitted.supply, Supply, catalog) for fitted in unit.supplies]
        parts += [part_of(tray, FanTray, catalog) for tray in unit.fan_trays]
        ways = {part.airflow for part in parts if part} | {own}
        ways -= {None, "fanless"}
        if len(ways) == 1 and asked not in ways:
            yield Breach(f"{unit.unit_type} blows {ways.pop()}, asked is {asked}", unit.position)


RULE = Rule(
    id="airflow.as_asked",
    family="airflow",
    sentence="Every unit blows in the direction asked.",
    source=COMMON_PRACTICE,
    about=("airflow",),
    forbids={"fans": forbids},
    check=check,
)
