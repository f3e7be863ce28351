"""Every part to order is sold in the customer's region."""

from __future__ import annotations

import pytest

from configurator.setting import OrderAsk
from configurator_rules.ordering.region import RULE
from tests.rules.order_world import order, order_breaches, spare
from tests.rules.worlds import bought, breaches, build, make_ask, make_catalog, part, unit

CATALOG = make_catalog(
    boxes=[
        part("BOX", unit="T"),
        part("BOXE", unit="T", regions=["EMEA"]),
        part("BOXD", unit="T", regions=["CH", "DE"]),
        part("BOXA", unit="T", regions=["AMER", "US"]),
    ],
    countries=[{"code": "DE", "name": "Germany", "mains_v": 230, "regions": ["EU", "EMEA"]}],
)
ALL_BUT_A = build(unit(bought=bought(BOX=1, BOXE=1, BOXD=1)))


def test_sold_everywhere_in_the_region_or_in_the_country() -> None:
    """Germany's regions are the customer's, though the order names only the country."""
    assert breaches(RULE, ALL_BUT_A, make_ask(country="DE"), CATALOG) == []
    assert breaches(RULE, build(unit(bought=bought(BOX=1, BOXE=1))), make_ask(region="EMEA"), CATALOG) == []


def test_a_part_of_another_region() -> None:
    bad = build(unit(bought=bought(BOXA=2)))
    assert breaches(RULE, bad, make_ask(country="DE"), CATALOG) == [
        "2 of BOXA to order, which is sold in AMER, US, the customer is in DE, EU, EMEA"
    ]


@pytest.mark.parametrize("wish", [{"region": "EMEA"}, {"country": "AT", "region": "EMEA"}])
def test_a_part_of_some_countries_of_the_region_only(wish: dict[str, str]) -> None:
    found = breaches(RULE, build(bought=bought(BOXD=1)), make_ask(**wish), CATALOG)
    customer = ", ".join(filter(None, ("EMEA", wish.get("country"))))
    assert found == [f"1 of BOXD to order, which is sold in CH, DE, the customer is in {customer}"]


def test_nobody_said_where() -> None:
    """Where no region and no country is said, none is at odds with a part's."""
    assert breaches(RULE, build(unit(bought=bought(BOXA=1))), make_ask(), CATALOG) == []


def test_a_spare_that_is_sold_to_no_stack() -> None:
    """One stack's region is enough: the order is one."""
    shelf = order((1, build(unit())), (1, build(unit(), stack="other")), spares=[spare("BOXA", 1, "T")])
    here, there = make_ask(country="DE"), make_ask(name="other", region="AMER")
    assert order_breaches(RULE, shelf, OrderAsk((here, there)), CATALOG) == []
    elsewhere = make_ask(name="other", region="APAC")
    assert order_breaches(RULE, shelf, OrderAsk((here, elsewhere)), CATALOG) == [
        "spares[0]: 1 of BOXA to order, which is sold in AMER, US, the customer is in DE, EU, EMEA"
    ]


def test_a_stack_that_is_not_on_the_order_buys_nothing_for_the_shelf() -> None:
    shelf = order((1, build(unit())), spares=[spare("BOXA", 1, "T")])
    asked = OrderAsk((make_ask(country="DE"), make_ask(name="other", region="AMER")))
    assert len(order_breaches(RULE, shelf, asked, CATALOG)) == 1
