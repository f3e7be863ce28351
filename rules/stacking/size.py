"""A stack has no more units than its smallest member allows.

Software counts members; one small type in a mixed stack brings its own limit along.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Arrangement, Fitout
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask

from ..looking import type_of

# the rule's part of the model


def arranges(arrangement: Arrangement, ask: Ask, catalog: Catalog) -> bool:
    """No more units than each family allows."""
    mode = arrangement.mode
    return mode is None or all(arrangement.units <= _largest(name, catalog) for name in mode.families)


def _largest(family: str, catalog: Catalog) -> int:
    """The largest limit of a family's types."""
    known = catalog.cache("largest stacks")
    if family not in known:
        known[family] = max(_limit(unit, catalog) for unit in catalog.parts.unit_types if unit.family == family)
    largest: int = known[family]
    return largest


def _limit(unit: UnitType, catalog: Catalog) -> int:
    return unit.largest_stack or catalog.families[unit.family].largest_stack


def _units(amount: int) -> str:
    return "1 unit" if amount == 1 else f"{amount} units"


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """A type with a smaller limit than others of its family limits the stack it is in."""
    for unit in catalog.parts.unit_types:
        if _limit(unit, catalog) < _largest(unit.family, catalog):

            def has(fitout: Fitout, name: str = unit.id) -> bool:
                return fitout.unit_type.id == name

            yield Row("<=", _limit(unit, catalog), fitouts=lambda _: 1, only_if=has, by_type=True, told=_units)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """The number of units is within the least of the types' own limits, or else their families'."""
    limits: dict[str, int] = {}
    for unit in build.units:
        unit_type = type_of(unit, catalog)
        if unit_type is None:
            continue
        family = catalog.families.get(unit_type.family)
        if unit_type.largest_stack is not None:
            limits[f"with {unit_type.id}"] = unit_type.largest_stack
        elif family:
            limits[f"of {family.id}"] = family.largest_stack
    if limits:
        whose, most = min(limits.items(), key=lambda item: item[1])
        if len(build.units) > most:
            yield Breach(f"{len(build.units)} units, a stack {whose} has at most {most}")


RULE = Rule(
    id="stacking.size",
    family="stacking",
    sentence="A stack has no more units than the smallest limit of its members.",
    source=COMMON_PRACTICE,
    arranges=arranges,
    limits=limits,
    check=check,
)
