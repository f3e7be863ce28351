"""Everything in a unit blows one way.

Two fans that blow against each other cool nothing: the unit overheats or refuses to start.
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
    """Parts of one unit that blow against each other."""
    parts = ({s.airflow for s in fitout.supplies} | {tray.airflow for tray in fitout.fan_trays}) - {None, "fanless"}
    own = fitout.unit_type.airflow
    if own in ("front-to-back", "back-to-front"):
        parts.add(own)
    return len(parts) > 1


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Supplies and trays with a direction share one, and it is the type's if the type has one."""
    for unit in build.units:
        ways: dict[str, list[str]] = {}
        unit_type = type_of(unit, catalog)
        if unit_type and unit_type.airflow in ("front-to-back", "back-to-front"):
            ways.setdefault(unit_type.airflow, []).append(unit_type.id)
        parts: list[Supply | FanTray | None] = [part_of(fitted.supply, Supply, catalog) for fitted in unit.supplies]
        parts += [part_of(tray, FanTray, catalog) for tray in unit.fan_trays]
        for part in parts:
            if part and part.airflow and part.airflow != "fanless":
                ways.setdefault(part.airflow, []).append(part.id)
        if len(ways) > 1:
            told = "; ".join(f"{', '.join(sorted(set(parts)))} blow {way}" for way, parts in sorted(ways.items()))
            yield Breach(f"{len(ways)} directions of air in one unit: {told}", unit.position)


RULE = Rule(
    id="airflow.one_direction",
    family="airflow",
    sentence="All supplies and fan trays of a unit blow in one direction, the type's own if it has one.",
    source=COMMON_PRACTICE,
    forbids={"fans": forbids},
    check=check,
)
