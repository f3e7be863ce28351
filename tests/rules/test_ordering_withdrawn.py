"""No withdrawn part is ordered."""

from __future__ import annotations

from configurator.catalog import PriceRow
from configurator.setting import OrderAsk
from configurator_rules.ordering.withdrawn import RULE
from tests.rules.order_world import order, order_breaches, spare
from tests.rules.worlds import bought, breaches, build, make_ask, make_catalog, optic, part, unit

ROWS = {
    "BOX": PriceRow(part="BOX", price_minor=1000_00, status="active", lead_time_days=5),
    "OLDBOX": PriceRow(part="OLDBOX", price_minor=500_00, status="withdrawn", lead_time_days=5),
    "OLDSR": PriceRow(part="OLDSR", price_minor=50_00, status="withdrawn", lead_time_days=5),
}
CATALOG = make_catalog(
    prices={"rows": ROWS},
    boxes=[part("BOX", unit="T", contents=[{"part": "OLDSR"}]), part("OLDBOX", unit="T")],
    optics=[optic("OLDSR")],
)
ASK = make_ask(ports=[{"count": 1}])


def test_active_parts() -> None:
    """What lies in an active box is nobody's order."""
    assert breaches(RULE, build(unit(bought=bought(BOX=1))), ASK, CATALOG) == []


def test_a_withdrawn_box() -> None:
    good, bad = unit(bought=bought(BOX=1)), unit(position=2, bought=bought(OLDBOX=1))
    assert breaches(RULE, build(good, bad), ASK, CATALOG) == ["1 of OLDBOX to order, which is withdrawn"]


def test_a_withdrawn_optic_for_the_stack() -> None:
    assert breaches(RULE, build(bought=bought(OLDSR=4)), ASK, CATALOG) == ["4 of OLDSR to order, which is withdrawn"]


def test_a_withdrawn_spare() -> None:
    """Though it is in service out of a box."""
    shelf = order((1, build(unit(bought=bought(BOX=1)))), spares=[spare("BOX", 1, "T"), spare("OLDSR", 2)])
    assert order_breaches(RULE, shelf, OrderAsk((ASK,)), CATALOG) == [
        "spares[0]: 2 of OLDSR to order, which is withdrawn"
    ]
