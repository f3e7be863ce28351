"""Orders under discounts worked out by hand: what counts, what a threshold is worth, packs and spares.

Prices are in minor units.  A unit in its box is 100, an optic 10, a cable that does the same 12.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

import pytest

from configurator.demand import Spares
from configurator.engine import reaching
from configurator.engine.tiers import solve_discounted
from configurator.setting import Ask, OrderAsk
from configurator.solved import SolvedOrder
from configurator.verify import verify, verify_order
from configurator_rules import RULES
from tests.oracles.discounted import Off, discounted
from tests.oracles.draft import Draft
from tests.oracles.order_worlds import sold_so
from tests.unit.small_shop import Quantities, lines, shop, stack


def off(percent: str, *, part: str | None = None, category: str | None = None, order_from: int = 0) -> Off:
    return Off(Decimal(percent), part, category, order_from)


def found(
    draft: Draft,
    rows: Iterable[Off],
    *asks: Ask,
    spares: Iterable[Spares] = (),
    sold: Quantities | None = None,
    proved: bool = True,
) -> tuple[SolvedOrder, int]:
    """The cheapest order, with which no check finds fault, and the threshold that it reaches."""
    catalog, order = discounted(sold_so(draft.catalog(), sold or {}), list(rows)), OrderAsk(asks, tuple(spares))
    solved, at = solve_discounted(order, catalog, RULES)
    assert solved.order is not None
    assert (solved.price_minor == solved.bound_minor) is proved
    assert (solved.status == "cheapest") is proved
    for one in solved.order.stacks:
        ask = next(ask for ask in asks if ask.stack.name == one.build.stack)
        assert verify(one.build, ask, at, RULES) == ()
    assert verify_order(solved.order, order, at, RULES) == ()
    return solved, at.prices.order_minor


def boxed() -> Draft:
    draft = shop()
    draft.add("boxes", 100, id="BOX", unit="T")
    return draft


# --- discounts of every order ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "optics", "price_minor"),
    [
        ([], 2, 120),
        ([off("10")], 2, 108),
        ([off("10"), off("25", category="units")], 2, 93),  # 75 and twice 9: they don't add up
        ([off("10", part="O"), off("3", category="optics")], 2, 118),
        ([off("20", part="D")], 2, 120),  # 12 less 2.4 is 9.6, rounded 10: as much as an optic
        ([off("21", part="D")], 0, 118),  # 9.48, rounded 9
        ([off("15", category="optics")], 2, 118),  # 8.5, rounded half up for each of the two
        ([off("100")], 2, 0),
    ],
)
def test_the_largest_discount_counts_and_each_piece_is_rounded(rows: list[Off], optics: int, price_minor: int) -> None:
    solved, reached = found(boxed(), rows, stack(2, 2))
    assert (solved.price_minor, reached) == (price_minor, 0)
    if rows != [off("20", part="D")] and rows != [off("100")]:  # ties may be built either way
        assert lines(solved).get("O", 0) == optics


# --- discounts from a value of the order on --------------------------------------------------------------

THRESHOLDS = {  # order_from, percent: optics, threshold reached, price
    (100, "10"): (2, 100, 108),
    (120, "10"): (2, 120, 108),  # exactly its value at list prices
    (121, "10"): (1, 121, 110),  # an optic and a cable come to 122: 90 + 9 + 11
    (122, "10"): (1, 122, 110),
    (123, "10"): (0, 123, 112),  # two cables come to 124: 90 + 11 + 11
    (125, "10"): (2, 0, 120),  # nothing comes to it; nothing is ordered only to come to more
    (124, "1"): (2, 0, 120),  # 99 + 12 + 12 is more than 120
    (124, "4"): (2, 0, 120),  # 96 + 12 + 12, since 11.52 is rounded: no less than 120
    (124, "5"): (0, 124, 117),  # 95 + 11 + 11, since 11.4 is rounded
}


@pytest.mark.parametrize(("order_from", "percent"), THRESHOLDS)
def test_a_dearer_order_that_earns_a_discount_is_taken_where_it_costs_less(order_from: int, percent: str) -> None:
    optics, reached, price_minor = THRESHOLDS[order_from, percent]
    solved, at = found(boxed(), [off(percent, order_from=order_from)], stack(2, 2))
    assert (lines(solved).get("O", 0), at, solved.price_minor) == (optics, reached, price_minor)


def test_the_whole_order_reaches_a_threshold_that_no_stack_does() -> None:
    """Two stacks of 120 come to 240, and cost 216."""
    stacks = (stack(2, 2), stack(2, 2, name="other"))
    solved, reached = found(boxed(), [off("10", order_from=240)], *stacks)
    assert (solved.price_minor, reached) == (216, 240)
    solved, reached = found(boxed(), [off("10", order_from=241)], *stacks)
    assert (solved.price_minor, reached) == (218, 241)  # one cable for an optic, in one of the two
    assert lines(solved)["O"] == 3
    assert [one.status for some in solved.stacks for _, one in some] == ["cheapest", "cheapest"]


def test_of_several_thresholds_the_one_that_pays_is_reached() -> None:
    rows = [off("5", order_from=110), off("6", order_from=124), off("40", order_from=126)]
    solved, reached = found(boxed(), rows, stack(2, 2))
    assert (solved.price_minor, reached) == (115, 110)  # 95 + 10 + 10, since 9.5 is rounded; 94 + 11 + 11 from 124


def test_a_threshold_out_of_reach_changes_nothing() -> None:
    plain, _ = found(boxed(), [off("3")], stack(2, 2))
    solved, reached = found(boxed(), [off("3"), off("90", order_from=10**9)], stack(2, 2))
    assert reached == 0
    assert (solved.order, solved.price_minor) == (plain.order, plain.price_minor)


def test_what_a_whole_pack_comes_to_counts_towards_a_threshold_and_no_second_pack_is_opened() -> None:
    """Optics in packs of four: the pack is 40 and the order 140; with cables 124.  From 141 nothing helps."""
    rows = [off("15", order_from=140)]
    solved, reached = found(boxed(), rows, stack(2, 2), sold={"O": (4, 1)})
    assert (solved.price_minor, reached, lines(solved)["O"]) == (85 + 4 * 9, 140, 4)  # 8.5, rounded 9
    solved, reached = found(boxed(), [off("60", order_from=163)], stack(2, 2), sold={"O": (4, 1)})
    assert (solved.price_minor, reached, lines(solved).get("O", 0)) == (124, 0, 0)


def test_a_least_quantity_is_no_reason_to_order_more_than_it() -> None:
    """No fewer than five optics: 150 with them, 162 with a cable instead of one in use; 163 is not to be had."""
    for order_from, price_minor, reached in ((150, 75, 150), (151, 81, 151), (163, 124, 0)):
        solved, at = found(boxed(), [off("50", order_from=order_from)], stack(2, 2), sold={"O": (1, 5)})
        assert (solved.price_minor, at) == (price_minor, reached)


@pytest.mark.parametrize(
    ("order_from", "cables", "reached", "price_minor"),
    [
        (130, 0, 130, 117),  # two optics in use and one on the shelf: 90 + 3 x 9
        (136, 3, 136, 123),  # two cables and one on the shelf: 90 + 3 x 11
        (137, 0, 0, 130),  # an optic and a cable, and each once more, come to 144: 90 + 2 x 9 + 2 x 11 is 130 as well
        (145, 0, 0, 130),  # nothing comes to it with one of each on the shelf
    ],
)
def test_cold_spares_count_towards_a_threshold_and_are_no_more_than_asked(
    order_from: int, cables: int, reached: int, price_minor: int
) -> None:
    spares = (Spares(of="optics", count=1), Spares(of="cables", count=1))
    solved, at = found(boxed(), [off("10", order_from=order_from)], stack(2, 2), spares=spares)
    assert (lines(solved).get("D", 0), at, solved.price_minor) == (cables, reached, price_minor)


def test_no_stack_gets_another_unit_for_a_threshold() -> None:
    """A second unit and its link would come to more than 200, and at 99 % off cost next to nothing."""
    solved, reached = found(boxed(), [off("99", order_from=200)], stack(2, 2))
    assert (lines(solved)["BOX"], solved.price_minor, reached) == (1, 120, 0)


def test_a_stack_that_cannot_be_met_earns_nothing_for_the_order() -> None:
    catalog = discounted(boxed().catalog(), [off("10"), off("50", order_from=100)])
    order = OrderAsk((stack(2, 2), stack(2, 90, name="too much")), ())
    solved, at = solve_discounted(order, catalog, RULES)
    assert [some[0][1].status for some in solved.stacks] == ["cheapest", "cannot be met"]
    assert (at.prices.order_minor, solved.price_minor) == (0, 108)
    assert solved.stacks[1][0][1].refusal.conflicts


def test_where_too_many_fit_outs_would_be_kept_apart_later_stacks_have_only_what_is_cheapest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two stacks of 120 and 130: two cables in the first come to 254, three in the second as well to 260."""
    stacks = (stack(2, 2), stack(2, 3, name="other"))
    solved, reached = found(boxed(), [off("10", order_from=260)], *stacks)
    assert (solved.price_minor, reached) == (90 + 22 + 90 + 33, 260)
    monkeypatch.setattr(reaching, "MOST_COLUMNS", 0)
    solved, reached = found(boxed(), [off("10", order_from=260)], *stacks, proved=False)
    assert (solved.price_minor, reached, solved.status) == (250, 0, "best found")
    assert solved.bound_minor == 234  # 90 % of 260
    solved, reached = found(boxed(), [off("10", order_from=254)], *stacks)  # 90 % of 254 is 228.6: proved after all
    assert (solved.price_minor, reached) == (90 + 22 + 90 + 27, 254)
