"""What the licence rules' parts of the model share: features that need a licence, and the ways to have one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from configurator.catalog import Catalog
from configurator.parts import UnitType
from configurator.rule import Need
from configurator.services import Feature, Licence
from configurator.setting import Setting

EVERY_UNIT = "every unit"
EVERY_PORT = "every port"
OF_STACK, OF_PORTS = "licence ", "port licence "  # what topics about a feature begin with


def feature_row(feature: str, catalog: Catalog) -> Feature | None:
    """What the catalog says about a feature."""
    return next((row for row in catalog.parts.features if row.id == feature), None)


def of_units(setting: Setting, catalog: Catalog) -> tuple[str, ...]:
    """Features asked of every unit that need a licence; one that nobody knows does."""
    return tuple(feature for feature in dict.fromkeys(setting.features) if _needs_licence(feature, catalog))


def of_ports(features: Iterable[str], setting: Setting, catalog: Catalog) -> tuple[str, ...]:
    """Of features asked of some ports, those that need a licence and aren't asked of every unit."""
    asked = (feature for feature in dict.fromkeys(features) if feature not in setting.features)
    return tuple(feature for feature in asked if _needs_licence(feature, catalog))


def _needs_licence(feature: str, catalog: Catalog) -> bool:
    row = feature_row(feature, catalog)
    return row is None or row.licensed


def licences_with(feature: str, scope: Literal["unit", "stack", "port"], catalog: Catalog) -> tuple[Licence, ...]:
    """The licences of a scope that have a feature."""
    return tuple(one for one in catalog.parts.licences if one.scope == scope and feature in one.features)


def wide_ways(feature: str, catalog: Catalog) -> tuple[str, ...]:
    """Ways to license all that a stack does: one of its licences for stacks, or every unit."""
    own = any(feature in unit_type.features for unit_type in catalog.parts.unit_types)
    by_unit = (EVERY_UNIT,) if own or licences_with(feature, "unit", catalog) else ()
    return (*(one.id for one in licences_with(feature, "stack", catalog)), *by_unit)


def port_ways(feature: str, catalog: Catalog) -> dict[str, tuple[str, ...]]:
    """Ways to license ports one by one, with the unit types that a stack may have then; none: all.

    Licences that list unit types serve stacks of these alone, each list in a way of its own.
    """
    lists = sorted({tuple(sorted(one.unit_types)) for one in licences_with(feature, "port", catalog)})
    return {f"{EVERY_PORT} of {', '.join(types)}" if types else EVERY_PORT: types for types in lists}


def port_licences(feature: str, types: tuple[str, ...], catalog: Catalog) -> tuple[Licence, ...]:
    """Licences for ports of a stack of these unit types; none: of all."""
    found = licences_with(feature, "port", catalog)
    return tuple(one for one in found if not one.unit_types or (types and set(types) <= set(one.unit_types)))


def unit_need(feature: str, unit_type: UnitType, catalog: Catalog) -> Iterable[Need]:
    """A unit's licence, for a type that can't do without."""
    if feature not in unit_type.features:
        recipes = tuple((one.id,) for one in licences_with(feature, "unit", catalog))
        yield Need(f"licence {feature}", recipes, kept=True)


def for_stack(prefix: str, setting: Setting, catalog: Catalog) -> tuple[str, ...]:
    """The licences for the whole stack that were agreed on under topics that begin like this, each once."""
    stacks = {one.id for one in catalog.parts.licences if one.scope == "stack"}
    agreed = (choice for topic, choice in setting.agreed if topic.startswith(prefix))
    return tuple(choice for choice in dict.fromkeys(agreed) if choice in stacks)
