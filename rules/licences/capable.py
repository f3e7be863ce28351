"""Every unit of a stack is of a type that can do what is asked of the stack and of its ports.

Why it matters: no licence teaches a chip what it can't do.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking
from . import modelling
from .checking import feature_of

# the rule's part of the model


def forbids_type(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A type that can't do some feature; one that has it without a licence can."""
    unit_type = fitout.unit_type
    rows = (modelling.feature_row(name, catalog) for name in (*setting.features, *setting.port_features))
    listed = (row for row in rows if row is not None and row.unit_types)
    return any(unit_type.id not in row.unit_types and row.id not in unit_type.features for row in listed)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares each unit's type with those that can do each feature."""
    of_ports = [feature for said in looking.statements(ask).values() for feature in said.features]
    for name in dict.fromkeys([*ask.setting.features, *of_ports]):
        feature = feature_of(name, catalog)
        if feature is None or not feature.unit_types:
            continue
        for unit in build.units:
            unit_type = looking.type_of(unit, catalog)
            able = unit.unit_type in feature.unit_types or (unit_type is not None and name in unit_type.features)
            if not able:
                can = ", ".join(feature.unit_types)
                yield Breach(f"{unit.unit_type} can't do {name}, which {can} can", unit.position)


RULE = Rule(
    id="licences.capable",
    family="licences",
    sentence="Every unit of a stack is of a type that can do what is asked of the stack and of its ports.",
    source=COMMON_PRACTICE,
    about=("features", "ports", "devices", "uplinks"),
    applies=lambda catalog: any(feature.unit_types for feature in catalog.parts.features),
    forbids={"type": forbids_type},
    check=check,
)
