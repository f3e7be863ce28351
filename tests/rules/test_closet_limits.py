"""What is a closet's, all stacks that stand in it share: units, weight, noise, heat, volt-amperes, circuit, outlets."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Build, Copies, Order
from configurator.order import solve_order
from configurator.setting import OrderAsk
from configurator_rules import RULES
from tests.rules.power_world import ACCESS, fitted, powered_type, supply, world
from tests.rules.worlds import build, group, make_ask, make_catalog, part, unit, unit_type

# 90 W at 90 % and a power factor of 0.5: 100 W and 200 VA at the plug, 0.87 A at 230 V
PS = supply("PS", (90, 240, 900), inlet="C14", power_factor="0.5")
CORD = part("CORD", countries=["DE"], coupler="C13", plug="CEE 7/7", rating_a=10, length_m=2)
CATALOG = world(powered_type(90, "PS", rack_units=2, weight_kg="7.5", noise_db=50, ports=(ACCESS,)), PS, cords=[CORD])
SITE: dict[str, Any] = {"country": "DE", "input_v": 230}
LIMITS = [
    ("racking.space", {"rack_units_free": 4}, {"rack_units_free": 3}, "the units take 4 U together"),
    ("racking.weight", {"rack_weight_kg": 15}, {"rack_weight_kg": "14.9"}, "the units weigh 15 kg"),
    # two equal sources are 10 lg 2 = 3.01 dB louder than one
    ("site.noise", {"noise_db": "53.1"}, {"noise_db": 53}, "the units make 53.01 dB together"),
    ("site.heat", {"heat_w": 200}, {"heat_w": "199.9"}, "200.00 W stay in the closet"),
    ("site.ups", {"ups_va": 400}, {"ups_va": 399}, "takes 400.00 VA"),
    (
        "site.circuit",
        {"circuit": {"amps": "1.8", "shared": True}},
        {"circuit": {"amps": "1.7", "shared": True}},
        "takes 1.74 A at 230 V",
    ),
    (
        "power.outlets",
        {"outlets": [{"plug": "CEE 7/7", "count": 2}]},
        {"outlets": [{"plug": "CEE 7/7", "count": 1}]},
        "2 plugs CEE 7/7 need an outlet",
    ),
]


def order(*copies: int) -> Order:
    """Stacks of one unit each, so many copies of each."""
    bays = fitted("PS", cord="CORD")
    builds: list[Build] = [build(unit(supplies=bays), stack=f"S{n}") for n in range(len(copies))]
    return Order(stacks=tuple(Copies(build=one, copies=count) for one, count in zip(builds, copies, strict=True)))


def asked(limit: dict[str, Any], *closets: str | None) -> OrderAsk:
    """Stacks with this limit in these closets."""
    return OrderAsk(tuple(make_ask(name=f"S{n}", closet=closet, **SITE, **limit) for n, closet in enumerate(closets)))


def found(order: Order, ask: OrderAsk) -> dict[str, list[str]]:
    """What every rule finds wrong with the order as a whole, what is ordered apart."""
    out: dict[str, list[str]] = {}
    for rule in RULES:
        if rule.family != "ordering" and rule.applies(CATALOG):
            for breach in rule.check_order(order, ask, CATALOG):
                out.setdefault(rule.id, []).append(breach.text)
    return out


@pytest.mark.parametrize(("_rule", "enough", "_short", "_text"), LIMITS)
def test_two_stacks_share_what_is_enough_for_both(_rule: str, enough: dict[str, Any], _short: Any, _text: str) -> None:
    assert found(order(1, 1), asked(enough, "C", "C")) == {}


@pytest.mark.parametrize(("rule", "_enough", "short", "text"), LIMITS)
def test_two_stacks_do_not_both_have_the_whole(rule: str, _enough: Any, short: dict[str, Any], text: str) -> None:
    """Each alone is within the limit; two stacks, or two copies of one, are not."""
    for two in (found(order(1, 1), asked(short, "C", "C")), found(order(2), asked(short, "C"))):
        assert list(two) == [rule]
        assert two[rule][0].startswith("C: ")
        assert text in two[rule][0]


@pytest.mark.parametrize(("_rule", "_enough", "short", "_text"), LIMITS)
def test_other_closets_are_no_matter(_rule: str, _enough: Any, short: dict[str, Any], _text: str) -> None:
    """In rooms of their own, named or not, each stack has the limit to itself."""
    assert found(order(1, 1), asked(short, "C", "D")) == {}
    assert found(order(2, 2), asked(short, None, None)) == {}


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
