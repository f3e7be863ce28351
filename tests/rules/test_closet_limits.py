"""The engine keeps to what the stacks of a closet share: the order is the cheapest that fits it."""

from __future__ import annotations

import pytest

from configurator.engine.order import solve_order
from configurator.setting import OrderAsk
from configurator_rules import RULES
from tests.rules.worlds import group, make_ask, make_catalog, part, unit_type

# --- the engine: a tall unit of 2 U costs 100, a flat one 150; each stack needs one ------------------------

PRICES = {"TALL-BOX": 100_00, "FLAT-BOX": 150_00}
UNITS = [
    unit_type(group("access", 4), id="TALL", rack_units=2, built_in_supply="FIXED"),
    unit_type(group("access", 4), id="FLAT", rack_units=1, built_in_supply="FIXED"),
]
CLOSET = make_catalog(
    families=[{"id": "F"}],
    unit_types=UNITS,
    boxes=[part("TALL-BOX", unit="TALL"), part("FLAT-BOX", unit="FLAT")],
    supplies=[part("FIXED", outputs=[{"from_v": 1, "to_v": 1000, "output_w": 500}])],
)
for number, price_minor in PRICES.items():
    CLOSET.prices.rows[number] = CLOSET.prices.rows[number].model_copy(update={"price_minor": price_minor})


def price(free: int, *copies: int) -> int | str:
    """What stacks of one unit cost in a closet with so many rack units free, or that they can't be met."""
    asks = tuple(
        make_ask(name=f"S{n}", copies=count, closet="C", rack_units_free=free, ports=[{"count": 4}])
        for n, count in enumerate(copies)
    )
    solved = solve_order(OrderAsk(asks), CLOSET, RULES)
    return solved.status if solved.price_minor is None else solved.price_minor


@pytest.mark.parametrize("copies", [(1, 1, 1), (3,), (2, 1)])
def test_the_order_is_the_cheapest_that_fits_the_closet(copies: tuple[int, ...]) -> None:
    """Three units: three tall ones take 6 U, two take 5 with a flat one, and so on to three flat ones."""
    assert [price(free, *copies) for free in (6, 5, 4, 3)] == [300_00, 350_00, 400_00, 450_00]


def test_stacks_that_fit_alone_and_not_together_are_refused_with_the_closet_and_the_rule() -> None:
    asks = tuple(make_ask(name=name, closet="C", rack_units_free=1, ports=[{"count": 4}]) for name in ("A", "B"))
    solved = solve_order(OrderAsk(asks), CLOSET, RULES)
    assert (solved.status, solved.price_minor, solved.order) == ("cannot be met", None, None)
    assert [one.status for copies in solved.stacks for _, one in copies] == ["cheapest", "cheapest"]
    assert "in C, rack_units_free" in solved.problem
    assert "(racking.space)" in solved.problem
    assert solved.problem.endswith(" All can be met without this limit: in C, rack_units_free.")


def test_a_limit_is_said_to_help_only_where_that_is_enough() -> None:
    """Two closets too small for their stacks: without the limit of one the other's stacks still don't fit."""
    names = ("C1", "C2", "D1", "D2")
    asks = tuple(make_ask(name=name, closet=name[0], rack_units_free=1, ports=[{"count": 4}]) for name in names)
    solved = solve_order(OrderAsk(asks), CLOSET, RULES)
    assert solved.order is None
    assert solved.problem.startswith("Each stack can be met, but not together")
    assert "All can be met" not in solved.problem
