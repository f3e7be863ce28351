"""Every part to order is on the price list."""

from __future__ import annotations

from typing import Any

from configurator.catalog import PriceRow
from configurator.setting import OrderAsk
from configurator_rules.ordering.priced import RULE
from tests.rules.order_world import order, order_breaches, spare
from tests.rules.worlds import bought, breaches, build, make_ask, make_catalog, part, unit

ROW = PriceRow(part="BOX", price_minor=0, status="active", lead_time_days=1)
PARTS: dict[str, Any] = {
    "boxes": [part("BOX", unit="T")],
    "supplies": [part("PS", outputs=[dict(from_v=100, to_v=240, output_w=500)])],
}
ASK = make_ask(ports=[{"count": 1}])


def test_all_parts_have_a_price() -> None:
    """A price may be nothing; that is a price."""
    catalog = make_catalog(prices={"rows": {"BOX": ROW}}, **PARTS)
    assert breaches(RULE, build(unit(bought=bought(BOX=1))), ASK, catalog) == []
    assert breaches(RULE, build(unit(bought=bought(BOX=1, PS=2))), ASK, make_catalog(**PARTS)) == []


def test_a_part_of_a_unit_without_a_price() -> None:
    catalog = make_catalog(prices={"rows": {"BOX": ROW}}, **PARTS)
    assert breaches(RULE, build(unit(bought=bought(BOX=1, PS=2))), ASK, catalog) == [
        "2 of PS to order, which has no price on the list"
    ]


def test_a_part_of_the_stack_without_a_price() -> None:
    catalog = make_catalog(prices={"rows": {}}, **PARTS)
    assert breaches(RULE, build(bought=bought(PS=3)), ASK, catalog) == [
        "3 of PS to order, which has no price on the list"
    ]


def test_a_spare_without_a_price() -> None:
    catalog = make_catalog(prices={"rows": {"BOX": ROW}}, **PARTS)
    shelf = order((1, build(unit())), spares=[spare("BOX", 1, "T"), spare("PS", 2)])
    assert order_breaches(RULE, shelf, OrderAsk((ASK,)), catalog) == [
        "spares[0]: 2 of PS to order, which has no price on the list"
    ]
