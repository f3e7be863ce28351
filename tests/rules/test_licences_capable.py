"""Every unit of a stack is of a type that can do what is asked of the stack and of its ports."""

from __future__ import annotations

import pytest

from configurator.setting import Ask
from configurator_rules.licences.capable import RULE
from tests.rules.service_world import feature, has, licence, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    typed("U"),
    typed("OWN", features=["sensing"]),
    features=[feature("sensing", unit_types=["T"]), feature("routing")],
    licences=[licence("L", "sensing")],
)
ASKS = [make_ask(features=["sensing"]), make_ask(ports=[{"count": 1, "features": ["sensing"]}])]


@pytest.mark.parametrize("ask", ASKS)
def test_types_that_can(ask: Ask) -> None:
    """A type that is listed, and one that does it by itself."""
    assert told(RULE, build(*units((), ())), ask, CATALOG) == []
    assert told(RULE, build(*units((), name="OWN")), ask, CATALOG) == []


@pytest.mark.parametrize("ask", ASKS)
def test_no_licence_helps_a_type_that_can_not(ask: Ask) -> None:
    """Also where only some port asks for it."""
    none = build(*units(has("L"), has("L"), name="U"))
    text = "U can't do sensing, which T can"
    assert told(RULE, none, ask, CATALOG) == [f"unit 1: {text}", f"unit 2: {text}"]


def test_an_unknown_type_can_do_nothing_that_is_listed() -> None:
    found = told(RULE, build(*units((), name="NONE")), ASKS[0], CATALOG)
    assert found == ["unit 1: NONE can't do sensing, which T can"]


def test_what_every_type_can_do_and_what_is_not_asked() -> None:
    assert told(RULE, build(*units((), name="U")), make_ask(features=["routing"]), CATALOG) == []
    assert told(RULE, build(*units((), name="U")), make_ask(), CATALOG) == []


def test_features_of_all_types_are_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(features=[feature("routing")]))
