"""No part is ordered in a smaller number than it is sold in."""

from __future__ import annotations

from configurator.catalog import PriceRow
from configurator_rules.ordering.least import RULE
from tests.rules.order_world import order, order_ask, order_breaches
from tests.rules.worlds import make_catalog, twinax

ROWS = {
    "DAC": PriceRow(part="DAC", price_minor=10_00, status="active", lead_time_days=5, pack_size=4),
    "LONG": PriceRow(part="LONG", price_minor=20_00, status="active", lead_time_days=5, least_quantity=3),
}
CATALOG = make_catalog(prices={"rows": ROWS}, cables=[twinax("DAC", 1), twinax("LONG", 3)])


def test_the_least_quantity_and_more() -> None:
    assert order_breaches(RULE, order(DAC=1, LONG=3), order_ask(), CATALOG) == []
    assert order_breaches(RULE, order(LONG=4), order_ask(), CATALOG) == []


def test_fewer_than_the_least_quantity() -> None:
    assert order_breaches(RULE, order(LONG=2), order_ask(), CATALOG) == [
        "2 of LONG on the order, which is sold from 3 up"
    ]
    assert order_breaches(RULE, order(DAC=4, LONG=1), order_ask(), CATALOG) == [
        "1 of LONG on the order, which is sold from 3 up"
    ]


def test_none_of_it_is_ordered() -> None:
    assert order_breaches(RULE, order(DAC=1), order_ask(), CATALOG) == []


def test_a_list_without_least_quantities_is_free_of_it() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(cables=[twinax("DAC", 1)]))
