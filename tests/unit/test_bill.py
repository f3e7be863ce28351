from __future__ import annotations

from collections import Counter

import pytest

from configurator import bill
from tests.unit import hand_made

CATALOG = hand_made.catalog()


def test_a_bill_adds_up_what_units_and_stack_buy() -> None:
    counts = bill.bought(hand_made.build())
    assert counts == {
        "alder.24p.kit": 1,
        "alder.24p.bare": 1,
        "alder.supply": 2,
        "alder.cord": 3,
        "alder.optic": 2,
        "alder.rear": 2,
        "alder.split": 1,
    }
    lines = bill.lines(counts, CATALOG)
    assert bill.total_minor(lines) == 317500
    assert {line.part: line.amount_minor for line in lines} == {
        "alder.24p.bare": 100000,
        "alder.24p.kit": 130000,
        "alder.supply": 50000,
        "alder.optic": 18000,
        "alder.rear": 6000,
        "alder.split": 12000,
        "alder.cord": 1500,
    }


def test_copies_multiply_quantities_and_contents_but_no_unit_price() -> None:
    lines = bill.lines(bill.bought(hand_made.build()), CATALOG, times=3)
    supply = next(line for line in lines if line.part == "alder.supply")
    assert (supply.quantity, supply.included, supply.unit_price_minor, supply.amount_minor) == (6, 3, 25000, 150000)
    assert bill.total_minor(lines) == 3 * 317500


def test_lines_stand_by_group_and_then_by_part_number() -> None:
    lines = bill.lines(Counter(dict.fromkeys(hand_made.PRICES, 1)), CATALOG)
    assert [(line.group, line.part) for line in lines] == [
        ("units", "alder.24p.bare"),
        ("units", "alder.24p.kit"),
        ("supplies", "alder.supply"),
        ("fans", "alder.tray"),
        ("modules", "alder.join"),
        ("modules", "alder.module"),
        ("optics", "alder.optic"),
        ("cables", "alder.lead"),
        ("cables", "alder.rear"),
        ("cables", "alder.split"),
        ("cords", "alder.cord"),
        ("fixings", "alder.ears"),
        ("licences", "alder.right"),
    ]


def test_contents_of_boxes_are_told_apart_and_never_charged() -> None:
    counts = bill.bought(hand_made.build())
    inside = [(one.box, one.part, one.quantity) for one in bill.contents(counts, CATALOG)]
    assert inside == [
        ("alder.24p.bare", "alder.ears", 1),
        ("alder.24p.kit", "alder.ears", 2),
        ("alder.24p.kit", "alder.supply", 1),
    ]
    lines = {line.part: line for line in bill.lines(counts, CATALOG)}
    assert "alder.ears" not in lines
    assert (lines["alder.supply"].quantity, lines["alder.supply"].included) == (2, 1)
    assert lines["alder.cord"].included == 0


def test_a_part_without_a_price_stops_the_bill() -> None:
    prices = {part: price for part, price in hand_made.PRICES.items() if part != "alder.rear"}
    with pytest.raises(bill.Unpriced, match=r"alder\.rear"):
        bill.lines(bill.bought(hand_made.build()), hand_made.catalog(prices))


def test_a_price_of_nothing_is_a_price() -> None:
    free = hand_made.catalog({**hand_made.PRICES, "alder.rear": 0})
    assert bill.total_minor(bill.lines(bill.bought(hand_made.build()), free)) == 317500 - 6000
