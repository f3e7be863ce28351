"""Arrangements with what their links cost, each laced in the best way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import combinations

from configurator.book import Book
from configurator.conflicts.relax import OPEN
from configurator.engine.arrange import MOST_UNITS, Stacking, Ways, arranged, modes, usual_arrangements
from configurator.engine.lacing import Merit, Merits, usual, worth_having
from configurator.engine.offers import cheapest_recipe, is_pooled
from configurator.fitout import Arrangement, Mode
from configurator.rule import Need
from configurator.setting import Ask, Setting

ARRANGED_BY = ("arranges", "together", "requires.stack", "forbids_over", "forbids_for", "forbids_part", "sells")


@dataclass(frozen=True)
class PricedArrangement:
    """An arrangement with what it needs, and the price of that where no box could hold it."""

    arrangement: Arrangement
    needs: tuple[tuple[str, Need], ...]
    price_minor: int

    @property
    def units(self) -> int:
        """How many units."""
        return self.arrangement.units

    @property
    def mode(self) -> Mode | None:
        """How they stack; none: alone."""
        return self.arrangement.mode


def kept_arrangements(
    book: Book, ask: Ask, stackings: list[Stacking], most: int, pool: frozenset[str], priced: bool
) -> list[PricedArrangement]:
    """`priced_arrangements`, kept for every demand that says the same of stacking."""
    kept = next((some for some in (8, 16, 32, 64) if some >= most), MOST_UNITS)  # so that more demands are alike
    stack = ask.stack
    key = (
        *(tuple(stackings), kept, ask.topology, ask.two_unit_links, ask.dropped.intersection(OPEN)),
        *(stack.units_at_least, stack.units_at_most, stack.stacking_mbps, stack.rack_positions, stack.between_units_m),
        *(pool, priced),
    )

    def make(setting: Setting) -> list[PricedArrangement]:
        return priced_arrangements(book, replace(ask, setting=setting), stackings, kept, pool, priced)

    return [one for one in book.made("arrangements", ARRANGED_BY, key, ask.setting, make) if one.units <= most]


def priced_arrangements(
    book: Book, ask: Ask, stackings: list[Stacking], most: int, pool: frozenset[str], priced: bool = True
) -> list[PricedArrangement]:
    """Arrangements that can be ordered; of equal units and mode only the cheapest, unless boxes hold cables."""
    kept: list[PricedArrangement] = []
    cheapest: dict[object, int] = {}
    for arrangement in _arrangements(book, ask, modes(book, stackings), min(most, MOST_UNITS), pool, priced):
        needs = tuple(book.stack_needs(arrangement if priced else _unlinked(arrangement), ask.setting))
        had = [(need, cheapest_recipe(book, need, ask.setting)) for _, need in needs]
        if any(found is None and not is_pooled(need, pool) for need, found in had):
            continue
        bought = [(need, found) for need, found in had if found is not None and not is_pooled(need, pool)]
        one = PricedArrangement(arrangement, needs, sum(found[0] * need.count for need, found in bought))
        key = (one.units, one.mode)
        if any(_is_link(need) and is_pooled(need, pool) for _, need in needs):
            kept.append(one)
        elif key not in cheapest:
            cheapest[key] = len(kept)
            kept.append(one)
        elif one.price_minor < kept[cheapest[key]].price_minor:
            kept[cheapest[key]] = one
    return kept


def _arrangements(
    book: Book, ask: Ask, found: list[Mode], most: int, pool: frozenset[str], priced: bool
) -> Iterator[Arrangement]:
    """Every arrangement of up to `most` units that no rule forbids, in every lacing worth having.

    Where prices play no part, a usual lacing that can be had is as good as any.
    """
    alone = Arrangement(1)
    if book.arranges(alone, ask):
        yield alone
    for mode in found:
        links = Links(book, ask, mode, pool)
        for units in range(2, most + 1):
            topologies = [each for each in ("chain", "ring") if priced or units == 2 or links.allowed(units, each)]
            if not topologies:
                continue
            easy = None if priced else links.easy(units, topologies)
            if easy is not None:
                yield easy
                continue
            for arrangement in usual_arrangements(mode, links.ways, 2) if units == 2 else links.laced(units):
                if book.arranges(arrangement, ask):
                    yield arrangement


def _unlinked(arrangement: Arrangement) -> Arrangement:
    """The same without its links, where they can be had: what else a stack needs doesn't hang on them."""
    return replace(arrangement, pairs=()) if arrangement.units > 2 else arrangement


def _is_link(need: Need) -> bool:
    return need.slot.startswith("link ")


Link = tuple[Need, ...]  # what one link takes


class Links:
    """What links of one mode take and are worth, by the way that they go."""

    def __init__(self, book: Book, ask: Ask, mode: Mode, pool: frozenset[str]) -> None:
        self.book, self.ask, self.mode, self.pool = book, ask, mode, pool
        self.ways = Ways(book.catalog, ask, mode.families)
        self._taken: dict[Decimal, Link | None] = {}

    def laced(self, units: int) -> Iterator[Arrangement]:
        """Three units or more as chains and as rings, in the lacings worth having."""
        for topology in ("chain", "ring"):
            bare = Arrangement(units, self.mode, topology, ways=self.ways)
            if self.book.arranges(bare, self.ask):
                for lacing in worth_having(units, self._merits(bare), ring=topology == "ring"):
                    yield arranged(self.mode, self.ways, lacing, topology)

    def allowed(self, units: int, topology: str) -> bool:
        """Whether three units or more may be linked so, however they are laced."""
        return self.book.arranges(Arrangement(units, self.mode, topology, ways=self.ways), self.ask)

    def easy(self, units: int, topologies: list[str]) -> Arrangement | None:
        """An arrangement in a usual lacing that can be had, if there is one."""
        for topology in topologies:
            for lacing in usual(units, ring=topology == "ring"):
                one = arranged(self.mode, self.ways, lacing, topology)
                if self.book.arranges(one, self.ask) and self._had(one):
                    return one
        return None

    def _had(self, one: Arrangement) -> bool:
        pairs = {self.ways.between(*pair): pair for pair in one.pairs}
        return all(self._link(replace(one, pairs=(pair,)), way_m) is not None for way_m, pair in pairs.items())

    def _merits(self, bare: Arrangement) -> Merits:
        """What each link of an arrangement would be worth."""
        order, between = self.ways.order(bare.units), self.ways.between
        some: dict[Decimal, tuple[int, int]] = {between(*pair): pair for pair in combinations(order, 2)}
        links: dict[Decimal, Link] = {}
        for way_m, pair in some.items():
            one = replace(bare, pairs=(pair,))
            link = self._link(one, way_m) if self.book.arranges(one, self.ask) else None
            if link is not None:
                links[way_m] = link
        worth = self._worth(links)
        return lambda a, b: worth.get(between(order[a - 1], order[b - 1]))

    def _link(self, one: Arrangement, way_m: Decimal) -> Link | None:
        """What the only link of an arrangement takes; none: it isn't to be had."""
        if way_m not in self._taken:
            setting = self.ask.setting
            link = tuple(need for _, need in self.book.stack_needs(one, setting) if _is_link(need))
            had = all(is_pooled(need, self.pool) or cheapest_recipe(self.book, need, setting) for need in link)
            self._taken[way_m] = link if had else None
        return self._taken[way_m]

    def _worth(self, links: dict[Decimal, Link]) -> dict[Decimal, Merit]:
        """Less the price; where boxes hold cables, how often whatever is as good as each sort of link is there."""
        if not any(is_pooled(need, self.pool) for link in links.values() for need in link):
            return {way_m: (-self._price_minor(link),) for way_m, link in links.items()}
        sorts = {way_m: _sort(link) for way_m, link in links.items()}
        better = _unions(
            [frozenset(other for other in sorts.values() if _as_good(other, sort)) for sort in set(sorts.values())]
        )
        return {way_m: tuple(int(sort in some) for some in better) for way_m, sort in sorts.items()}

    def _price_minor(self, link: Link) -> int:
        found = [(need.count, cheapest_recipe(self.book, need, self.ask.setting)) for need in link]
        return sum(count * recipe[0] for count, recipe in found if recipe is not None)


Sort = tuple[tuple[int, frozenset[tuple[str, ...]]], ...]  # how many of which recipes a link takes


def _sort(link: Link) -> Sort:
    return tuple((need.count, frozenset(need.recipes)) for need in link)


def _as_good(one: Sort, other: Sort) -> bool:
    """Whether all that makes `other` makes `one`."""
    return len(one) == len(other) and all(
        count == others and recipes >= fewer for (count, recipes), (others, fewer) in zip(one, other, strict=True)
    )


def _unions(sets: list[frozenset[Sort]]) -> list[frozenset[Sort]]:
    """All unions of some of the sets.

    Links can be exchanged one by one for others as good if and only if each union holds no fewer
    of these than of those (Hall).
    """
    found: dict[frozenset[Sort], None] = {}
    for one in sets:
        found.update(dict.fromkeys([one, *(one | other for other in found)]))
    return list(found)
