"""Every contract holds at the site's distance from the nearest depot."""

from __future__ import annotations

import pytest

from configurator_rules.support.distance import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    support=[
        contract("NEAR", within_km=50),
        contract("FAR", within_km=300),
        contract("ANY"),
        contract("PART", within_km=50, covers_parts=["SR"]),
    ],
)


@pytest.mark.parametrize(("number", "km"), [("NEAR", 0), ("NEAR", 50), ("FAR", 51), ("ANY", 20_000)])
def test_a_contract_that_reaches_the_site(number: str, km: int) -> None:
    assert told(RULE, build(*units(has(number))), make_ask(depot_km=km), CATALOG) == []


@pytest.mark.parametrize(("number", "within", "km"), [("NEAR", 50, 51), ("FAR", 300, 500)])
def test_a_contract_that_does_not(number: str, within: int, km: int) -> None:
    found = told(RULE, build(*units(has("ANY"), has(number))), make_ask(depot_km=km), CATALOG)
    assert found == [f"unit 2: {number} holds within {within} km of a depot, the site is {km} km away"]


def test_contracts_of_parts_have_a_distance_too() -> None:
    found = told(RULE, build(*units(has("FAR")), along=has("PART")), make_ask(depot_km=100), CATALOG)
    assert found == ["PART holds within 50 km of a depot, the site is 100 km away"]


def test_where_the_distance_is_not_known_it_is_not_looked_at() -> None:
    assert told(RULE, build(*units(has("NEAR"))), make_ask(), CATALOG) == []


def test_contracts_without_a_distance_are_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(support=[contract("ANY")]))
