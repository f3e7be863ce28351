"""The least price of a tiny world under discounts, by trying every build at every tier's prices.

Net prices are computed here, with decimals; the engine's are integers.  As in `part_forced`, a fuller
unit and a dearer way to buy may be worth having, here to come to more at list prices, and no loose
part may be idle.  For a threshold no stack gets more units than its cheapest build has without it.
"""

from __future__ import annotations

import heapq
import random
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from configurator.build import Bought, Build
from configurator.catalog import Catalog
from configurator.discounts import Discount, Discounts
from configurator.parts import Box
from configurator.rule import Rule
from configurator.setting import Ask
from tests.oracles.brute_force import Lines, Links, _bare, _needs, _types
from tests.oracles.brute_units import Loaded
from tests.oracles.draft import make_catalog, prices_of
from tests.oracles.part_forced import _Tried

DAY = date(2030, 6, 1)
SECTIONS = {"units": "boxes", "supplies": "supplies", "fans": "fan_trays", "optics": "optics", "cords": "cords",
            "kits": "kits"}  # fmt: skip


@dataclass(frozen=True)
class Off:
    """A discount, as a test draws it."""

    percent: Decimal
    part: str | None = None
    category: str | None = None
    order_from: int = 0  # minor units

    def row(self, line: int) -> Discount:
        """As the engine has it."""
        return Discount(line, int(self.percent * 100), self.part, self.category, order_from_minor=self.order_from)


def discounted(catalog: Catalog, rows: Sequence[Off]) -> Catalog:
    """The catalog with discounts, and nothing remembered."""
    discounts = Discounts(tuple(one.row(2 + n) for n, one in enumerate(rows)), DAY, "discounts.csv", "0" * 64)
    return Catalog(catalog.parts, replace(catalog.prices, discounts=discounts), catalog.name)


def net_prices(catalog: Catalog, rows: Sequence[Off], reached: int) -> dict[str, int]:
    """What each part costs in an order that reaches a threshold: the largest discount off, rounded half up."""
    found = {}
    for part, listed in prices_of(catalog).items():
        off = [one.percent for one in rows if one.order_from <= reached and _is_on(one, part, catalog)]
        net = Decimal(listed) * (100 - max(off, default=Decimal(0))) / 100
        found[part] = int(net.quantize(Decimal(1), rounding=ROUND_HALF_UP))
    return found


def _is_on(one: Off, part: str, catalog: Catalog) -> bool:
    if one.category is not None:
        return any(other.id == part for other in getattr(catalog.parts, SECTIONS[one.category]))
    return one.part in (None, part)


def draw(rng: random.Random, catalog: Catalog, cheapest: int) -> list[Off]:
    """A few discounts, most of them from a value of the order on that is about what the cheapest build comes to."""

    def one(order_from: int = 0) -> Off:
        percent = Decimal(rng.randint(1, 3000)) / 100
        kind = rng.random()
        if kind < 0.3:
            names = [name for name, section in SECTIONS.items() if getattr(catalog.parts, section)]
            return Off(percent, category=rng.choice(names), order_from=order_from)
        part = rng.choice(sorted(catalog.by_id)) if kind < 0.5 else None
        return Off(percent, part=part, order_from=order_from)

    rows = [one() for _ in range(rng.randint(0, 2))]
    return rows + [one(max(1, cheapest * rng.randint(95, 115) // 100)) for _ in range(rng.randint(1, 2))]


def least_discounted(
    ask: Ask, catalog: Catalog, rows: Sequence[Off], rules: Sequence[Rule], most_units: int = 3
) -> int | None:
    """The least that a build costs with the discounts that it earns; none where there is no build."""
    listed, found = prices_of(catalog), []
    for threshold in sorted({0, *(one.order_from for one in rows)}):
        at = make_catalog(catalog.parts, net_prices(catalog, rows, threshold))
        units = _fewest_units(ask, at, rules, most_units)
        least = _Reaching(ask, at, rules, units, listed, threshold).least()
        found += [] if least is None else [least]
    return min(found, default=None)


def _fewest_units(ask: Ask, catalog: Catalog, rules: Sequence[Rule], most_units: int) -> int:
    """How many units the cheapest build has at least."""
    prices = {n: _Reaching(ask, catalog, rules, n, {}, 0).least() for n in range(1, most_units + 1)}
    known = {n: minor for n, minor in prices.items() if minor is not None}
    return min((n for n, minor in known.items() if minor == min(known.values())), default=most_units)


class _Reaching(_Tried):
    """Builds that come to so much at list prices."""

    def __init__(
        self,
        ask: Ask,
        catalog: Catalog,
        rules: Sequence[Rule],
        most_units: int,
        listed: Mapping[str, int],
        least_value: int,
    ) -> None:
        super().__init__(ask, catalog, rules, most_units)
        self.listed, self.least_value = listed, least_value
        self.matter = frozenset(catalog.by_id) if least_value else frozenset()

    def least(self) -> int | None:
        """The least price of these."""
        self.run()
        return self.best_minor

    def _stacks(self) -> Iterator[tuple[tuple[Loaded, ...], Links, str | None]]:
        return (one for one in super()._stacks() if len(one[0]) <= self.most_units)

    def _value(self, build: Build) -> int:
        lines = [*build.bought, *(line for unit in build.units for line in unit.bought)]
        return sum(self.listed.get(line.part, 0) * line.count for line in lines)

    def _order(self, units: tuple[Loaded, ...], links: Links, topology: str | None) -> None:
        """Tries purchases by price; what is complete is not added to, for more would be idle."""
        needs = _needs(units, links)
        waiting: list[tuple[int, Lines, int, tuple[Box, ...]]] = []
        for number, boxes in enumerate(self._boxes(_types(units))):
            for cost, bought in self._loose(boxes, needs):
                waiting += [(cost, lines, number, boxes) for lines in self._places(bought, len(units))]
        heapq.heapify(waiting)
        done: set[object] = set()
        while waiting:
            cost, lines, number, boxes = heapq.heappop(waiting)
            if self.best_minor is not None and cost >= self.best_minor:
                return
            if (lines, number) in done:
                continue
            done.add((lines, number))
            build = _bare(units, links, topology, boxes, lines)
            if self.judge.accepts(build, ("ordering.complete",)):
                enough = not self.least_value or (self._value(build) >= self.least_value and not self._idle(build))
                if enough and self.judge.accepts(build):
                    self.best, self.best_minor = build, cost
                    return
                continue
            for part, price in self.buyable.items():
                useful = {part} | {content.part for content in self.catalog.by_id[part].contents}
                most = sum(needs[p] for p in useful)
                if sum(count for (_, p), count in lines if p == part) < most:
                    for place in range(1 + len(units) * self._stays(part)):
                        more = Counter(dict(lines))
                        more[place, part] += 1
                        heapq.heappush(waiting, (cost + price, tuple(sorted(more.items())), number, boxes))

    def _idle(self, build: Build) -> bool:
        """Whether some loose part could be left out."""
        for place, unit in enumerate((None, *build.units)):
            lines = build.bought if unit is None else unit.bought
            for line in lines:
                if isinstance(self.catalog.by_id[line.part], Box):
                    continue
                rest = tuple(
                    Bought(part=one.part, count=one.count - (one is line)) for one in lines if one.count > (one is line)
                )
                fewer = build.model_copy(update={"bought": rest})
                if unit is not None:
                    every = list(build.units)
                    every[place - 1] = unit.model_copy(update={"bought": rest})
                    fewer = build.model_copy(update={"units": tuple(every)})
                if self.judge.accepts(fewer, ("ordering.complete",)):
                    return True
        return False
