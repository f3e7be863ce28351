"""A unit of a type that runs on subscription has one of its subscriptions."""

from __future__ import annotations

import pytest

from configurator.build import Along
from configurator_rules.licences.subscription import RULE
from tests.rules.service_world import has, licence, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T", subscriptions=["BASE", "MORE"]),
    typed("FREE"),
    licences=[
        licence("BASE", term_months=36),
        licence("MORE", "routing", term_months=36),
        licence("OTHER", "routing", term_months=36),
    ],
)


@pytest.mark.parametrize("number", ["BASE", "MORE"])
def test_either_will_do(number: str) -> None:
    assert told(RULE, build(*units(has(number))), make_ask(), CATALOG) == []


def test_a_type_without_subscriptions_needs_none() -> None:
    assert told(RULE, build(*units((), name="FREE")), make_ask(), CATALOG) == []


@pytest.mark.parametrize("along", [(), has("OTHER"), has(BASE=0)])
def test_a_unit_without_one(along: tuple[Along, ...]) -> None:
    """None at all, a licence that isn't one of them, none of one."""
    found = told(RULE, build(*units(has("BASE"), along)), make_ask(), CATALOG)
    assert found == ["unit 2: T needs one of BASE, MORE, it has none"]


def test_one_for_the_stack_is_none_for_the_unit() -> None:
    found = told(RULE, build(*units(()), along=has("BASE")), make_ask(), CATALOG)
    assert found == ["unit 1: T needs one of BASE, MORE, it has none"]


def test_types_without_subscriptions_are_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(licences=[licence("BASE")]))
