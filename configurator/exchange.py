"""What it can cost at most to have one purchase instead of another: what dominance between them rests on.

Parts of the pool can be bought; what is sold in packs, or has cold spares, can cost an order more
than its price, or save it less.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Protocol

from configurator.book import Book
from configurator.offers import cheapest_recipe
from configurator.parts import Box
from configurator.rule import Need
from configurator.setting import Setting

NEVER = 2**50  # more than any price
UNIT = "unit "
Ties = tuple[tuple[tuple[str, int], ...], ...]  # parts bought that come in packs; parts in service that have spares


class Buys(Protocol):
    """What is left to the pool and what is spared."""

    @property
    def left_to_pool(self) -> tuple[Need, ...]:
        """Needs that the stack meets."""

    @property
    def spare(self) -> tuple[tuple[str, int], ...]:
        """Parts, and how many of each, for others."""


def unit_word(unit_type: str) -> str:
    """A unit type among parts in service; it may have the number of a part."""
    return UNIT + unit_type


def tied_parts(book: Book, setting: Setting) -> frozenset[str]:
    """Parts of which one more may cost an order more than its price: sold in packs, or with cold spares."""
    return book.packed() | frozenset(name for name, *_ in setting.spared) if setting.spared else book.packed()


def kits_with(book: Book, part: str) -> tuple[str, ...]:
    """Loose parts whose contents hold this one."""
    store = book.catalog.cache("kits")
    if not store:
        store[""] = ()
        for name, found in book.catalog.by_id.items():
            if not isinstance(found, Box):
                for content in found.contents:
                    store[content.part] = (*store.get(content.part, ()), name)
    kits: tuple[str, ...] = store.get(part, ())
    return kits


def dearest_minor(book: Book, part: str, count: int, setting: Setting) -> int:
    """The most that so many more of a part in service can cost an order: whole packs, and their cold spares."""
    if not book.packed() and not setting.spared:
        price = book.price_minor(part, setting)
        return NEVER if price is None else price * count
    return _bulk_minor(book, (part, *_movable_kits(book, part)), count + _spares(part, count, setting), setting)


def _movable_kits(book: Book, part: str) -> tuple[str, ...]:
    """Loose parts that the stack can buy for this one in them: what stays with a unit is out of its reach."""
    by_id = book.catalog.by_id
    return tuple(
        name
        for name in kits_with(book, part)
        if book.catalog.serves_any_unit(part) or any(c.part == part and c.movable for c in by_id[name].contents)
    )


def _spares(name: str, count: int, setting: Setting) -> int:
    """The most cold spares that so many more in service bring."""
    return next((fixed + each * count for spared, fixed, each in setting.spared if spared == name), 0)


def _bulk_minor(book: Book, holders: Iterable[str], count: int, setting: Setting) -> int:
    """The most that so many more can cost, bought as whichever of these is cheapest, in whole packs."""
    found = []
    for name in holders:
        price = book.price_minor(name, setting)
        if price is not None:
            pack, least = book.quantities(name)
            found.append(price * pack * -(-max(count, least if pack * least > 1 else 0) // pack))
    return min(found, default=NEVER)


def ties(book: Book, setting: Setting, bought: Iterable[str], fills: Iterable[tuple[str, tuple[str, ...]]]) -> Ties:
    """What ties a purchase to the order: of two with different ties neither is better for sure."""
    if not book.packed() and not setting.spared:
        return ()
    spared = frozenset(name for name, *_ in setting.spared)
    found = Counter(part for part in bought if part in book.packed())
    used = Counter(part for _, recipe in fills for part in recipe if part in spared)
    return tuple(sorted(found.items())), tuple(sorted(used.items()))


def tie_minor(book: Book, a: Ties, b: Ties, setting: Setting) -> int:
    """The most that it can cost an order to have `a` instead of `b` beyond the price of their parts one by one."""
    if a == b:
        return 0
    known = book.cache("ties", "forbids_part", "sells").setdefault(setting, {})
    if (a, b) not in known:
        known[a, b] = _tie_minor(book, a, b, setting)
    found: int = known[a, b]
    return found


def _tie_minor(book: Book, a: Ties, b: Ties, setting: Setting) -> int:
    (bought_a, used_a), (bought_b, used_b) = (tuple(map(dict, ties or ((), ()))) for ties in (a, b))
    cost = 0
    for part in {*bought_a, *bought_b}:
        more = bought_a.get(part, 0) - bought_b.get(part, 0)
        price, (pack, least) = book.price_minor(part, setting) or 0, book.quantities(part)
        if more > 0:
            cost += _bulk_minor(book, (part,), more, setting) - more * price
        elif least > 1:
            cost -= more * price  # with fewer of it no fewer may be ordered
        else:
            cost += (-more % pack) * price
    for name in {*used_a, *used_b}:
        spares = _spares(name, used_a.get(name, 0) - used_b.get(name, 0), setting)
        if used_a.get(name, 0) > used_b.get(name, 0):
            boxes = book.catalog.boxes_of.get(name.removeprefix(UNIT), ()) if name.startswith(UNIT) else ()
            cost += _bulk_minor(book, [box.id for box in boxes] or (name, *kits_with(book, name)), spares, setting)
    return cost


def exchange(book: Book, a: Buys, b: Buys, setting: Setting) -> int:
    """The most that it can cost the stack to have `a` instead of `b`, their own prices apart.

    What `a` leaves to the pool and `b` does not can be bought; what `b` spares and `a` does not
    is worth no more than its price.
    """
    if a.left_to_pool == b.left_to_pool and a.spare == b.spare:
        return 0
    known = book.cache("exchanges", "forbids_part", "sells").setdefault(setting, {})
    key = (_lot(book, a), _lot(book, b))
    if key not in known:
        known[key] = _exchange(book, a, b, setting)
    found: int = known[key]
    return found


def _lot(book: Book, one: Buys) -> int:
    """A number for what is left to the pool and spared; kept with it, since it is compared with many others."""
    lots = book.catalog.cache("lots")
    known = one.__dict__.get("_lot")
    if known is None or known[0] is not lots:  # `NOTHING` is compared under every catalog
        key = (tuple(need.recipes for need in one.left_to_pool), one.spare)
        known = one.__dict__["_lot"] = (lots, lots.setdefault(key, len(lots)))
    found: int = known[1]
    return found


def _exchange(book: Book, a: Buys, b: Buys, setting: Setting) -> int:
    missing = Counter(need.recipes for need in a.left_to_pool)
    missing.subtract(need.recipes for need in b.left_to_pool)
    cost = sum(_dearest_recipes(book, recipes, count, setting) for recipes, count in missing.items() if count > 0)
    mine = dict(a.spare)
    for part, count in b.spare:
        lacking = count - mine.get(part, 0)
        if lacking > 0:
            cost += dearest_minor(book, part, lacking, setting)
    return cost


def _dearest_recipes(book: Book, recipes: tuple[tuple[str, ...], ...], count: int, setting: Setting) -> int:
    """The most that it can cost to meet so many needs alike, chosen well."""
    if not book.packed() and not setting.spared:
        found = cheapest_recipe(book, Need("", recipes), setting)
        return found[0] * count if found is not None else NEVER
    return min(
        (
            sum(dearest_minor(book, part, each * count, setting) for part, each in Counter(recipe).items())
            for recipe in recipes
        ),
        default=NEVER,
    )
