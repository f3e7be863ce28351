"""All units of a stack run one software release, which has every feature asked.

Why it matters: units of different releases don't form a stack, and a feature may be newer than a unit's last release.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.kinds import said_by
from configurator.rule import COMMON_PRACTICE, Breach, Rule, Topic
from configurator.setting import Ask, Setting

from .. import looking
from . import modelling
from .checking import feature_of

# the rule's part of the model


def agrees(ask: Ask, catalog: Catalog) -> Iterator[Topic]:
    """The releases that have every feature; of two that other types don't tell apart, the newer."""
    asked = [*ask.setting.features, *(feature for _, said in said_by(ask) for feature in said.features)]
    rows = [row for name in dict.fromkeys(asked) if (row := modelling.feature_row(name, catalog)) is not None]
    of_features = [row.releases for row in rows if row.releases]
    known = [release for releases in of_features for release in releases]
    known += [release for unit_type in catalog.parts.unit_types for release in unit_type.releases]
    if not known:
        return
    newer = {release: place for place, release in enumerate(known)}  # lists go from old to new
    one = ask.setting.release
    able = [r for r in ([*newer] if one is None else [one]) if all(r in releases for releases in of_features)]
    runs = {release: _runs(release, catalog) for release in able}

    def outdone(release: str, other: str) -> bool:
        alike = runs[release] == runs[other]
        return newer[release] < newer[other] if alike else runs[release] < runs[other]

    yield Topic("release", tuple(r for r in able if not any(outdone(r, other) for other in able if other != r)))


def _runs(release: str, catalog: Catalog) -> frozenset[str]:
    """The unit types that run a release."""
    types = catalog.parts.unit_types
    return frozenset(unit_type.id for unit_type in types if not unit_type.releases or release in unit_type.releases)


def forbids_type(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A type that doesn't run the stack's release."""
    release, releases = setting.agreed_on("release"), fitout.unit_type.releases
    return release is not None and bool(releases) and release not in releases


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks for a release that all units run and all features are in; it is the one that is named, if one is."""
    limits = list(_limits(build, ask, catalog))
    named = [agreed.choice for agreed in build.agreed if agreed.topic == "release"]
    asked = ask.setting.release
    if asked is not None:
        named += [asked]
        if any(release != asked for release in named):
            yield Breach(f"the stack runs release {named[0]}, {asked} is asked")
    for release in dict.fromkeys(named):
        for position, what, listed in limits:
            if release not in listed:
                yield Breach(f"release {release} is none of {what} ({', '.join(listed)})", position)
    if not named and limits and not set.intersection(*(set(listed) for _, _, listed in limits)):
        both = "; ".join(dict.fromkeys(f"{what}: {', '.join(listed)}" for _, what, listed in limits))
        yield Breach(f"no release is all units' and has all features ({both})")


def _limits(build: Build, ask: Ask, catalog: Catalog) -> Iterator[tuple[int | None, str, tuple[str, ...]]]:
    """The releases of each unit and feature that lists any: position of the unit, words, releases."""
    for unit in build.units:
        unit_type = looking.type_of(unit, catalog)
        if unit_type is not None and unit_type.releases:
            yield unit.position, f"those of {unit_type.id}", unit_type.releases
    of_ports = [name for said in looking.statements(ask).values() for name in said.features]
    for name in dict.fromkeys([*ask.setting.features, *of_ports]):
        feature = feature_of(name, catalog)
        if feature is not None and feature.releases:
            yield None, f"those with {name}", feature.releases


RULE = Rule(
    id="licences.release",
    family="licences",
    sentence="All units of a stack run one software release, which has every feature asked.",
    source=COMMON_PRACTICE,
    about=("release", "features", "ports", "devices", "uplinks"),
    applies=lambda catalog: (
        any(one.releases for one in catalog.parts.unit_types) or any(one.releases for one in catalog.parts.features)
    ),
    agrees=agrees,
    forbids={"type": forbids_type},
    check=check,
)
