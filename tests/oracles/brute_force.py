"""The least price of a tiny world's builds, by trying all of them: only checks, prices and catalog facts.

Left out, each by an exact argument:
* a unit that a rule about single units rejects (see `brute_units`);
* ports beyond those needed: taking one away breaks no rule;
* the order of units: no rule but those on links reads it, and every set of links is tried;
* loose parts that nothing in the build is, or holds: leaving one out breaks no rule;
* a unit with more in it than another of its type that stacks the same way and serves the same: no rule
  about the whole stack asks for the rest, adapters apart;
* loose parts for a unit rather than for the stack, unless something in them may not move: what comes
  for the stack serves any unit.
Stacking links are tried with cables only; `blocks.not_covered` names the worlds where optics could do.
"""

from __future__ import annotations

import heapq
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import combinations_with_replacement, product
from typing import Any

from configurator.build import Bought, Build, BuiltUnit, FarEnd, StackLink
from configurator.catalog import Catalog
from configurator.parts import Box
from configurator.rule import Rule
from configurator.setting import Ask
from configurator_rules.stacking.checking import way_m
from tests.oracles.brute_units import Judge, Loaded, bodies, groups_of, loads, totals

LINKED = ("stacking.size", "stacking.units_asked", "stacking.members", "stacking.ports", "stacking.rate",
          "stacking.topology", "stacking.distance", "stacking.cables", "stacking.adapter",
          "twinax.passive")  # fmt: skip
ORDER = ("ordering.priced", "ordering.valid", "ordering.currency", "ordering.withdrawn", "ordering.region",
         "ordering.bought_as", "ordering.delivery")  # fmt: skip
Links = tuple[StackLink, ...]
Lines = tuple[tuple[tuple[int, str], int], ...]  # place (0: the stack, else a unit's position) and part, count


def least_price(ask: Ask, catalog: Catalog, rules: Sequence[Rule], most_units: int = 3) -> int | None:
    """The least price of any build that all checks accept; none where there is none."""
    build = cheapest(ask, catalog, rules, most_units)
    return None if build is None else price_of(build, catalog)


def price_of(build: Build, catalog: Catalog) -> int:
    """What a build's purchases cost."""
    lines = [*build.bought, *(line for unit in build.units for line in unit.bought)]
    return sum((catalog.price_minor(line.part) or 0) * line.count for line in lines)


def cheapest(ask: Ask, catalog: Catalog, rules: Sequence[Rule], most_units: int = 3) -> Build | None:
    """A cheapest build that all checks accept."""
    if any(_limit(catalog, t.id) > most_units for t in catalog.parts.unit_types):
        raise ValueError(f"stacks of more than {most_units} units")
    return _Search(ask, catalog, rules, most_units).run()


def _limit(catalog: Catalog, unit_type: str) -> int:
    found = catalog.unit_types[unit_type]
    return found.largest_stack or catalog.families[found.family].largest_stack


class _Search:
    """All stacks, those that could be cheapest first."""

    def __init__(self, ask: Ask, catalog: Catalog, rules: Sequence[Rule], most_units: int) -> None:
        self.ask, self.catalog, self.most_units = ask, catalog, most_units
        self.judge = Judge(rules, ask, catalog)
        self.asked = totals(self.judge)
        self.parts = [p for p in catalog.by_id.values() if self._orderable(p.id)]
        self.best: Build | None = None
        self.best_minor: int | None = None
        self.buyable = {p.id: catalog.price_minor(p.id) or 0 for p in self.parts if not isinstance(p, Box)}
        self._known: dict[object, list[tuple[Links, str | None]]] = {}
        self._bounds: dict[object, int | None] = {}

    def _orderable(self, part: str) -> bool:
        return self.judge.accepts(Build(stack="-", units=(), bought=(Bought(part=part, count=1),)), ORDER)

    def run(self) -> Build | None:
        """Candidates by what they cost at least; the first that nothing undercuts is it."""
        waiting: list[tuple[int, int, tuple[Loaded, ...], Links, str | None]] = []
        for number, (units, links, topology) in enumerate(self._stacks()):
            bound = self._bound(units, links)
            if bound is not None:
                waiting.append((bound, number, units, links, topology))
        for bound, _, units, links, topology in sorted(waiting, key=lambda item: item[:2]):
            if self.best_minor is not None and bound >= self.best_minor:
                break
            self._order(units, links, topology)
        return self.best

    # --- stacks ------------------------------------------------------------------------------------

    def _stacks(self) -> Iterator[tuple[tuple[Loaded, ...], Links, str | None]]:
        """Every multiset of units that serves exactly what is asked, with every set of links.

        Of stacks alike in types, links and parts needed only the first of each way to serve is kept
        apart: rules about the whole stack see nothing else (spread sees who serves, so it is kept).
        """
        alone: list[Loaded] = []
        together: list[Loaded] = []
        for body in bodies(self.judge):
            (alone if body.stack_group is None else together).extend(loads(self.judge, body, self.asked))
        for one in _leanest(alone):
            if Counter(one.served) == self.asked and self.judge.accepts(_bare((one,), (), None), LINKED):
                yield (one,), (), None
        together = _leanest(together)
        served = [_packed(Counter(one.served), list(self.asked)) for one in together]
        by_served: dict[int, list[int]] = defaultdict(list)
        for index, packed in enumerate(served):
            by_served[packed].append(index)
        whole = _packed(self.asked, list(self.asked))
        names = sorted({part for one in together for part in one.needs})
        needs = [_packed(one.needs, names) for one in together]
        for count in range(2, self.most_units + 1):
            seen: set[object] = set()
            for rest in combinations_with_replacement(range(len(together)), count - 1):
                for last in by_served.get(whole - sum(served[i] for i in rest), ()):
                    if last < rest[-1]:
                        continue
                    chosen = (*rest, last)
                    units = tuple(together[i] for i in chosen)
                    who = tuple(sorted(served[i] for i in chosen))
                    mark = (tuple(one.stacking for one in units), sum(needs[i] for i in chosen), who)
                    if mark not in seen:
                        seen.add(mark)
                        yield from ((units, links, topology) for links, topology in self._links(units))

    def _links(self, units: tuple[Loaded, ...]) -> list[tuple[Links, str | None]]:
        """Links that the stacking rules accept between these units; each bill of cables once."""
        key = tuple(one.stacking for one in units)
        if key not in self._known:
            self._known[key] = list(self._all_links(units))
        return self._known[key]

    def _all_links(self, units: tuple[Loaded, ...]) -> Iterator[tuple[Links, str | None]]:
        bare = _bare(units, (), None)
        groups = [g for u in units for _, g in groups_of(self.catalog, u.unit) if g.id == u.unit.stack_group]
        a_link = max(family.cables_a_link for family in self.catalog.parts.families)
        cables = [c.id for c in self.catalog.parts.cables]
        several = [m for n in range(1, a_link + 1) for m in combinations_with_replacement(cables, n)]
        seen: set[object] = set()
        for pairs in _graphs(len(units)):
            way = {pair: way_m(*pair, bare, self.ask, self.catalog) or Decimal(0) for pair in set(pairs)}
            for speed in sorted({s for g in groups for s in g.speeds_mbps}):
                for chosen in product(several, repeat=len(pairs)):
                    links = tuple(
                        StackLink(from_unit=a, to_unit=b, way_m=way[a, b], speed_mbps=speed, parts=parts)
                        for (a, b), parts in zip(pairs, chosen, strict=True)
                    )
                    needs = _frozen(_needs((), links))
                    for topology in ("ring", "chain"):
                        if needs not in seen and self.judge.accepts(_bare(units, links, topology), LINKED):
                            seen.add(needs)
                            yield links, topology

    # --- orders ------------------------------------------------------------------------------------

    def _bound(self, units: tuple[Loaded, ...], links: Links) -> int | None:
        """What boxes and loose parts cost at least, if every content could serve every unit."""
        types, needs = tuple(sorted(_types(units))), _needs(units, links)
        key = (types, frozenset(needs.items()))
        if key not in self._bounds:
            costs = [cost for boxes in self._boxes(types) for cost, _ in self._loose(boxes, needs)]
            self._bounds[key] = min(costs, default=None)
        return self._bounds[key]

    def _boxes(self, types: tuple[str, ...]) -> Iterator[tuple[Box, ...]]:
        return product(*([p for p in self.parts if isinstance(p, Box) and p.unit == t] for t in types))

    def _loose(self, boxes: tuple[Box, ...], needs: dict[str, int]) -> Iterator[tuple[int, Counter[str]]]:
        """Loose purchases with which nothing is missing when all contents are pooled, for every number of kits."""
        pooled = Counter(needs)
        for box in boxes:
            for content in box.contents:
                pooled[content.part] -= content.count
        kits = [p for p in self.parts if not isinstance(p, Box) and any(c.part in needs for c in p.contents)]
        most = [range(sum(needs.get(c.part, 0) for c in kit.contents) + 1) for kit in kits]
        for counts in product(*most):
            bought, missing = Counter[str](), Counter(pooled)
            for kit, count in zip(kits, counts, strict=True):
                bought[kit.id] += count
                missing[kit.id] -= count
                for content in kit.contents:
                    missing[content.part] -= content.count * count
            bought.update({part: count for part, count in missing.items() if count > 0})
            bought = +bought
            if all(part in self.buyable for part in bought):
                prices = [self.catalog.price_minor(b.id) or 0 for b in boxes]
                yield sum(prices) + sum(self.buyable[p] * n for p, n in bought.items()), bought

    def _order(self, units: tuple[Loaded, ...], links: Links, topology: str | None) -> None:
        """Tries purchases by price, from those that would do if contents were pooled."""
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
                if self.judge.accepts(build):
                    self.best, self.best_minor = build, cost
                return  # what follows costs more, and is the same stack
            for part, price in self.buyable.items():
                useful = {part} | {content.part for content in self.catalog.by_id[part].contents}
                most = sum(needs[p] for p in useful)
                if sum(count for (_, p), count in lines if p == part) < most:
                    for place in range(1 + len(units) * self._stays(part)):
                        more = Counter(dict(lines))
                        more[place, part] += 1
                        heapq.heappush(waiting, (cost + price, tuple(sorted(more.items())), number, boxes))

    def _stays(self, part: str) -> bool:
        """Whether something in a part's box may serve only the unit that the part is ordered for."""
        contents = self.catalog.by_id[part].contents
        return not all(c.movable or self.catalog.serves_any_unit(c.part) for c in contents)

    def _places(self, bought: Counter[str], units: int) -> Iterator[Lines]:
        """Ways to order parts for the stack or for a unit, where that makes a difference."""
        choices = [
            list(combinations_with_replacement(range(1 + units * self._stays(part)), count))
            for part, count in bought.items()
        ]
        for chosen in product(*choices):
            lines = Counter((place, part) for part, places in zip(bought, chosen, strict=True) for place in places)
            yield tuple(sorted(lines.items()))


def _graphs(units: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """Every set of links between so many units, up to two between the same."""
    pairs = [(a, b) for a in range(1, units + 1) for b in range(a + 1, units + 1)]
    for times in product((0, 1, 2), repeat=len(pairs)):
        if units - 1 <= sum(times) <= units:
            yield tuple(pair for pair, n in zip(pairs, times, strict=True) for _ in range(n))


def _bare(
    units: tuple[Loaded, ...],
    links: Links,
    topology: str | None,
    boxes: tuple[Box, ...] = (),
    lines: Lines = (),
) -> Build:
    """A build of these units, with the purchases known so far."""
    ordered: dict[int, list[Bought]] = defaultdict(list)  # by place: 0 is the stack
    for (place, part), count in lines:
        ordered[place].append(Bought(part=part, count=count))
    built: list[BuiltUnit] = []
    for index, one in enumerate(units):
        more: dict[str, object] = dict(position=index + 1)
        if boxes:
            more |= dict(box=boxes[index].id, bought=(Bought(part=boxes[index].id, count=1), *ordered[index + 1]))
        built.append(one.unit.model_copy(update=more))
    ends: tuple[FarEnd, ...] = tuple(end for one in units for end in one.far_ends)
    return Build.model_validate(
        dict(stack="tiny", units=tuple(built), topology=topology, links=links, far_ends=ends, bought=tuple(ordered[0]))
    )


def _needs(units: tuple[Loaded, ...], links: Links) -> Counter[str]:
    needs = Counter(part for link in links for part in link.parts)
    for one in units:
        needs.update(one.needs)
    return needs


def _types(units: tuple[Loaded, ...]) -> tuple[str, ...]:
    return tuple(one.unit.unit_type for one in units)


def _leanest(units: list[Loaded]) -> list[Loaded]:
    """Units without those that hold more than another that is the same to the rest of the stack."""
    by: dict[object, list[Loaded]] = defaultdict(list)
    for one in sorted(units, key=lambda one: one.needs.total()):
        same = by[one.stacking, one.served]
        if not any(other.needs <= one.needs for other in same):
            same.append(one)
    return [one for same in by.values() for one in same]


def _packed(counts: Counter[Any], order: Sequence[Any]) -> int:
    """Counts below 64 in one integer, so that they add up as it does; what borrows is no such count."""
    return sum(counts[key] << 6 * place for place, key in enumerate(order))


def _frozen(counts: dict[str, int]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted((part, count) for part, count in counts.items() if count))
