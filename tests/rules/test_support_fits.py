"""A contract covers only the unit types that it lists."""

from __future__ import annotations

from configurator_rules.support.fits import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    typed("U"),
    support=[
        contract("ANY"),
        contract("FOR-TU", unit_types=["T", "U"]),
        contract("FOR-T", unit_types=["T"]),
        contract("PART", covers_parts=["SR"], unit_types=["T"]),
    ],
)
ASK = make_ask(support_months=12)


def test_contracts_that_list_the_type_or_none() -> None:
    assert told(RULE, build(*units(has("ANY"), has("FOR-TU"), name="U")), ASK, CATALOG) == []


def test_a_contract_for_another_type() -> None:
    assert told(RULE, build(*units(has("ANY"), has("FOR-T"), name="U")), ASK, CATALOG) == [
        "unit 2: FOR-T covers T, the unit is a U"
    ]


def test_a_contract_for_other_types() -> None:
    assert told(RULE, build(*units(has("FOR-TU"), name="V")), ASK, CATALOG) == [
        "unit 1: FOR-TU covers T, U, the unit is a V"
    ]


def test_a_parts_contract_covers_no_unit() -> None:
    assert told(RULE, build(*units(has("ANY", "PART"), name="U")), ASK, CATALOG) == []


def test_contracts_without_lists_are_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(support=[contract("ANY")]))
