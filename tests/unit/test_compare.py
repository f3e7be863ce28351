"""Ways to buy, worked out by hand: a type in a bundle or alone, what is in use, a second supply."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

import configurator
from configurator.buying.break_evens import change_percent
from configurator.buying.compare import MOST_STACKS
from configurator.buying.comparison import Comparison
from configurator.catalog import Catalog, PriceList, PriceRow
from configurator.demand import Demand, Stack
from configurator.parts import Parts
from configurator.reading import Asked
from configurator.setting import Ask, Setting, Statement

ON = date(2030, 3, 1)
OUTPUTS = [{"from_v": 100, "to_v": 240, "output_w": 500}]
BAYS = {"count": 2, "takes": ["PS"]}
# One unit type alone for 1000.00, or with two supplies for 1150.00; a supply for 100.00, as a kit of two 170.00.
PRICES = {"ALONE": 100_000, "PAIR": 115_000, "PS": 10_000, "TWO": 17_000}


def shop(prices: dict[str, int] | None = None, **unit: Any) -> Catalog:
    """One unit type of eight ports."""
    ports = [{"id": "c", "count": 8, "connector": "RJ45", "speeds_mbps": [1000]}]
    row = {"id": "T", "description": "-", "family": "F", "base_draw_w": 50, "ports": ports, "supply_bays": BAYS}
    boxes: list[dict[str, Any]] = [
        {"id": "ALONE", "description": "unit alone", "unit": "T"},
        {"id": "PAIR", "description": "two supplies", "unit": "T", "contents": [{"part": "PS", "count": 2}]},
    ]
    parts = Parts.model_validate(
        {
            "families": [{"id": "F"}],
            "unit_types": [{**row, **unit}],
            "boxes": boxes,
            "supplies": [{"id": "PS", "description": "supply", "outputs": OUTPUTS}],
            "kits": [{"id": "TWO", "description": "two supplies", "contents": [{"part": "PS", "count": 2}]}],
        }
    )
    listed = PRICES if prices is None else prices
    rows = {p: PriceRow(part=p, price_minor=m, status="active", lead_time_days=1) for p, m in listed.items()}
    return Catalog(parts, PriceList("EUR", 2, date(2030, 1, 1), date(2030, 12, 31), rows))


def asked(**wishes: Any) -> Asked:
    """One stack of four ports."""
    stack = Stack.model_validate({"name": "closet", "ports": [{"count": 4}], **wishes})
    names = ("on_supply_loss", "bought_as")
    said = {name: getattr(stack, name) for name in names if getattr(stack, name) is not None}
    statements = {key: Statement(key, f"{key}: {value}") for key, value in said.items()}
    statements["ports[0]"] = Statement("ports[0]", "4 ports")
    return Asked(Demand(stacks=(stack,)), (Ask(stack, Setting(ON, **said), statements=statements),), ())


def totals(found: Comparison) -> dict[str, int | None]:
    """By side."""
    return {side.key: side.total_minor for side in found.sides}


def test_base_units_win_while_one_supply_will_do() -> None:
    """1000 + 100 against 1150: the bundle would have to cost 1100.00, 4.4 % less, rounded so that it holds."""
    found = configurator.compare(asked(), shop())
    assert totals(found) == {"bundles": 115_000, "base_units": 110_000, "either": 110_000}
    assert found.cheapest == ("base_units", "either")
    (flip,) = found.break_even
    assert (flip.bundle, flip.outcome, flip.price_minor, flip.ordered) == ("PAIR", "flips", 110_000, 0)
    assert (flip.with_minor, flip.without_minor) == (110_000, 110_000)
    assert flip.change_percent == Decimal("-4.4")
    (bundle,) = found.sides[0].bundles
    (part,) = bundle.included
    assert (part.used, part.idle, bundle.idle_minor) == (1, 1, 10_000)


def test_bundles_win_where_two_supplies_are_asked() -> None:
    """1150 against 1000 + 170 for the kit: 1170.00 is the most that the bundle may cost."""
    found = configurator.compare(asked(on_supply_loss="carries_all"), shop())
    assert totals(found) == {"bundles": 115_000, "base_units": 117_000, "either": 115_000}
    (flip,) = found.break_even
    assert (flip.price_minor, flip.without_minor, flip.ordered) == (117_000, 117_000, 1)
    assert flip.change_percent == Decimal("1.7")
    (bundle,) = next(side for side in found.sides if side.key == "either").bundles
    assert (bundle.extra_minor, bundle.used_minor, bundle.saved_minor) == (15_000, 20_000, 5_000)
    assert found.later == ()


def test_a_second_supply_later() -> None:
    """Now the bundle for 50.00 more, later a supply for 100.00."""
    (one,) = configurator.compare(asked(), shop()).later
    assert (one.units, one.now_minor, one.later_minor, one.more_minor) == ((1,), 5_000, 10_000, 5_000)
    assert [(part.part, part.count) for part in one.parts] == [("PS", 1)]


@pytest.mark.parametrize(
    ("unit", "prices", "why"),
    [
        ({"supply_bays": None, "built_in_supply": "PS"}, PRICES, "unit 1: T has its supply built in"),
        ({"supply_bays": {"count": 1, "takes": ["PS"]}}, PRICES, "unit 1: T has one supply bay"),
    ],
)
def test_a_second_supply_that_can_not_be_added(unit: dict[str, Any], prices: dict[str, int], why: str) -> None:
    (one,) = configurator.compare(asked(bought_as="base_units"), shop(prices, **unit)).later
    assert (one.status, one.now_minor, one.later_minor) == ("cannot be met", None, None)
    assert one.why_not == (why,)
    assert "No build keeps running without a supply" in one.text


def test_a_second_supply_that_nobody_sells_by_itself() -> None:
    """The bundle has two supplies, one of them not needed: it is there for nothing."""
    found = configurator.compare(asked(), shop({"PAIR": 115_000, "ALONE": 100_000}))
    assert totals(found) == {"bundles": 115_000, "base_units": None, "either": 115_000}
    (one,) = found.later
    assert (one.later_minor, one.now_minor, one.parts) == (0, 0, ())
    assert "The second is in the box already." in one.text


def test_a_way_that_is_impossible_is_told_with_its_conflict() -> None:
    found = configurator.compare(asked(), shop({"PAIR": 115_000, "ALONE": 100_000}))
    side = next(side for side in found.sides if side.key == "base_units")
    (conflict,) = side.stacks[0].conflicts
    assert "bought_as: base_units" in [given.text for given in conflict.statements]
    assert "ordering.bought_as" in [rule.id for rule in conflict.rules]
    assert (found.status, found.against) == ("cheapest", "either")
    (flip,) = found.break_even
    assert (flip.outcome, flip.price_minor) == ("always", None)


def test_what_the_demand_says_is_a_side_of_its_own() -> None:
    found = configurator.compare(asked(bought_as="bundles"), shop())
    assert totals(found) == {"bundles": 115_000, "base_units": 110_000, "either": 110_000, "asked": 115_000}
    assert found.against == "asked"
    assert [side.difference_minor for side in found.sides] == [0, -5_000, -5_000, 0]


def test_a_bundle_that_would_not_pay_for_nothing() -> None:
    """Its unit draws more than both of its supplies give, so it is of no use."""
    catalog = shop({**PRICES, "BIG": 1})
    parts = catalog.parts
    big = parts.unit_types[0].model_copy(update={"id": "B", "base_draw_w": Decimal(2000)})
    box = parts.boxes[1].model_copy(update={"id": "BIG", "unit": "B"})
    more = parts.model_copy(update={"unit_types": (*parts.unit_types, big), "boxes": (*parts.boxes, box)})
    found = configurator.compare(asked(), Catalog(more, catalog.prices), bundles=["BIG"])
    (flip,) = found.break_even
    assert (flip.outcome, flip.price_minor, flip.without_minor) == ("never", None, 110_000)


@pytest.mark.parametrize(
    ("name", "text", "hint"),
    [
        ("PAR", 'no bundle "PAR"', 'did you mean "PAIR"?'),
        ("ALONE", '"ALONE" is no bundle', "PAIR"),
        ("PS", '"PS" is no bundle', "PAIR"),
    ],
)
def test_a_name_that_is_no_bundle(name: str, text: str, hint: str) -> None:
    with pytest.raises(configurator.BadInput) as caught:
        configurator.compare(asked(), shop(), bundles=[name])
    (problem,) = caught.value.problems
    assert text in problem.text
    assert hint in problem.hint


def test_percent_is_rounded_so_that_it_still_holds() -> None:
    """A third less is a discount of 33.4 %, a third more a rise of 33.3 %."""
    assert change_percent(300, 200) == Decimal("-33.4")
    assert change_percent(300, 400) == Decimal("33.3")
    assert change_percent(300, 300) == 0
    assert change_percent(0, 5) is None


@pytest.mark.parametrize(("stacks", "unasked"), [(MOST_STACKS, ["PAIR"]), (MOST_STACKS + 1, [])])
def test_an_order_of_many_stacks_is_asked_for_break_even_prices_by_name(stacks: int, unasked: list[str]) -> None:
    (ask,) = asked().asks
    several = tuple(
        replace(ask, stack=ask.stack.model_copy(update={"name": f"closet {place}"})) for place in range(stacks)
    )
    order = Asked(Demand(stacks=tuple(one.stack for one in several)), several, ())
    found = configurator.compare(order, shop())
    assert [one.bundle for one in found.break_even] == unasked
    assert any("--bundle" in note for note in found.notes) == (not unasked)
    (flip,) = configurator.compare(order, shop(), bundles=["PAIR"]).break_even
    assert flip.price_minor == 110_000
