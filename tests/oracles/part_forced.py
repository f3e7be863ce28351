"""The least price of a tiny world's builds that have so many of a part, or none of it, by trying all of them.

As `brute_force`, but for what it leaves out because it only makes a build dearer: here a fuller unit,
a unit that serves nothing and a dearer way to buy may be worth having for the part.  What is ordered
besides boxes and brings the part has to be needed: without it `ordering.complete` must find fault.
A split port serves something.
"""

from __future__ import annotations

import heapq
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement

from configurator.build import Bought, Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.parts import Box
from configurator.rule import Rule
from configurator.setting import Ask
from tests.oracles.brute_force import LINKED, Lines, Links, _bare, _needs, _packed, _Search, _types, price_of
from tests.oracles.brute_units import Loaded, bodies, loads


def least_with(
    ask: Ask, part: str, least: int, catalog: Catalog, rules: Sequence[Rule], most_units: int = 3
) -> int | None:
    """The least price of any build with so many of a part."""
    build = _With(ask, part, least, catalog, rules, most_units).run()
    return None if build is None else price_of(build, catalog)


def least_without(ask: Ask, part: str, catalog: Catalog, rules: Sequence[Rule], most_units: int = 3) -> int | None:
    """The least price of any build that has none of a part."""
    build = _Without(ask, part, catalog, rules, most_units).run()
    return None if build is None else price_of(build, catalog)


def having(build: Build, part: str, catalog: Catalog) -> int:
    """How many of a part are ordered, or lie in what is ordered, built-in supplies among it."""
    lines = [*build.bought, *(line for unit in build.units for line in unit.bought)]
    found = sum(line.count * _in_one(line.part, part, catalog) for line in lines)
    return found + sum(1 for u in build.units for s in u.supplies if s.bay == 0 and s.supply == part)


def _in_one(name: str, part: str, catalog: Catalog) -> int:
    return (name == part) + sum(c.count for c in catalog.by_id[name].contents if c.part == part)


class _Tried(_Search):
    """Units that need other numbers of what matters for the part, or of what may not move, are told apart."""

    matter: frozenset[str] = frozenset()

    def _stacks(self) -> Iterator[tuple[tuple[Loaded, ...], Links, str | None]]:
        alone: list[Loaded] = []
        together: list[Loaded] = []
        for body in filter(self._fitted, bodies(self.judge)):
            (alone if body.stack_group is None else together).extend(loads(self.judge, body, self.asked))
        for one in self._leanest(alone):
            if Counter(one.served) == self.asked and self.judge.accepts(_bare((one,), (), None), LINKED):
                yield (one,), (), None
        together = self._leanest(together)
        served = [_packed(Counter(one.served), list(self.asked)) for one in together]
        by_served: dict[int, list[int]] = defaultdict(list)
        for index, packed in enumerate(served):
            by_served[packed].append(index)
        whole = _packed(self.asked, list(self.asked))
        names = sorted({part for one in together for part in one.needs})
        needs = [_packed(one.needs, names) for one in together]
        stays = {c.part for p in self.catalog.by_id.values() for c in p.contents if self._stays(p.id)}
        apart = [_packed(one.needs, sorted(stays)) for one in together]
        for count in range(2, self.most_units + 1):
            seen: set[object] = set()
            for rest in combinations_with_replacement(range(len(together)), count - 1):
                for last in by_served.get(whole - sum(served[i] for i in rest), ()):
                    if last < rest[-1]:
                        continue
                    chosen = (*rest, last)
                    units = tuple(together[i] for i in chosen)
                    who = tuple(sorted(served[i] for i in chosen))
                    mine = tuple((together[i].stacking, apart[i]) for i in chosen)
                    mark = (mine, sum(needs[i] for i in chosen), who)
                    if mark not in seen:
                        seen.add(mark)
                        yield from ((units, links, topology) for links, topology in self._links(units))

    def _fitted(self, body: BuiltUnit) -> bool:
        """Whether a body has no adapters that its type needs none of."""
        of_type = {a.id for a in self.catalog.parts.stack_adapters if body.unit_type in a.unit_types}
        return of_type.issuperset(body.adapters)

    def _leanest(self, units: list[Loaded]) -> list[Loaded]:
        by: dict[object, list[Loaded]] = defaultdict(list)
        for one in sorted(units, key=lambda one: one.needs.total()):
            mine = tuple(sorted((part, n) for part, n in one.needs.items() if part in self.matter))
            same = by[one.stacking, one.served, mine]
            if not any(other.needs <= one.needs for other in same):
                same.append(one)
        return [one for same in by.values() for one in same]


class _Without(_Tried):
    """Nothing is bought that the part comes with."""

    def __init__(self, ask: Ask, part: str, catalog: Catalog, rules: Sequence[Rule], most_units: int) -> None:
        super().__init__(ask, catalog, rules, most_units)
        fixed = {t.id for t in catalog.parts.unit_types if t.built_in_supply == part}
        self.parts = [
            p for p in self.parts if not _in_one(p.id, part, catalog) and not (isinstance(p, Box) and p.unit in fixed)
        ]
        self.buyable = {p.id: catalog.price_minor(p.id) or 0 for p in self.parts if not isinstance(p, Box)}


class _With(_Tried):
    """So many of the part are had."""

    def __init__(
        self, ask: Ask, part: str, least: int, catalog: Catalog, rules: Sequence[Rule], most_units: int
    ) -> None:
        super().__init__(ask, catalog, rules, most_units)
        self.part, self.least = part, least
        bringing = [p for p in catalog.by_id.values() if _in_one(p.id, part, catalog) and not isinstance(p, Box)]
        self.matter = frozenset(name for p in bringing for name in (p.id, *(c.part for c in p.contents)))

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
                if having(build, self.part, self.catalog) >= self.least and not self._idle(build):
                    if self.judge.accepts(build):
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
        """Whether some loose part that brings the part could be left out."""
        for place, unit in enumerate((None, *build.units)):
            lines = build.bought if unit is None else unit.bought
            for line in lines:
                loose = not isinstance(self.catalog.by_id[line.part], Box)
                if loose and _in_one(line.part, self.part, self.catalog):
                    rest = tuple(
                        Bought(part=one.part, count=one.count - (one is line))
                        for one in lines
                        if one.count > (one is line)
                    )
                    fewer = build.model_copy(update={"bought": rest})
                    if unit is not None:
                        every = list(build.units)
                        every[place - 1] = unit.model_copy(update={"bought": rest})
                        fewer = build.model_copy(update={"units": tuple(every)})
                    if self.judge.accepts(fewer, ("ordering.complete",)):
                        return True
        return False
