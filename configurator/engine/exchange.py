"""What it can cost at most to have one purchase instead of another: what dominance between them rests on.

Parts of the pool can be bought; what is sold in packs, or has cold spares, can cost an order more
than its price, or save it less.  Where builds have to have so many of a part, that part is counted:
a purchase that brings fewer of it is no better at any price.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any, Protocol

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.engine.offers import cheapest_recipe
from configurator.parts import Box
from configurator.rule import Need
from configurator.setting import Setting

NEVER = 2**50  # more than any price
UNIT = "unit "
VALUE = ":value"  # counted instead of a part: what a build comes to at list prices; no part number begins so
Ties = tuple[tuple[tuple[str, int], ...], ...]
"""Parts bought that come in packs; parts in service that have spares; the counted part, where one is."""


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
    """Parts of which it matters how many there are, besides their price: in packs, with cold spares, counted."""
    if not setting.spared and setting.counted is None:
        return book.packed()
    return book.packed() | frozenset(name for name, *_ in setting.spared) | touched(book, setting.counted)


def brings(catalog: Catalog, counted: str) -> dict[str, int]:
    """How many of a part, or of a unit type, come with one of each part: itself, in its box or built in.

    For `VALUE`, what one of each part comes to at list prices.
    """
    store = catalog.cache("brings")
    if counted == VALUE and counted not in store:
        store[counted] = {name: price for name in catalog.by_id if (price := catalog.list_minor(name))}
    if counted not in store:
        found: Counter[str] = Counter()
        for name, part in catalog.by_id.items():
            found[name] += name == counted
            found[name] += sum(content.count for content in part.contents if content.part == counted)
            if isinstance(part, Box):
                built_in = catalog.unit_types[part.unit].built_in_supply
                found[name] += (built_in == counted) + (part.unit == counted and part.unit not in catalog.by_id)
        store[counted] = dict(+found)
    each: dict[str, int] = store[counted]
    return each


def touched(book: Book, counted: str | None) -> frozenset[str]:
    """Loose parts that bring the counted part, and what lies in their boxes: to need these may be to have it."""
    store = book.catalog.cache("touched")
    if counted not in store:
        by_id = book.catalog.by_id
        loose = [] if counted is None else list(brings(book.catalog, counted))
        loose = [name for name in loose if not isinstance(by_id[name], Box)]
        store[counted] = frozenset({*loose, *(content.part for name in loose for content in by_id[name].contents)})
    some: frozenset[str] = store[counted]
    return some


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
    if not book.packed() and not setting.spared and setting.counted is None:
        return ()
    bought = tuple(bought)
    spared = frozenset(name for name, *_ in setting.spared)
    found = Counter(part for part in bought if part in book.packed())
    used = Counter(part for _, recipe in fills for part in recipe if part in spared)
    tied = tuple(sorted(found.items())), tuple(sorted(used.items()))
    if setting.counted is None:
        return tied
    each = brings(book.catalog, setting.counted)
    return *tied, ((setting.counted, sum(each.get(part, 0) for part in bought)),)


def tie_minor(book: Book, a: Ties, b: Ties, setting: Setting) -> int:
    """The most that it can cost an order to have `a` instead of `b` beyond the price of their parts one by one."""
    if a == b:
        return 0
    if setting.counted is not None and _counted(a) < _counted(b):
        return NEVER
    known = _known(book, "ties", setting)
    if (a, b) not in known:
        known[a, b] = _tie_minor(book, a, b, setting)
    found: int = known[a, b]
    return found


def _counted(ties: Ties) -> int:
    return ties[2][0][1] if ties else 0


def _tie_minor(book: Book, a: Ties, b: Ties, setting: Setting) -> int:
    (bought_a, used_a), (bought_b, used_b) = (tuple(map(dict, ties[:2] or ((), ()))) for ties in (a, b))
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


def _known(book: Book, name: str, setting: Setting) -> dict[Any, int]:
    """What is known of prices and spares like these."""
    prices = book.prices(setting)  # kept with the catalog, so that its id stands for it
    found: dict[Any, int] = book.cache(name, "forbids_part", "sells").setdefault(
        (id(prices), setting.spared, setting.counted), {}
    )
    return found


def exchange(book: Book, a: Buys, b: Buys, setting: Setting) -> int:
    """The most that it can cost the stack to have `a` instead of `b`, their own prices apart.

    What `a` leaves to the pool and `b` does not can be bought; what `b` spares and `a` does not
    is worth no more than its price.
    """
    if a.left_to_pool == b.left_to_pool and a.spare == b.spare:
        return 0
    known = _known(book, "exchanges", setting)
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
    if setting.counted is not None and _to_count(book, a, setting.counted) != _to_count(book, b, setting.counted):
        return NEVER
    missing = Counter(need.recipes for need in a.left_to_pool)
    missing.subtract(need.recipes for need in b.left_to_pool)
    cost = sum(_dearest_recipes(book, recipes, count, setting) for recipes, count in missing.items() if count > 0)
    mine = dict(a.spare)
    for part, count in b.spare:
        lacking = count - mine.get(part, 0)
        if lacking > 0:
            cost += dearest_minor(book, part, lacking, setting)
    return cost


def _to_count(book: Book, one: Buys, counted: str) -> object:
    """What is left to the pool and spared of what the stack may have to have: as much of it is to be needed."""
    some = touched(book, counted)
    left = Counter(n.recipes for n in one.left_to_pool if any(not some.isdisjoint(recipe) for recipe in n.recipes))
    return left, tuple(item for item in one.spare if item[0] in some)


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
