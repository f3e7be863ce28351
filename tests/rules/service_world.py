"""Licences, contracts and units that have them, for tests of one rule."""

from __future__ import annotations

from typing import Any

from configurator.build import Along, Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.rule import Rule
from configurator.setting import Ask
from tests.rules.worlds import breaches, group, make_catalog, part, unit, unit_type


def typed(name: str, **said: Any) -> dict[str, Any]:
    """A unit type with four access ports."""
    return unit_type(group("access", 4), **{"id": name, **said})


def world(*types: dict[str, Any], **parts: Any) -> Catalog:
    """A catalog of these unit types, each in a box, and these parts."""
    boxes = [part(f"{one['id']}-BOX", unit=one["id"]) for one in types]
    return make_catalog(unit_types=list(types), boxes=boxes, **parts)


def feature(name: str, **said: Any) -> dict[str, Any]:
    """A feature that needs a licence and that every type can have."""
    return {"id": name, "description": "-", **said}


def licence(number: str, *features: str, scope: str = "unit", **said: Any) -> dict[str, Any]:
    """A licence with these features, for good."""
    return part(number, features=features, scope=scope, **said)


def contract(number: str, **said: Any) -> dict[str, Any]:
    """A contract of a year at level `basic`."""
    return part(number, **{"level": "basic", "term_months": 12, **said})


def has(*parts: str, **counts: int) -> tuple[Along, ...]:
    """What comes along, one of each or so many."""
    return tuple(Along(slot="-", part=number, count=n) for number, n in [*((p, 1) for p in parts), *counts.items()])


def for_statement(statement: str, number: str, count: int) -> Along:
    """What comes along with a statement's ports."""
    return Along(slot="-", part=number, count=count, statement=statement)


def units(*along: tuple[Along, ...], name: str = "T") -> list[BuiltUnit]:
    """Units of one type, from position 1, with what comes along with each."""
    return [unit(position=n, unit_type=name, along=mine) for n, mine in enumerate(along, start=1)]


def told(rule: Rule, one: Build, ask: Ask, catalog: Catalog) -> list[str]:
    """What the rule's check says, where it applies."""
    assert rule.applies(catalog)
    return breaches(rule, one, ask, catalog)
