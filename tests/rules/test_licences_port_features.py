"""A feature asked of some ports is licensed for each of them, on every unit, or once for the whole stack."""

from __future__ import annotations

import pytest

from configurator.build import Along, Build
from configurator_rules.licences.port_features import RULE
from tests.rules.service_world import feature, for_statement, has, licence, told, typed, world
from tests.rules.worlds import build, make_ask, make_catalog, unit, use

CATALOG = world(
    typed("T"),
    typed("OWN", features=["sensing"]),
    features=[feature("sensing"), feature("locking"), feature("free", licensed=False)],
    licences=[
        licence("P", "sensing", scope="port"),
        licence("PP", "sensing", "locking", scope="port"),
        licence("L", "sensing"),
        licence("ALL", "sensing", scope="stack"),
    ],
)
DOORS = {"count": 3, "features": ["sensing"], "name": "doors"}
ASK = make_ask(ports=[DOORS, {"count": 1}])
FIRST = (use("access", 1), use("access", 2))
SECOND = (use("access", 1), use("access", 2, "ports[1]"))


def stack(*along: Along, one: tuple[Along, ...] = (), two: tuple[Along, ...] = ()) -> Build:
    """Two units: three ports of the first statement, one of the second."""
    return build(unit(*FIRST, along=one), unit(*SECOND, position=2, along=two), along=along)


@pytest.mark.parametrize(
    "good",
    [
        stack(for_statement("ports[0]", "P", 3)),
        stack(for_statement("ports[0]", "P", 1), for_statement("ports[0]", "PP", 2)),
        stack(one=has("L"), two=has("L")),
        stack(*has("ALL")),
    ],
)
def test_each_port_every_unit_or_the_stack(good: Build) -> None:
    """The other statement's port needs nothing."""
    assert told(RULE, good, ASK, CATALOG) == []


@pytest.mark.parametrize(
    ("bad", "have"),
    [
        (stack(), 0),
        (stack(for_statement("ports[0]", "P", 2)), 2),
        (stack(for_statement("ports[1]", "P", 3)), 0),
        (stack(one=has("L")), 0),
        (stack(*has("L")), 0),
        (stack(one=has(P=2), two=has("P")), 0),
    ],
)
def test_too_few(bad: Build, have: int) -> None:
    """Fewer than ports, for another statement, on one of two units, where none belongs."""
    text = f"ports[0] (doors): 3 ports need a licence for sensing, {have} have one"
    assert told(RULE, bad, ASK, CATALOG) == [text]


def test_growth_counts() -> None:
    """Four ports serve where three were asked for."""
    grown = build(unit(*FIRST, use("access", 3), use("access", 4), along=()), along=[for_statement("ports[0]", "P", 3)])
    text = "ports[0] (doors): 4 ports need a licence for sensing, 3 have one"
    assert told(RULE, grown, ASK, CATALOG) == [text]


def test_a_licence_with_two_features_serves_both() -> None:
    ask = make_ask(ports=[{"count": 2, "features": ["sensing", "locking"]}])
    two = build(unit(*FIRST), along=[for_statement("ports[0]", "PP", 2)])
    assert told(RULE, two, ask, CATALOG) == []
    one = build(unit(*FIRST), along=[for_statement("ports[0]", "PP", 1), for_statement("ports[0]", "P", 1)])
    assert told(RULE, one, ask, CATALOG) == ["ports[0]: 2 ports need a licence for locking, 1 have one"]


def test_what_is_asked_of_the_whole_stack_is_not_this_rules() -> None:
    assert told(RULE, stack(), make_ask(ports=[DOORS], features=["sensing"]), CATALOG) == []


def test_types_that_have_it_and_features_without_licences() -> None:
    assert told(RULE, build(unit(*FIRST, unit_type="OWN")), ASK, CATALOG) == []
    assert told(RULE, build(unit(*FIRST)), make_ask(ports=[{"count": 2, "features": ["free"]}]), CATALOG) == []


def test_a_catalog_without_features_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog())
