"""Every contract holds in the country of the site."""

from __future__ import annotations

import pytest

from configurator_rules.support.country import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    support=[
        contract("HERE", countries=["DE", "FR"]),
        contract("THERE", countries=["CH"]),
        contract("ANY"),
        contract("PART", countries=["CH"], covers_parts=["SR"]),
    ],
)


@pytest.mark.parametrize("number", ["HERE", "ANY"])
def test_a_contract_of_the_country_or_of_all(number: str) -> None:
    assert told(RULE, build(*units(has(number))), make_ask(country="FR", support_months=12), CATALOG) == []


def test_a_contract_of_another_country() -> None:
    found = told(RULE, build(*units(has("HERE"), has("THERE"))), make_ask(country="DE"), CATALOG)
    assert found == ["unit 2: THERE holds in CH, the site is in DE"]
    found = told(RULE, build(*units(has("HERE"))), make_ask(country="CH"), CATALOG)
    assert found == ["unit 1: HERE holds in DE, FR, the site is in CH"]


def test_contracts_of_parts_have_countries_too() -> None:
    found = told(RULE, build(*units(has("HERE")), along=has(PART=2)), make_ask(country="DE"), CATALOG)
    assert found == ["PART holds in CH, the site is in DE"]


def test_a_site_in_no_stated_country_is_not_looked_at() -> None:
    assert told(RULE, build(*units(has("THERE"))), make_ask(), CATALOG) == []


def test_contracts_of_all_countries_are_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(support=[contract("ANY")]))
