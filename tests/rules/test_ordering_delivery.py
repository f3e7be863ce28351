"""Every part is there by the date asked."""

from __future__ import annotations

from configurator.catalog import PriceRow
from configurator.setting import OrderAsk
from configurator_rules.ordering.delivery import RULE
from tests.rules.order_world import order, order_breaches, spare
from tests.rules.worlds import bought, breaches, build, make_ask, make_catalog, optic, part, unit

ROWS = {
    "BOX": PriceRow(part="BOX", price_minor=1000_00, status="active", lead_time_days=30),
    "SR": PriceRow(part="SR", price_minor=50_00, status="active", lead_time_days=45),
}
CATALOG = make_catalog(prices={"rows": ROWS}, boxes=[part("BOX", unit="T")], optics=[optic("SR")])
BUILD = build(unit(bought=bought(BOX=1)), bought=bought(SR=2))


def test_there_on_the_day() -> None:
    """From 2030-03-01, 45 days end on 2030-04-15."""
    assert breaches(RULE, BUILD, make_ask(deliver_by="2030-04-15"), CATALOG) == []
    assert breaches(RULE, BUILD, make_ask(), CATALOG) == []


def test_a_day_late() -> None:
    assert breaches(RULE, BUILD, make_ask(deliver_by="2030-04-14"), CATALOG) == [
        "SR takes 45 days, 2030-04-14 is asked and that is in 44"
    ]


def test_all_that_are_late_are_told() -> None:
    assert breaches(RULE, BUILD, make_ask(deliver_by="2030-03-11"), CATALOG) == [
        "BOX takes 30 days, 2030-03-11 is asked and that is in 10",
        "SR takes 45 days, 2030-03-11 is asked and that is in 10",
    ]


def test_a_spare_that_is_late() -> None:
    shelf = order((1, build(unit(bought=bought(BOX=1)))), spares=[spare("BOX", 1, "T"), spare("SR", 1)])
    assert order_breaches(RULE, shelf, OrderAsk((make_ask(deliver_by="2030-04-15"),)), CATALOG) == []
    assert order_breaches(RULE, shelf, OrderAsk((make_ask(deliver_by="2030-04-14"),)), CATALOG) == [
        "spares[0]: SR takes 45 days, 2030-04-14 is asked and that is in 44"
    ]
