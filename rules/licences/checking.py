"""What the licence checks share: who has which licence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from configurator.build import Along, Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.services import Feature, Licence

from ..looking import part_of, type_of


def feature_of(name: str, catalog: Catalog) -> Feature | None:
    """The feature of this name."""
    return {feature.id: feature for feature in catalog.parts.features}.get(name)


def takes_licence(name: str, catalog: Catalog) -> bool:
    """Whether nobody has the feature without a licence, or an own right to it."""
    feature = feature_of(name, catalog)
    return feature.licensed if feature is not None else True


def held(along: Iterable[Along], catalog: Catalog) -> Iterator[tuple[Licence, Along]]:
    """The licences among what comes along."""
    for line in along:
        licence = part_of(line.part, Licence, catalog)
        if licence is not None and line.count > 0:
            yield licence, line


def unit_has(unit: BuiltUnit, feature: str, catalog: Catalog) -> bool:
    """Whether a unit has a feature by its type or by a licence of its own."""
    unit_type = type_of(unit, catalog)
    own = unit_type is not None and feature in unit_type.features
    return own or any(one.scope == "unit" and feature in one.features for one, _ in held(unit.along, catalog))


def stack_has(build: Build, feature: str, catalog: Catalog) -> bool:
    """Whether a licence for the whole stack has a feature."""
    return any(one.scope == "stack" and feature in one.features for one, _ in held(build.along, catalog))
