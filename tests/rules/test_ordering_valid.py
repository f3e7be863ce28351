"""The price list is valid on the order date."""

from __future__ import annotations

from datetime import date

import pytest

from configurator.catalog import Catalog
from configurator_rules.ordering.valid import RULE
from tests.rules.worlds import ORDER_DATE, breaches, build, make_ask, make_catalog

ASK = make_ask(ports=[{"count": 1}])


def listed(issued: date, valid_until: date) -> Catalog:
    """A price list of these dates; the order is of 2030-03-01."""
    return make_catalog(prices={"issued": issued, "valid_until": valid_until})


@pytest.mark.parametrize(
    "catalog", [listed(ORDER_DATE, date(2030, 3, 31)), listed(date(2030, 1, 1), ORDER_DATE)], ids=["first", "last"]
)
def test_both_days_are_included(catalog: Catalog) -> None:
    assert breaches(RULE, build(), ASK, catalog) == []


def test_a_list_that_has_run_out() -> None:
    assert breaches(RULE, build(), ASK, listed(date(2029, 3, 1), date(2030, 2, 28))) == [
        "the price list is valid from 2029-03-01 to 2030-02-28, the order is of 2030-03-01"
    ]


def test_a_list_that_isnt_out_yet() -> None:
    assert breaches(RULE, build(), ASK, listed(date(2030, 3, 2), date(2030, 12, 31))) == [
        "the price list is valid from 2030-03-02 to 2030-12-31, the order is of 2030-03-01"
    ]
