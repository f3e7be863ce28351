"""A feature asked of some ports is licensed for each of them, on every unit, or once for the whole stack.

Why it matters: the port without a licence is found on the day its device is plugged in.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Arrangement, Fitout
from configurator.kinds import Kind, Plug, said_by
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule, Topic
from configurator.services import Licence
from configurator.setting import Ask, Setting

from .. import looking
from . import modelling
from .checking import held, stack_has, takes_licence, unit_has

# the rule's part of the model


def agrees(ask: Ask, catalog: Catalog) -> Iterator[Topic]:
    """How each feature of ports is licensed."""
    asked = sorted(feature for _, said in said_by(ask) for feature in said.features)
    for feature in modelling.of_ports(asked, ask.setting, catalog):
        yield Topic(modelling.OF_PORTS + feature, _ways(feature, catalog))


def _ways(feature: str, catalog: Catalog) -> tuple[str, ...]:
    return (*modelling.wide_ways(feature, catalog), *modelling.port_ways(feature, catalog))


def unit_needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """A licence for each feature that is licensed on every unit."""
    for feature in modelling.of_ports(setting.port_features, setting, catalog):
        if setting.agreed_on(modelling.OF_PORTS + feature) == modelling.EVERY_UNIT:
            yield from modelling.unit_need(feature, fitout.unit_type, catalog)


def stack_needs(arrangement: Arrangement, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """Each licence for the whole stack, once, unless the stack has it anyway."""
    there = modelling.for_stack(modelling.OF_STACK, setting, catalog)
    for licence in modelling.for_stack(modelling.OF_PORTS, setting, catalog):
        if licence not in there:
            yield Need("stack licence", ((licence,),))


def served_needs(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """Licences for all features of a port that are licensed port by port: one need for each way to agree on them."""
    features = modelling.of_ports(kind.said.features, setting, catalog)
    by_port = {feature: modelling.port_ways(feature, catalog) for feature in features}
    for ways in product(*((None, *by_port[feature]) for feature in features)):
        here = {feature: way for feature, way in zip(features, ways, strict=True) if way is not None}
        if not here:
            continue
        otherwise = frozenset(
            (modelling.OF_PORTS + feature, way)
            for feature in features
            for way in (_ways(feature, catalog) if feature in here else by_port[feature])
            if way != here.get(feature)
        )
        serving = [modelling.port_licences(f, by_port[f][way], catalog) for f, way in here.items()]
        yield Need(f"port licence {', '.join(here)}", _together(serving), unless=otherwise)


def _together(serving: list[tuple[Licence, ...]]) -> tuple[tuple[str, ...], ...]:
    """Sets of licences with one or more for each feature, none of which could be left out."""
    sets = {frozenset(one.id for one in chosen) for chosen in product(*serving)}
    return tuple(sorted(tuple(sorted(one)) for one in sets if not any(other < one for other in sets)))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts, for each statement, its ports against licences for them, unless all units or the stack have one."""
    for statement, said in looking.statements(ask).items():
        ports = sum(use.statement == statement for _, use in looking.uses(build))
        for feature in dict.fromkeys(said.features):
            if feature in ask.setting.features or not takes_licence(feature, catalog):
                continue
            if stack_has(build, feature, catalog) or all(unit_has(unit, feature, catalog) for unit in build.units):
                continue
            found = sum(
                line.count
                for licence, line in held(build.along, catalog)
                if licence.scope == "port" and feature in licence.features and line.statement == statement
            )
            if found < ports:
                what = looking.title(statement, said)
                yield Breach(f"{what}: {ports} ports need a licence for {feature}, {found} have one")


RULE = Rule(
    id="licences.port_features",
    family="licences",
    sentence="A feature asked of some ports is licensed for each of them, on every unit, or once for the whole stack.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    applies=lambda catalog: bool(catalog.parts.features),
    agrees=agrees,
    requires=Requires(unit=unit_needs, stack=stack_needs, served=served_needs),
    check=check,
)
