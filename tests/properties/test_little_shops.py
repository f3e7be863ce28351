"""Little catalogs read from files, against every build counted by arithmetic that knows no rule and no engine."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

import configurator
from configurator.answer import Answer
from configurator.catalog import Catalog
from configurator.reading import Asked
from tests.oracles.little_shops import CLASS_W, Fitted, Made, Need, Shop, builds, need, shop

ON = date(2026, 11, 25)
ASIDE: dict[str, dict[str, Any]] = {
    "ports[0]": {"desks": 0},
    "devices[0]": {"powered": 0},
    "uplinks[0]": {"uplinks": 0},
    "on_supply_loss": {"survives": False},
    "units_at_most": {"at_most": None},
}
FIGURE = {"ports[0]": "desks", "devices[0]": "powered", "uplinks[0]": "uplinks", "units_at_most": "at_most"}


@dataclass(frozen=True)
class Case:
    """A shop and a need, as read from files."""

    shop: Shop
    need: Need
    catalog: Catalog
    asked: Asked

    def solved(self) -> Answer:
        """The answer."""
        return configurator.solve(self.asked, self.catalog)

    def without(self, keys: frozenset[str]) -> Need:
        """The need with statements set aside."""
        rest = self.need
        for key in keys:
            rest = replace(rest, **ASIDE[key])
        return rest


def case(seed: int, folder: Path) -> Case:
    """A random shop and need, written and read."""
    rng = random.Random(seed)
    sold, wanted = shop(rng), need(rng)
    sold.write(folder)
    (folder / "demand.yaml").write_text(wanted.written(), encoding="utf-8")
    catalog = configurator.load_catalog(folder, on=ON)
    return Case(sold, wanted, catalog, configurator.load_demand(folder / "demand.yaml", catalog, on=ON))


def cheapest(made: Iterator[Made]) -> int | None:
    """Price of the cheapest, in the minor unit."""
    return min((one.price * 100 for one in made), default=None)


def price_of(sold: Shop, wanted: Need) -> int | None:
    """Price of the cheapest build; of nothing at all nothing."""
    return cheapest(builds(sold, wanted)) if wanted.things else 0


@pytest.mark.parametrize("seed", range(60))
def test_price_conflicts_and_changes(seed: int, tmp_path: Path) -> None:
    made = case(seed, tmp_path)
    answer = made.solved()
    assert answer.total_minor == price_of(made.shop, made.need)
    if answer.total_minor is not None:
        return
    keys = [key for key, aside in ASIDE.items() if replace(made.need, **aside) != made.need]
    every = [frozenset(some) for size in range(len(keys) + 1) for some in combinations(keys, size)]
    fails = [kept for kept in every if price_of(made.shop, made.without(frozenset(keys) - kept)) is None]
    works = [aside for aside in every if price_of(made.shop, made.without(aside)) is not None]
    (stack,) = answer.stacks
    assert stack.every_reason
    conflicts = [frozenset(one.key for one in found.statements if not one.assumed) for found in stack.conflicts]
    assert sorted(map(sorted, conflicts)) == sorted(sorted(one) for one in fails if not any(o < one for o in fails))
    corrections = {frozenset(one.key for one in found.aside): found for found in stack.corrections}
    assert set(corrections) == {one for one in works if not any(other < one for other in works)}
    for aside, found in corrections.items():
        left = made.without(aside)
        assert found.nothing_left == (not left.things)
        assert found.price_minor == (None if found.nothing_left else price_of(made.shop, left))
        for lowered in found.lowered:
            figure = FIGURE.get(lowered.statement.key) if lowered.field != "poe_class" else "poe_class"
            assert figure is not None
            others = made.without(aside - {lowered.statement.key})
            moved: dict[str, Any] = {figure: int(lowered.works)}
            assert lowered.price_minor == price_of(made.shop, replace(others, **moved))
            moved = {figure: int(lowered.fails)}
            assert price_of(made.shop, replace(others, **moved)) is None


def watts_left(made: Made) -> Decimal:
    """What all supplies of a stack could still feed."""
    given = sum(made.shop.supplies[one.supply][0] * one.count - one.own_w(made.shop) for one in made.units)
    return given - CLASS_W[made.need.poe_class] * made.need.powered


MEASURES: dict[str, tuple[Callable[[Made], Decimal | int], int]] = {  # what it measures, and whether more is better
    "spare-ports": (lambda made: made.spare_ports, 1),
    "rack-units": (lambda made: made.rack_units, -1),
    "watts-left": (watts_left, 1),
}
STYLES: dict[str, Callable[[Fitted], bool]] = {
    "bundles": lambda unit: unit.box.holds_more,
    "base_units": lambda unit: not unit.box.holds_more,
    "either": lambda _: True,
}


@pytest.mark.parametrize("seed", range(60))
def test_alternatives_frontiers_and_styles(seed: int, tmp_path: Path) -> None:
    made = case(seed, tmp_path)
    every = list(builds(made.shop, made.need))
    best: dict[object, int] = {}
    for one in every:
        best[one.substance] = min(best.get(one.substance, one.price), one.price)
    (stack,) = configurator.alternatives(made.asked, made.catalog, k=6).stacks
    found = [
        (tuple(sorted([(f"unit {x.part}", x.count) for x in one.units]
                      + [(x.part, x.count) for x in (*one.supplies, *one.modules)])),
         one.price_minor // 100)
        for one in stack.builds
    ]  # fmt: skip
    assert [price for _, price in found] == sorted(best.values())[:6]
    assert all(best[substance] == price for substance, price in found)
    assert len(dict(found)) == len(found)
    assert stack.every == (len(best) <= 6 and bool(best))
    for against, (measure, sign) in MEASURES.items():
        points = {(one.price, measure(one)) for one in every}
        unbeaten = sorted(
            (price, value)
            for price, value in points
            if not any((p, v) != (price, value) and p <= price and v * sign >= value * sign for p, v in points)
        )
        (front,) = configurator.frontier(made.asked, made.catalog, against=against, most=100).stacks
        assert [(point.choice.price_minor // 100, point.value) for point in front.points] == unbeaten
        assert not front.cut_off
    for side in configurator.compare(made.asked, made.catalog, bundles=[]).sides:
        suits = STYLES[side.key]
        assert side.total_minor == cheapest(one for one in every if all(map(suits, one.units)))
