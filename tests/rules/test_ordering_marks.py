"""What carries current, light or air has the marks asked, where marks are stated for its kind."""

from __future__ import annotations

from configurator.setting import OrderAsk
from configurator_rules.ordering.marks import RULE
from tests.rules.order_world import order, order_breaches, spare
from tests.rules.worlds import bought, breaches, build, make_ask, make_catalog, optic, part, twinax, unit

OUTPUTS = [{"from_v": 100, "to_v": 240, "output_w": 500}]
CATALOG = make_catalog(
    boxes=[
        part("BOX", unit="T", marks=["CE", "UKCA"]),
        part("BOXC", unit="T", marks=["CE"], contents=[{"part": "PSN"}]),
    ],
    supplies=[part("PS", outputs=OUTPUTS, marks=["UKCA", "CE"]), part("PSN", outputs=OUTPUTS)],
    optics=[optic("SR")],
    cables=[twinax("DAC", 1)],
    attenuators=[part("DB", connector="LC", loss_db=5, marks=["CE"]), part("DBN", connector="LC", loss_db=5)],
    kits=[part("KIT", contents=[{"part": "PSN"}])],
)


def test_every_mark_asked_is_there() -> None:
    good = build(unit(bought=bought(BOX=1, PS=2)))
    assert breaches(RULE, good, make_ask(marks=["CE", "UKCA"]), CATALOG) == []


def test_one_mark_of_two_is_missing() -> None:
    bad = build(unit(bought=bought(BOXC=1)))
    assert breaches(RULE, bad, make_ask(marks=["CE"]), CATALOG) == []
    assert breaches(RULE, bad, make_ask(marks=["CE", "UKCA"]), CATALOG) == [
        "1 of BOXC to order, which lacks UKCA; its marks: CE"
    ]


def test_a_part_without_marks_of_a_kind_that_has_some() -> None:
    bad = build(unit(bought=bought(BOX=1)), bought=bought(PSN=2))
    assert breaches(RULE, bad, make_ask(marks=["CE", "UKCA"]), CATALOG) == [
        "2 of PSN to order, which lacks CE, UKCA; its marks: none"
    ]


def test_kinds_of_which_no_mark_is_stated_are_free() -> None:
    """Nothing is known of optics and cables here."""
    good = build(unit(bought=bought(BOX=1, SR=1)), bought=bought(DAC=1))
    assert breaches(RULE, good, make_ask(marks=["CE"]), CATALOG) == []


def test_attenuators_and_kits_need_none() -> None:
    good = build(unit(bought=bought(BOX=1)), bought=bought(DBN=1, KIT=1))
    assert breaches(RULE, good, make_ask(marks=["CE"]), CATALOG) == []


def test_nothing_is_asked() -> None:
    assert breaches(RULE, build(unit(bought=bought(BOXC=1, PSN=1))), make_ask(), CATALOG) == []


def test_a_catalog_without_marks_is_free_of_it() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(boxes=[part("BOX", unit="T")], lugs=[part("LUG", marks=["CE"])]))


def test_a_spare_without_a_mark() -> None:
    shelf = order((1, build(unit(bought=bought(BOXC=1)))), spares=[spare("BOXC", 1, "T"), spare("PSN", 1)])
    assert order_breaches(RULE, shelf, OrderAsk((make_ask(marks=["CE"]),)), CATALOG) == [
        "spares[0]: 1 of PSN to order, which lacks CE; its marks: none"
    ]
