"""Where support is asked, every unit has a contract."""

from __future__ import annotations

import pytest

from configurator.build import Along
from configurator_rules.support.contract import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    support=[
        contract("YEAR"),
        contract("MONTH", by_month=True, term_months=60),
        contract("PART", covers_parts=["SR"]),
    ],
)
ASKS = [{"support_level": "basic"}, {"support_months": 12}, {"support_until": "2031-03-01"}]


@pytest.mark.parametrize("asked", ASKS)
def test_each_unit_has_one(asked: dict[str, object]) -> None:
    """Of a fixed term, or by the month."""
    assert told(RULE, build(*units(has("YEAR"), has(MONTH=12))), make_ask(**asked), CATALOG) == []


def test_none_is_needed_where_none_is_asked() -> None:
    assert told(RULE, build(*units(())), make_ask(), CATALOG) == []


@pytest.mark.parametrize("asked", ASKS)
@pytest.mark.parametrize("along", [(), has("PART"), has(YEAR=0)])
def test_a_unit_without_one(asked: dict[str, object], along: tuple[Along, ...]) -> None:
    """Nothing, a contract of some part of it, none of one."""
    found = told(RULE, build(*units(has("YEAR"), along)), make_ask(**asked), CATALOG)
    assert found == ["unit 2: no support contract for the unit"]


def test_one_for_the_stack_is_none_for_its_units() -> None:
    found = told(RULE, build(*units((), ()), along=has(YEAR=2)), make_ask(support_months=12), CATALOG)
    assert found == [f"unit {n}: no support contract for the unit" for n in (1, 2)]


def test_no_more_months_than_are_sold() -> None:
    found = told(RULE, build(*units(has(MONTH=61))), make_ask(support_months=61), CATALOG)
    assert found == ["unit 1: MONTH for 61 months, it is sold for 60 at most"]


def test_a_catalog_without_contracts_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog())
