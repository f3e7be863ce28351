"""Units are bought in the style asked: in bundles, or as base units with loose parts."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.parts import Box
from configurator.setting import OrderAsk
from configurator_rules.ordering.bought_as import RULE
from tests.rules.order_world import order, order_breaches, spare
from tests.rules.worlds import bought, breaches, build, make_ask, make_catalog, part, unit

SUPPLY = part("PS", outputs=[{"from_v": 100, "to_v": 240, "output_w": 500}])
CATALOG = make_catalog(
    boxes=[
        part("BARE", unit="T"),
        part("FULL", unit="T", contents=[{"part": "PS"}]),
        part("UBARE", unit="U"),
        part("UFULL", unit="U", contents=[{"part": "PS", "count": 2}]),
    ],
    supplies=[SUPPLY],
    kits=[part("KIT", contents=[{"part": "PS", "count": 2}])],
)
BARE = build(unit(box="BARE", bought=bought(BARE=1, PS=1)))
FULL = build(unit(box="FULL", bought=bought(FULL=1)), bought=bought(KIT=1))


def test_nobody_says_how() -> None:
    for wishes in ({}, {"bought_as": "either"}):
        assert breaches(RULE, BARE, make_ask(**wishes), CATALOG) == []
        assert breaches(RULE, FULL, make_ask(**wishes), CATALOG) == []


def test_bundles_and_loose_parts_where_bundles_are_asked() -> None:
    """Kits are no bundles: they hold no unit, and may be bought in any style."""
    assert breaches(RULE, FULL, make_ask(bought_as="bundles"), CATALOG) == []
    assert breaches(RULE, BARE, make_ask(bought_as="base_units"), CATALOG) == []
    kit = build(unit(box="BARE", bought=bought(BARE=1)), bought=bought(KIT=1))
    assert breaches(RULE, kit, make_ask(bought_as="base_units"), CATALOG) == []


def test_a_base_unit_where_bundles_are_asked() -> None:
    mixed = build(unit(box="BARE", bought=bought(BARE=1)), unit(position=2, box="FULL", bought=bought(FULL=1)))
    assert breaches(RULE, mixed, make_ask(bought_as="bundles"), CATALOG) == [
        "1 of BARE to order, a base unit; T is to be bought in bundles"
    ]


def test_bundles_where_base_units_are_asked() -> None:
    two = build(unit(bought=bought(FULL=1)), unit(position=2, bought=bought(FULL=1)))
    assert breaches(RULE, two, make_ask(bought_as="base_units"), CATALOG) == [
        "2 of FULL to order, a bundle; T is to be bought as base units"
    ]


@pytest.mark.parametrize(
    ("whole", "of_u", "wrong"),
    [
        ("bundles", "base_units", ["BARE", "UFULL"]),
        ("bundles", "either", ["BARE"]),
        ("base_units", "bundles", ["FULL", "UBARE"]),
        (None, "bundles", ["UBARE"]),
    ],
)
def test_a_single_type_is_bought_otherwise(whole: str | None, of_u: str, wrong: list[str]) -> None:
    every = build(unit(bought=bought(BARE=1, FULL=1, UBARE=1, UFULL=1)))
    ask = make_ask(bought_as=whole, bought_as_by_type=[{"unit": "U", "bought_as": of_u}])
    assert [text.split()[2] for text in breaches(RULE, every, ask, CATALOG)] == wrong


@pytest.mark.parametrize(("said", "style"), [(True, "bundles"), (False, "base_units")])
def test_a_catalog_that_says_otherwise(said: bool, style: str) -> None:
    """A unit with a cord in the box may be sold as a base unit, and one alone under a bundle's terms."""
    contents: list[dict[str, Any]] = [] if said else [{"part": "PS"}]
    catalog = make_catalog(boxes=[part("BOX", unit="T", bundle=said, contents=contents)], supplies=[SUPPLY])
    one = build(unit(bought=bought(BOX=1)))
    assert breaches(RULE, one, make_ask(bought_as=style), catalog) == []
    other = "base_units" if said else "bundles"
    assert len(breaches(RULE, one, make_ask(bought_as=other), catalog)) == 1
    assert RULE.forbids_part is not None
    (box,) = catalog.parts.boxes
    assert isinstance(box, Box)
    assert RULE.forbids_part(box, make_ask(bought_as=other).setting, catalog)
    assert not RULE.forbids_part(box, make_ask(bought_as=style).setting, catalog)


def test_a_spare_of_the_other_style() -> None:
    """One stack that may buy it is enough: the order is one."""
    shelf = order((1, build(unit())), (1, build(unit(), stack="other")), spares=[spare("FULL", 1, "T")])
    plain, bundles = make_ask(bought_as="base_units"), make_ask(name="other", bought_as="bundles")
    assert order_breaches(RULE, shelf, OrderAsk((plain, bundles)), CATALOG) == []
    alike = make_ask(name="other", bought_as="base_units")
    assert order_breaches(RULE, shelf, OrderAsk((plain, alike)), CATALOG) == [
        "spares[0]: 1 of FULL to order, a bundle; T is to be bought as base units"
    ]
