"""Every contract is of the level asked, or of a higher one."""

from __future__ import annotations

import pytest

from configurator_rules.support.level import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

LEVELS = [{"id": "next day", "rank": 1}, {"id": "same day", "rank": 2}, {"id": "four hours", "rank": 3}]
CONTRACTS = [
    contract("SLOW", level="next day"),
    contract("FAST", level="four hours"),
    contract("ODD", level="gold"),
    contract("PART", level="next day", covers_parts=["SR"]),
]
CATALOG = world(typed("T"), support=CONTRACTS, support_levels=LEVELS)


@pytest.mark.parametrize(("number", "asked"), [("SLOW", "next day"), ("FAST", "same day"), ("ODD", "gold")])
def test_the_level_asked_or_a_higher_one(number: str, asked: str) -> None:
    """The same, one between, and one that has no rank."""
    assert told(RULE, build(*units(has(number))), make_ask(support_level=asked), CATALOG) == []


@pytest.mark.parametrize(
    ("number", "level", "asked"),
    [("SLOW", "next day", "same day"), ("ODD", "gold", "next day"), ("FAST", "four hours", "gold")],
)
def test_a_lower_level_or_one_without_rank(number: str, level: str, asked: str) -> None:
    found = told(
        RULE,
        build(*units(has("FAST" if asked != "gold" else "ODD"), has(number))),
        make_ask(support_level=asked),
        CATALOG,
    )
    assert found == [f"unit 2: {number} is of level {level}, {asked} is asked"]


def test_contracts_of_parts_are_of_the_level_too() -> None:
    one = build(*units(has("FAST")), along=has("PART"))
    assert told(RULE, one, make_ask(support_level="same day"), CATALOG) == [
        "PART is of level next day, same day is asked"
    ]


def test_without_ranks_only_the_level_itself() -> None:
    catalog = world(typed("T"), support=CONTRACTS)
    ask = make_ask(support_level="next day")
    assert told(RULE, build(*units(has("SLOW"))), ask, catalog) == []
    assert told(RULE, build(*units(has("FAST"))), ask, catalog) == [
        "unit 1: FAST is of level four hours, next day is asked"
    ]


def test_any_level_will_do_where_none_is_asked() -> None:
    assert told(RULE, build(*units(has("SLOW"))), make_ask(support_months=12), CATALOG) == []


def test_a_catalog_without_contracts_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog())
