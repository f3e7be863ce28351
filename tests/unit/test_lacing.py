"""Every ring and chain gets its cheapest order of cabling: by hand, and against all orders of few units."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import cache
from itertools import combinations, pairwise, permutations
from typing import Any

import pytest

from configurator import messages
from configurator.assemble import stack_answer
from configurator.catalog import Catalog
from configurator.engine.lacing import MOST_SEARCHED, Lacing, Merit, worth_having
from configurator.engine.search import solve_stack
from configurator.setting import Ask
from configurator.solved import Solved
from configurator.verify import verify
from configurator_rules import RULES
from tests.rules.worlds import group, make_ask, make_catalog, part, unit_type

Table = dict[tuple[int, int], Merit | None]
CASES = 60


@cache
def every_order(units: int, *, ring: bool) -> tuple[tuple[tuple[int, int], ...], ...]:
    """The links of each ring or chain through all places, whichever way round once."""
    if ring:
        orders = ((1, *rest, 1) for rest in permutations(range(2, units + 1)) if rest[0] < rest[-1])
    else:
        orders = (order for order in permutations(range(1, units + 1)) if order[0] < order[-1])
    return tuple(tuple((min(pair), max(pair)) for pair in pairwise(order)) for order in orders)


def total(links: tuple[tuple[int, int], ...], table: Table) -> Merit | None:
    """Merits added up; none where some link can't be."""
    merits = [table[link] for link in links]
    sums = [merit for merit in merits if merit is not None]
    return tuple(map(sum, zip(*sums, strict=True))) if len(sums) == len(merits) else None


def as_good(one: Merit, other: Merit) -> bool:
    return all(a >= b for a, b in zip(one, other, strict=True))


def links_of(lacing: Lacing) -> tuple[tuple[int, int], ...]:
    return tuple((min(pair), max(pair)) for pair in lacing.pairs)


def nested_table(rng: random.Random, units: int) -> Table:
    """Each link of a level no lower than those within its stretch; of the last levels some can't be."""
    levels, last = dict[tuple[int, int], int](), rng.randint(1, 5)
    for length in range(1, units):
        for a in range(1, units - length + 1):
            inner = [levels[a, a + length - 1], levels[a + 1, a + length]] if length > 1 else [0]
            levels[a, a + length] = min(last, max(inner) + rng.choice((0, 0, 0, 1, 1, 2)))
    most = rng.choice((last, last, last - 1))
    if rng.random() < 0.5:
        prices = sorted(rng.choice((1, 2, 5, rng.randint(0, 99))) for _ in range(last + 1))
        return {link: (-prices[level],) if level <= most else None for link, level in levels.items()}
    return {
        link: tuple(int(level <= at) for at in range(last)) if level <= most else None for link, level in levels.items()
    }


def any_table(rng: random.Random, units: int) -> Table:
    """Merits without any order in them."""
    width = rng.choice((1, 1, 2, 3))
    return {
        link: tuple(rng.randint(-3, 3) for _ in range(width)) if rng.random() < 0.85 else None
        for link in combinations(range(1, units + 1), 2)
    }


@pytest.mark.parametrize("ring", [True, False])
@pytest.mark.parametrize("table_of", [nested_table, any_table])
@pytest.mark.parametrize("units", [3, 4, 5, 6, 7])
def test_no_order_is_better(units: int, table_of: Callable[[random.Random, int], Table], ring: bool) -> None:
    """Of all orders each has one among those kept that is as good; each kept one is an order, and worth it."""
    for case in range(CASES):
        table = table_of(random.Random(1000 * units + case), units)
        kept = worth_having(units, lambda a, b, table=table: table[a, b], ring=ring)  # type: ignore[misc]
        every = {frozenset(links) for links in every_order(units, ring=ring)}
        assert all(frozenset(links_of(lacing)) in every for lacing in kept)
        sums = [merit for lacing in kept if (merit := total(links_of(lacing), table)) is not None]
        assert len(sums) == len(kept)
        for later, merit in enumerate(sums):
            assert not any(as_good(before, merit) for before in sums[:later])
        for links in every_order(units, ring=ring):
            merit = total(links, table)
            assert merit is None or any(as_good(one, merit) for one in sums), (case, links)


@pytest.mark.parametrize("units", [9, 12, 15])
def test_of_many_units_none_is_cheaper(units: int) -> None:
    """The least price of a ring by a solver's circuits."""
    for case in range(4):
        rng = random.Random(100 * units + case)
        places = sorted(rng.sample(range(3 * units), units))
        prices = sorted(rng.sample(range(1, 100), 6))
        steps = sorted(rng.sample(range(1, places[-1] - places[0]), 5))
        table: Table = {
            (a, b): (-prices[sum(places[b - 1] - places[a - 1] > step for step in steps)],)
            for a, b in combinations(range(1, units + 1), 2)
        }
        kept = worth_having(units, lambda a, b, table=table: table[a, b], ring=True)  # type: ignore[misc]
        sums = [merit[0] for lacing in kept if (merit := total(links_of(lacing), table)) is not None]
        assert -max(sums) == _least_by_circuit(units, table)


def _least_by_circuit(units: int, table: Table) -> int:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    arcs = [(a, b, model.new_bool_var("")) for a, b in permutations(range(1, units + 1), 2)]
    model.add_circuit(arcs)
    prices = [-merit[0] for a, b, _ in arcs if (merit := table[min(a, b), max(a, b)]) is not None]
    model.minimize(cp_model.LinearExpr.weighted_sum([arc for _, _, arc in arcs], prices))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@pytest.mark.parametrize("units", [MOST_SEARCHED + 1, 64])
def test_a_ring_of_many_goes_through_all_of_them(units: int) -> None:
    """Every place has two links, all of them hang together, and none spans more than four places."""
    kept = worth_having(units, lambda a, b: (-1 if b - a <= 3 else -7, -1 if b - a <= 1 else -2), ring=True)
    for lacing in kept:
        assert sorted(lacing.order) == list(range(1, units + 1))
    best = max((-sum(1 if b - a <= 3 else 7 for a, b in links_of(lacing)) for lacing in kept), default=None)
    assert best == -units


# --- whole builds -----------------------------------------------------------------------------------

REAR = group("rear", 2, connector="SK", speeds_mbps=[80_000], roles=["stack"])
RING: dict[str, Any] = {"id": "F", "largest_stack": 8, "topologies": ["ring"]}
CHAIN: dict[str, Any] = {"id": "F", "largest_stack": 8, "topologies": ["chain"], "two_unit_links": [1]}


def one_port_each(prices: dict[str, int], **parts: Any) -> Catalog:
    """Units of one port each."""
    own = {"boxes": [part("BOX", unit="T")], "unit_types": [unit_type(group("a", 1), REAR)], "families": [RING]}
    catalog = make_catalog(**{**own, **parts})
    rows = {n: r.model_copy(update={"price_minor": prices[n]}) for n, r in catalog.prices.rows.items()}
    catalog.prices.rows.update(rows)
    return catalog


def solved(ask: Ask, prices: dict[str, int], **parts: Any) -> Solved:
    """The answer for units of one port each, whose build no check finds fault with."""
    catalog = one_port_each(prices, **parts)
    answer = solve_stack(ask, catalog, RULES)
    if answer.build is not None:
        assert verify(answer.build, ask, catalog, RULES) == ()
    return answer


def desks(count: int, **wishes: Any) -> Ask:
    """As many units as this, since each has one port."""
    return make_ask(devices=[{"kind": "desk", "count": count}], **wishes)


def cables(*lengths_m: str) -> list[dict[str, Any]]:
    """Stacking cables, named by their length."""
    alike: dict[str, Any] = {"kind": "stacking", "near": "SK", "far": "SK", "speeds_mbps": [80_000]}
    return [part(f"C{length}", length_m=length, **alike) for length in lengths_m]


# Over 1, 2, 3 … rack units of 44.45 mm and 0.3 m of slack it is 0.344, 0.389, 0.433, 0.478, 0.522 m.
SIX = cables("0.35", "0.4", "0.45", "0.6")


@pytest.mark.parametrize(
    ("prices", "links_minor", "lacing"),
    [
        ((10, 30, 35, 100), 4 * 10 + 2 * 35, "in the order 1-2-3-6-5-4"),  # 5 x 10 + 100, 2 x 10 + 4 x 30 otherwise
        ((10, 30, 35, 60), 5 * 10 + 60, "neighbour to neighbour, one return: 1-2-3-4-5-6"),  # as dear: the usual one
        ((10, 15, 40, 100), 2 * 10 + 4 * 15, "over every other unit: 1-3-5-6-4-2"),
        ((10, 10, 10, 10), 6 * 10, "neighbour to neighbour, one return: 1-2-3-4-5-6"),
        ((10, 10, 10, 11), 6 * 10, "over every other unit: 1-3-5-6-4-2"),
    ],
)
def test_a_ring_of_six_one_above_another(prices: tuple[int, ...], links_minor: int, lacing: str) -> None:
    """What a cable costs by the rack units that it spans decides on the order."""
    listed = {"BOX": 1000, **{cable["id"]: price for cable, price in zip(SIX, prices, strict=True)}}
    answer = solved(desks(6), listed, cables=SIX)
    assert answer.price_minor == 6 * 1000 + links_minor
    assert answer.build is not None
    assert answer.build.lacing == lacing


def test_a_lacing_is_told_in_words_with_the_length_of_each_cable() -> None:
    """What people read under `Stacking`."""
    catalog = one_port_each({"BOX": 1000, "C0.35": 10, "C0.4": 15}, cables=SIX[:2])
    told = stack_answer(solve_stack(desks(4), catalog, RULES), desks(4), catalog, RULES, 1)
    assert [messages.topology(told), *map(messages.link, told.links)] == [
        "Ring of 4 units, 4 links at 80 Gb/s, laced over every other unit: 1-3-4-2",
        "unit 1 to unit 3: C0.4, 0.4 m long, over a way of 0.3889 m",
        "unit 3 to unit 4: C0.35, 0.35 m long, over a way of 0.34445 m",
        "unit 4 to unit 2: C0.4, 0.4 m long, over a way of 0.3889 m",
        "unit 2 to unit 1: C0.35, 0.35 m long, over a way of 0.34445 m",
    ]


def test_cables_in_boxes_decide_with_the_rest() -> None:
    """Six boxes bring cables over three rack units, so only a long return would cost something."""
    listed = {"BOX": 1000, "C0.35": 10, "C0.4": 30, "C0.45": 35, "C0.6": 100}
    boxes = [part("BOX", unit="T", contents=[{"part": "C0.45"}])]
    answer = solved(desks(6), listed, cables=SIX, boxes=boxes)
    assert answer.price_minor == 6 * 1000
    assert answer.build is not None
    assert answer.build.lacing == "over every other unit: 1-3-5-6-4-2"


def test_units_are_named_as_they_stand_in_the_rack() -> None:
    """The order is told by units, whichever way they are counted."""
    answer = solved(desks(4, rack_positions=[1, 4, 2, 3]), {"BOX": 100, "C0.4": 1}, cables=cables("0.4"))
    assert answer.price_minor == 4 * 100 + 4
    assert answer.build is not None
    assert answer.build.lacing == "over every other unit: 1-4-2-3"
    ends = {(link.from_unit, link.to_unit): link.way_m for link in answer.build.links}
    assert ends == {
        (1, 4): Decimal("0.38890"),
        (4, 2): Decimal("0.34445"),
        (2, 3): Decimal("0.38890"),
        (3, 1): Decimal("0.34445"),
    }


@pytest.mark.parametrize(("longest_m", "price_minor"), [("0.4", 606), ("0.35", None)])
def test_a_family_that_reaches_over_two_places(longest_m: str, price_minor: int | None) -> None:
    """Over every other unit no link is longer; no ring does with less."""
    family = {**RING, "longest_link_m": longest_m}
    answer = solved(desks(6), {"BOX": 100, "C3": 1}, cables=cables("3"), families=[family])
    assert answer.price_minor == price_minor


def test_optics_that_are_too_strong_for_the_next_unit() -> None:
    """They need 2 m of the fibre that lies there; neighbours are 1 m apart, so none is linked to the next."""
    rear = group("rear", 2, connector="SFP", cage="C", speeds_mbps=[10_000], roles=["stack"])
    strong = part("LR", form="SFP", speeds_mbps=[10_000], interface="LR", connector="LC",
                  reaches=[{"fibre": "OS2", "min_m": 2, "max_m": 10_000}])  # fmt: skip
    answer = solved(
        desks(4, between_units_m=[1], stack_fibre="OS2"),
        {"BOX": 100, "LR": 5},
        families=[CHAIN],
        unit_types=[unit_type(group("a", 1), rear)],
        optics=[strong],
        optics_matrix=[{"cage": "C", "takes": ["LR"]}],
    )
    assert answer.price_minor == 4 * 100 + 3 * 2 * 5
    assert answer.build is not None
    assert answer.build.lacing == "in the order 2-4-1-3"


@pytest.mark.parametrize("units", [3, 4, 5, 6, 7])
def test_the_price_is_the_least_over_all_orders(units: int) -> None:
    """Random positions, lengths and prices; boxes with and without cables in them."""
    for case in range(8):
        rng = random.Random(10 * units + case)
        places = rng.sample(range(1, 30), units)
        ways = {
            (a, b): Decimal("0.04445") * abs(places[a - 1] - places[b - 1]) + Decimal("0.3")
            for a, b in combinations(range(1, units + 1), 2)
        }
        lengths = sorted({Decimal(rng.randrange(35, 165)) / 100 for _ in range(4)} | {Decimal("1.65")})
        named = cables(*map(str, lengths))
        drawn = rng.sample(range(1, 60), len(named))  # mostly dearer with length
        in_turn = sorted(drawn) if rng.random() < 0.7 else drawn
        prices = {cable["id"]: price for cable, price in zip(named, in_turn, strict=True)}
        inside = {rng.choice(named)["id"]: rng.choice((1, 2)) for _ in range(rng.choice((0, 1, 2)))}
        full = rng.randint(1, 30)
        boxes = [part("BOX", unit="T")]
        boxes += [part("FULL", unit="T", contents=[{"part": p, "count": n} for p, n in inside.items()])]
        listed = {"BOX": 100, "FULL": 100 + full, **prices}
        answer = solved(desks(units, rack_positions=places), listed, cables=named, boxes=boxes)
        reach = {cable["id"]: Decimal(cable["length_m"]) for cable in named}
        least = min(
            units * 100 + fulls * full + price
            for fulls in range(units + 1)
            for price in _of_all_orders(units, ways, reach, prices, {p: n * fulls for p, n in inside.items()})
        )
        assert answer.price_minor == least, case


def _of_all_orders(
    units: int,
    ways: dict[tuple[int, int], Decimal],
    reach: dict[str, Decimal],
    prices: dict[str, int],
    held: dict[str, int],
) -> Iterator[int]:
    """What the cables of each ring cost besides those that are there."""
    seen: set[tuple[tuple[frozenset[str], int], ...]] = set()
    for links in every_order(units, ring=True):
        needs = Counter(frozenset(c for c, length in reach.items() if length >= ways[link]) for link in links)
        alike = tuple(sorted(needs.items(), key=lambda need: sorted(need[0])))
        if alike not in seen:
            seen.add(alike)
            yield _least([able for able, count in alike for _ in range(count)], prices, held)


def _least(needs: list[frozenset[str]], prices: dict[str, int], held: dict[str, int]) -> int:
    """Each link takes a cable that is there, or the cheapest that is long enough."""

    @cache
    def rest(at: int, left: tuple[tuple[str, int], ...]) -> int:
        if at == len(needs):
            return 0
        best = min(prices[cable] for cable in needs[at]) + rest(at + 1, left)
        for cable, count in left:
            if cable in needs[at] and count:
                best = min(best, rest(at + 1, tuple((c, n - (c == cable)) for c, n in left)))
        return best

    return rest(0, tuple(held.items()))
