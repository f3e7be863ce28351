"""What comes in packs is ordered in whole packs."""

from __future__ import annotations

from configurator.catalog import PriceRow
from configurator_rules.ordering.packs import RULE
from tests.rules.order_world import order, order_ask, order_breaches
from tests.rules.worlds import make_catalog, twinax

ROWS = {
    "DAC": PriceRow(part="DAC", price_minor=10_00, status="active", lead_time_days=5, pack_size=4),
    "LONG": PriceRow(part="LONG", price_minor=20_00, status="active", lead_time_days=5, least_quantity=3),
}
CATALOG = make_catalog(prices={"rows": ROWS}, cables=[twinax("DAC", 1), twinax("LONG", 3)])


def test_whole_packs() -> None:
    assert order_breaches(RULE, order(DAC=8, LONG=1), order_ask(), CATALOG) == []


def test_a_pack_too_few_cables_or_too_many() -> None:
    broken = "7 of DAC on the order, which comes in packs of 4"
    assert order_breaches(RULE, order(DAC=7), order_ask(), CATALOG) == [broken]
    assert order_breaches(RULE, order(DAC=2, LONG=5), order_ask(), CATALOG) == [
        "2 of DAC on the order, which comes in packs of 4"
    ]


def test_lines_of_one_part_count_together() -> None:
    """3 and 1 are a pack; 4 and 1 are not two."""
    four, five = order(DAC=3), order(DAC=4)
    more = order(DAC=1).ordered
    assert order_breaches(RULE, four.model_copy(update={"ordered": (*four.ordered, *more)}), order_ask(), CATALOG) == []
    assert order_breaches(RULE, five.model_copy(update={"ordered": (*five.ordered, *more)}), order_ask(), CATALOG) == [
        "5 of DAC on the order, which comes in packs of 4"
    ]


def test_a_list_without_packs_is_free_of_it() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(prices={"rows": {"LONG": ROWS["LONG"]}}, cables=[twinax("LONG", 3)]))
