"""Every bill for a stack whose units need licences, contracts, rack kits and lugs, by trying all of it.

Plain enumeration over units and their boxes, licences, contracts, optics, and kits bought for the stack or
for a unit; no rule's code is used.  For worlds of `service_worlds`: chassis with a built-in supply, copper
ports, cages for uplinks and a module slot, stacked in a chain.

What serves different purposes is bought apart (no part serves two of them), so bills are sums, one
part from each purpose, given the boxes and kits.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import combinations, combinations_with_replacement, product
from typing import TypeVar

from configurator.catalog import Catalog
from configurator.parts import Box, Cable, Module, Optic, UnitType
from configurator.services import Licence, Lug, RackKit, Support
from configurator.setting import Ask

T = TypeVar("T")
MOST_UNITS = 3
Bill = tuple[tuple[str, int], ...]  # parts and how many, sorted
Ways = list[tuple[Counter[str], ...]]  # what each unit needs, and last what they share


def bills(ask: Ask, catalog: Catalog) -> set[Bill]:
    """Every bill that may be worth having."""
    return {bill for units in _units(catalog) for bill in _Stack(units, ask, catalog).bills()}


def trials(catalog: Catalog) -> int:
    """How many choices of units, and of parts that bring others along, there are to try."""
    return sum(3 ** (len(_bringing(catalog)) * (1 + len(units))) for units in _units(catalog))


def _bringing(catalog: Catalog) -> list[str]:
    """Loose parts with contents."""
    return [part.id for part in catalog.by_id.values() if part.contents and not isinstance(part, Box)]


def _units(catalog: Catalog) -> Iterator[tuple[tuple[Box, str | None], ...]]:
    """Boxes, each with the module in the unit's slot."""
    one = [
        (box, module)
        for box in catalog.parts.boxes
        for module in (None, *(m for slot in catalog.unit_types[box.unit].module_slots for m in slot.takes))
    ]
    most = min(MOST_UNITS, catalog.parts.families[0].largest_stack)
    for count in range(1, most + 1):
        yield from combinations_with_replacement(one, count)


class _Stack:
    """One choice of boxes and modules."""

    def __init__(self, units: tuple[tuple[Box, str | None], ...], ask: Ask, catalog: Catalog) -> None:
        self.boxes, self.modules = [box for box, _ in units], [module for _, module in units]
        self.ask, self.catalog = ask, catalog
        self.units = [catalog.unit_types[box.unit] for box in self.boxes]
        self.said = ask.setting
        self.ports = sum(d.count for d in ask.stack.devices)
        self.uplinks = sum(u.count for u in ask.stack.uplinks)
        self.of_ports = sorted({f for d in ask.stack.devices for f in d.features} - set(self.said.features))
        self.licences = [one for one in catalog.parts.licences if self._runs(one)]

    def _runs(self, one: Licence) -> bool:
        asked = self.said.licence_months
        return one.term_months is None or asked is None or one.term_months >= asked

    def bills(self) -> Iterator[Bill]:
        """Bills of these units, with every number of parts that bring others along."""
        if not self._possible():
            return
        purposes = [
            self._licence_ways(),
            self._support_ways(),
            self._kit_ways(),
            self._lug_ways(),
            self._slot_ways(),
            self._cable_ways(),
        ]
        if not all(purposes):
            return
        parts_of = [{part for way in ways for need in way for part in need} for ways in purposes]
        known: dict[object, list[Bill]] = {}
        for extra, own, pool in self._stocks():
            found = []
            for ways, parts in zip(purposes, parts_of, strict=True):
                mine, shared = [_of(parts, some) for some in own], _of(parts, pool)
                key = (id(ways), tuple(map(_frozen, mine)), _frozen(shared))
                if key not in known:
                    known[key] = _least({self._short(way, mine, shared) for way in ways})
                found.append(known[key])
            for chosen in product(*found):
                bought = Counter([box.id for box in self.boxes]) + extra
                for short in chosen:
                    bought.update(dict(short))
                yield _frozen(bought)

    def _possible(self) -> bool:
        """Ports, cages, what types can do, and a release for all of it."""
        modules = [self.catalog.get(module, Module) for module in self.modules if module is not None]
        groups = [*(unit.ports for unit in self.units), *(module.ports for module in modules)]
        ports = sum(group.count for some in groups for group in some if group.id == "p")
        cages = sum(group.count for unit in self.units for group in unit.ports if group.id == "up")
        asked = {f.id: f for f in self.catalog.parts.features if f.id in {*self.said.features, *self.of_ports}}
        able = all(
            not f.unit_types or unit.id in f.unit_types or f.id in unit.features
            for f in asked.values()
            for unit in self.units
        )
        lists = [set(unit.releases) for unit in self.units if unit.releases]
        lists += [set(feature.releases) for feature in asked.values() if feature.releases]
        if self.said.release is not None:
            lists.append({self.said.release})
        return ports >= self.ports and cages >= self.uplinks and able and (not lists or bool(set.intersection(*lists)))

    # --- ways, by purpose ------------------------------------------------------------------------------

    def _licence_ways(self) -> Ways:
        """Sets of licences for the stack and for each unit, and how many for ports."""
        free = {f.id for f in self.catalog.parts.features if not f.licensed}
        of_stack = [one for one in self.licences if one.scope == "stack" and self._for_all(one)]
        every, ways = set(self.said.features) - free, []
        by_port = [f for f in self.of_ports if f not in free]
        for chosen in _subsets(of_stack):
            has = {f for one in chosen for f in one.features}
            left = [f for f in by_port if f not in has]
            for on_units in _subsets(left):
                asked = (every - has) | set(on_units)
                options = [_smallest(self._unit_sets(unit, asked)) for unit in self.units]
                rest = [f for f in left if f not in on_units]
                for ports in self._port_licences(rest[0] if rest else None):
                    for sets in product(*options):
                        shared = Counter([one.id for one in chosen]) + ports
                        ways.append((*(Counter(names) for names in sets), shared))
        return ways

    def _for_all(self, one: Licence) -> bool:
        return not one.unit_types or all(unit.id in one.unit_types for unit in self.units)

    def _unit_sets(self, unit: UnitType, asked: Iterable[str]) -> Iterator[frozenset[str]]:
        """Sets of licences with which a unit may do all of this and has its subscription."""
        mine = [one for one in self.licences if not one.unit_types or unit.id in one.unit_types]
        mine = [one for one in mine if one.scope == "unit"]
        for chosen in _subsets(mine):
            names = frozenset(one.id for one in chosen)
            has = {*unit.features, *(f for one in chosen for f in one.features)}
            subscribed = not unit.subscriptions or not names.isdisjoint(unit.subscriptions)
            if set(asked) <= has and subscribed:
                yield names

    def _port_licences(self, feature: str | None) -> Iterator[Counter[str]]:
        """One for each port that has the feature; any mix."""
        if feature is None:
            yield Counter()
            return
        count = sum(d.count for d in self.ask.stack.devices if feature in d.features)
        fit = [
            one.id for one in self.licences if one.scope == "port" and feature in one.features and self._for_all(one)
        ]
        for chosen in combinations_with_replacement(fit, count):
            yield Counter(chosen)

    def _support_ways(self) -> Ways:
        """A contract for each unit; optics covered by all of them or one by one; which optics there are."""
        optics = [optic.id for optic in self.catalog.parts.optics]
        plugged = [Counter(some) for some in combinations_with_replacement(optics, self.uplinks)]
        said, none = self.said, Counter[str]()
        if said.support_level is None and said.support_months is None:
            return [(*(none for _ in self.units), some) for some in plugged]
        ways: Ways = []
        alike = self.catalog.parts.families[0].support_alike
        for chosen in product(*(self._contracts(unit) for unit in self.units)):
            if alike and len({(one.level, self._months(one)) for one in chosen}) > 1:
                continue
            needs = tuple(Counter({one.id: self._times(one)}) for one in chosen)
            if not said.optics_covered or all(one.covers_optics for one in chosen):
                ways += [(*needs, some) for some in plugged]
            if said.optics_covered:
                ways += [(*needs, some + covers) for some in plugged for covers in self._covers(some)]
        return ways

    def _contracts(self, unit: UnitType) -> list[Support]:
        """Contracts that do for a unit."""
        mine = [one for one in self.catalog.parts.support if not one.unit_types or unit.id in one.unit_types]
        return [one for one in mine if not one.covers_parts and self._as_asked(one)]

    def _as_asked(self, one: Support) -> bool:
        """Level and term, of a contract for a unit or for parts."""
        rank = {level.id: level.rank for level in self.catalog.parts.support_levels}
        asked = 0 if self.said.support_level is None else rank[self.said.support_level]
        return rank[one.level] >= asked and one.term_months >= (self.said.support_months or 0)

    def _months(self, one: Support) -> int:
        return self.said.support_months or one.term_months if one.by_month else one.term_months

    def _times(self, one: Support) -> int:
        return self._months(one) if one.by_month else 1

    def _covers(self, optics: Counter[str]) -> Iterator[Counter[str]]:
        """A parts contract for each optic."""
        fit = {
            name: [one for one in self.catalog.parts.support if name in one.covers_parts and self._as_asked(one)]
            for name in optics
        }
        for chosen in product(*(combinations_with_replacement(fit[name], count) for name, count in optics.items())):
            yield Counter(part for some in chosen for one in some for part in [one.id] * self._times(one))

    def _kit_ways(self) -> Ways:
        """One rack kit for the posts and the type."""
        posts = self.said.rack_posts
        return self._one_each(
            [kit for kit in self.catalog.parts.rack_kits if kit.posts == posts], asked=posts is not None
        )

    def _lug_ways(self) -> Ways:
        """One lug for the type."""
        return self._one_each(self.catalog.parts.lugs, asked=self.said.earthing_lugs)

    def _one_each(self, parts: Sequence[RackKit | Lug], *, asked: bool) -> Ways:
        if not asked:
            return [(*(Counter[str]() for _ in self.units), Counter[str]())]
        fit = [[one.id for one in parts if not one.unit_types or unit.id in one.unit_types] for unit in self.units]
        return [(*(Counter([name]) for name in names), Counter[str]()) for names in product(*fit)]

    def _slot_ways(self) -> Ways:
        """A module in the slot, or a panel where there is one for the type."""
        blanks = self.catalog.parts.blanks if self.said.blank_panels else ()
        options = []
        for unit, module in zip(self.units, self.modules, strict=True):
            panels = [one.id for one in blanks if not one.unit_types or unit.id in one.unit_types]
            empty = unit.module_slots and module is None and panels
            options.append([Counter([p]) for p in panels] if empty else [Counter([module] if module else [])])
        return [(*needs, Counter[str]()) for needs in product(*options)]

    def _cable_ways(self) -> Ways:
        """A chain takes a cable fewer than it has units."""
        cables = [cable.id for cable in self.catalog.parts.cables]
        return [
            (*(Counter[str]() for _ in self.units), Counter(some))
            for some in combinations_with_replacement(cables, len(self.units) - 1)
        ]

    # --- purchases ---------------------------------------------------------------------------------------

    def _stocks(self) -> Iterator[tuple[Counter[str], list[Counter[str]], Counter[str]]]:
        """What is bought for the stack or for units and brings others along; what each unit has, what serves any."""
        kits = _bringing(self.catalog)
        for places in product(*(range(3) for _ in kits for _ in (None, *self.units))):
            own: list[Counter[str]] = [Counter() for _ in self.units]
            pool, extra = Counter[str](), Counter[str]()
            for box, mine in zip(self.boxes, own, strict=True):
                self._unpack(box.id, 1, mine, pool)
            at = iter(places)
            for kit in kits:
                for place in (None, *own):
                    count = next(at)
                    extra[kit] += count
                    (pool if place is None else place)[kit] += count
                    self._unpack(kit, count, place, pool)
            yield +extra, own, pool

    def _unpack(self, part: str, count: int, own: Counter[str] | None, pool: Counter[str]) -> None:
        for content in self.catalog.by_id[part].contents if count else ():
            anywhere = content.movable or isinstance(self.catalog.by_id[content.part], Cable | Optic)
            if anywhere:
                pool[content.part] += content.count * count
            elif own is not None:
                own[content.part] += content.count * count

    @staticmethod
    def _short(way: tuple[Counter[str], ...], own: Sequence[Counter[str]], pool: Counter[str]) -> Bill:
        """What is to be bought for a way."""
        *units, shared = way
        missing = Counter(shared)
        for need, mine in zip(units, own, strict=True):
            missing += need - mine
        return _frozen(missing - pool)


def _of(parts: Collection[str], stock: Counter[str]) -> Counter[str]:
    """What of a stock serves one purpose."""
    return Counter({part: count for part, count in stock.items() if part in parts})


def _least(found: Iterable[Bill]) -> list[Bill]:
    """Without what buys all that another does, and more."""
    kept: list[Bill] = []
    for short in sorted(found, key=lambda one: sum(count for _, count in one)):
        if not any(Counter(dict(other)) <= Counter(dict(short)) for other in kept):
            kept.append(short)
    return kept


def _smallest(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Sets of which no part could be left out."""
    every = list(sets)
    return [one for one in every if not any(other < one for other in every)]


def _subsets(items: Sequence[T]) -> Iterator[tuple[T, ...]]:
    for size in range(len(items) + 1):
        yield from combinations(items, size)


def _frozen(counts: Counter[str]) -> Bill:
    return tuple(sorted((part, count) for part, count in counts.items() if count > 0))


def least_minor(stacks: Sequence[Iterable[Bill]], catalog: Catalog) -> int | None:
    """The least price of one bill from each, in whole packs and least quantities."""
    prices = (
        sum(_sold(part, count, catalog) for part, count in sum((Counter(dict(b)) for b in chosen), Counter()).items())
        for chosen in product(*stacks)
    )
    return min(prices, default=None)


def _sold(part: str, count: int, catalog: Catalog) -> int:
    row = catalog.prices.rows[part]
    return -(-max(count, row.least_quantity) // row.pack_size) * row.pack_size * row.price_minor if count else 0
