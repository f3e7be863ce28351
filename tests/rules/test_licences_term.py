"""A licence that ends runs at least as many months as asked."""

from __future__ import annotations

import pytest

from configurator_rules.licences.term import RULE
from tests.rules.service_world import for_statement, has, licence, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    licences=[
        licence("Y1", "routing", term_months=12),
        licence("Y3", "routing", term_months=36),
        licence("GOOD", "routing"),
        licence("S1", "routing", scope="stack", term_months=12),
        licence("P1", "routing", scope="port", term_months=12),
    ],
)


@pytest.mark.parametrize(("number", "months"), [("Y1", 12), ("Y3", 36), ("Y3", 13), ("GOOD", 240)])
def test_a_licence_that_runs_long_enough(number: str, months: int) -> None:
    """Just as long, longer, and for good."""
    assert told(RULE, build(*units(has(number))), make_ask(licence_months=months), CATALOG) == []


def test_any_term_will_do_where_none_is_asked() -> None:
    assert told(RULE, build(*units(has("Y1"))), make_ask(), CATALOG) == []


@pytest.mark.parametrize(("number", "months"), [("Y1", 13), ("Y3", 37)])
def test_a_licence_that_ends_too_soon(number: str, months: int) -> None:
    has_months = {"Y1": 12, "Y3": 36}[number]
    found = told(RULE, build(*units(has("GOOD"), has(number))), make_ask(licence_months=months), CATALOG)
    assert found == [f"unit 2: {number} runs {has_months} months, {months} are asked"]


def test_licences_of_the_stack_and_of_ports_end_too() -> None:
    one = build(*units(()), along=[*has("S1"), for_statement("ports[0]", "P1", 4)])
    assert told(RULE, one, make_ask(licence_months=24), CATALOG) == [
        "S1 runs 12 months, 24 are asked",
        "P1 runs 12 months, 24 are asked",
    ]


def test_licences_for_good_are_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(licences=[licence("GOOD", "routing")]))
