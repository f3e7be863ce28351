"""Cover: the ways to buy what one unit needs -- which box, which loose parts, what comes from the pool.

A box's contents serve the unit that came in it.  Contents that may serve another unit (they say
so, or are cables and optics) are the unit's gift to the stack's pool when it can spare them, and
a need may be left to the pool.  Contents of loose parts count alike.

What an order can't take one by one, or keeps cold spares of, is always left to the pool: what one
more of it costs is only known for the order as a whole.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from configurator.book import Book
from configurator.engine.exchange import exchange, kits_with, tie_minor, tied_parts, ties, touched
from configurator.engine.offers import is_pooled
from configurator.fields import Part
from configurator.parts import Box
from configurator.rule import Need
from configurator.setting import Setting

Needs = tuple[tuple[str, Need], ...]
Stock = tuple[tuple[str, int, int], ...]  # part, spare for this unit only, spare for any


@dataclass(frozen=True)
class Cover:
    """One way to meet some needs: what it costs, what it buys, what fills which need."""

    price_minor: int
    bought: tuple[str, ...] = ()
    fills: tuple[tuple[str, tuple[str, ...]], ...] = ()  # slot of the need, parts that meet it
    left_to_pool: tuple[Need, ...] = ()
    spare: tuple[tuple[str, int], ...] = ()  # to the pool
    idle: tuple[tuple[str, int], ...] = ()  # what only this unit could use, and does not; told where parts are counted


NOTHING = Cover(0)


def pool_of(book: Book, setting: Setting) -> frozenset[str]:
    """Parts that may come out of one box and serve elsewhere in the stack, or bring such; those tied to the order."""
    store = book.cache("pool", "sells")
    key = setting.spared, setting.counted
    if key not in store:
        catalog = book.catalog
        store[key] = tied_parts(book, setting) | frozenset(
            name
            for part in catalog.by_id.values()
            for content in part.contents
            if content.movable or catalog.serves_any_unit(content.part)
            for name in (content.part, *(() if isinstance(part, Box) else (part.id,)))
        )
    found: frozenset[str] = store[key]
    return found


def stock_of(book: Book, part: Part) -> dict[str, tuple[int, int]]:
    """Contents as (for its own unit, for any unit)."""
    out: dict[str, tuple[int, int]] = {}
    for content in part.contents:
        own, free = out.get(content.part, (0, 0))
        if content.movable or book.catalog.serves_any_unit(content.part):
            out[content.part] = (own, free + content.count)
        else:
            out[content.part] = (own + content.count, free)
    return out


def covers(book: Book, box: Box, needs: Needs, setting: Setting) -> list[Cover]:
    """Every way worth having to meet the needs with this box; the box's own price is not counted.

    A way is worth having unless another, with what the stack would have to buy instead, costs no more.
    """

    def make(setting: Setting) -> list[Cover]:
        # Needs of which the parts bring others along come first: those may meet the others.
        items = [need for _, need in needs for _ in range(need.count)]
        items.sort(key=lambda need: (not any(_rich(book, recipe) for recipe in need.recipes), len(need.recipes)))
        ways = list(_meet(book, items, 0, stock_of(book, box), setting))
        return _worth_having(book, [way for way in ways if not _idles(book, way, setting)], setting)

    return book.made("covers", ("forbids_part", "sells"), (box.id, needs), setting, make)


def _meet(
    book: Book, items: list[Need], at: int, stock: dict[str, tuple[int, int]], setting: Setting
) -> Iterator[Cover]:
    """Meet needs number `at` and later out of the stock, the shop and the pool."""
    if at == len(items):
        spare = tuple(sorted((part, free) for part, (_, free) in stock.items() if free))
        idle = () if setting.counted is None else tuple((part, own) for part, (own, _) in stock.items() if own)
        yield Cover(0, spare=spare, idle=idle)
        return
    need = items[at]
    if need.kept:
        yield from _meet_kept(book, items, at, stock, setting)
        return
    held = [recipe for recipe in need.recipes if _holds(stock, recipe)]
    own = [recipe for recipe in held if _holds(stock, recipe, own=True)]
    sure = own and not _rivalled(own, need, items[at + 1 :])  # what nothing else could use is used here
    if len(need.recipes) > 1 and setting.spared:  # with something else in service other cold spares are due
        sure = sure and tied_parts(book, setting).isdisjoint(own[0])
    if len(need.recipes) > 1 and setting.counted is not None:  # another way to meet it may have the counted part
        sure = sure and touched(book, setting.counted).isdisjoint(part for recipe in need.recipes for part in recipe)
    for recipe in own[:1] if sure else held:
        for cover in _meet(book, items, at + 1, _without(stock, recipe), setting):
            yield _plus(cover, 0, (), (need.slot, recipe))
    if sure:
        return
    pool = pool_of(book, setting)
    pooled = is_pooled(need, pool)
    if pooled:
        yield from _left_to_pool(book, items, at, stock, setting)
    for recipe in _worth_buying(book, need, stock, setting):
        if pooled and not _rich(book, recipe):
            continue  # the stack buys it for the pool as cheaply
        for missing in _missing(stock, recipe):
            left = _without(stock, tuple((Counter(recipe) - Counter(missing)).elements()))
            for price, bought, brought in _purchases(book, missing, setting):
                if pool.issuperset(recipe) and not _brings_own(book, bought):
                    continue
                for cover in _meet(book, items, at + 1, _with(left, brought), setting):
                    yield _plus(cover, price, bought, (need.slot, recipe))


def _left_to_pool(
    book: Book, items: list[Need], at: int, stock: dict[str, tuple[int, int]], setting: Setting
) -> Iterator[Cover]:
    """Leave a need to the stack, whole or less what only this unit can use."""
    need = items[at]
    for cover in _meet(book, items, at + 1, stock, setting):
        yield replace(cover, left_to_pool=(need, *cover.left_to_pool))
    for recipe in need.recipes:
        mine = _own_part(stock, recipe)
        if mine:
            rest = replace(need, recipes=(tuple((Counter(recipe) - Counter(mine)).elements()),))
            for cover in _meet(book, items, at + 1, _without(stock, mine), setting):
                yield _plus(replace(cover, left_to_pool=(rest, *cover.left_to_pool)), 0, (), (need.slot, mine))


def _holds(stock: dict[str, tuple[int, int]], recipe: tuple[str, ...], *, own: bool = False) -> bool:
    """Whether all of a recipe is in the stock; own: of what serves this unit only."""
    held = {part: stock.get(part, (0, 0)) for part in recipe}
    return all((kept if own else kept + free) >= recipe.count(part) for part, (kept, free) in held.items())


def _own_part(stock: dict[str, tuple[int, int]], recipe: tuple[str, ...]) -> tuple[str, ...]:
    """What the stock holds, for this unit only, of a recipe that it doesn't hold whole."""
    own = Counter(recipe) & Counter({part: stock.get(part, (0, 0))[0] for part in recipe})
    return () if own.total() == len(recipe) else tuple(own.elements())


def _without(stock: dict[str, tuple[int, int]], parts: tuple[str, ...]) -> dict[str, tuple[int, int]]:
    """The stock less these parts, those that serve this unit only first."""
    rest = dict(stock)
    for part in parts:
        kept, free = rest[part]
        rest[part] = (kept - 1, free) if kept else (kept, free - 1)
    return rest


def _with(stock: dict[str, tuple[int, int]], brought: dict[str, tuple[int, int]]) -> dict[str, tuple[int, int]]:
    """The stock and what came along with a purchase."""
    rest = dict(stock)
    for part, (kept, free) in brought.items():
        a, b = rest.get(part, (0, 0))
        rest[part] = (a + kept, b + free)
    return rest


def _missing(stock: dict[str, tuple[int, int]], recipe: tuple[str, ...]) -> list[tuple[str, ...]]:
    """What to buy of a recipe: all of it; or, of one of several parts, what the stock doesn't hold."""
    if len(recipe) == 1:
        return [recipe]
    have = Counter({part: sum(stock.get(part, (0, 0))) for part in recipe})
    short = tuple((Counter(recipe) - have).elements())
    return [recipe] if len(short) == len(recipe) else [recipe, short] if short else [recipe]


def _meet_kept(
    book: Book, items: list[Need], at: int, stock: dict[str, tuple[int, int]], setting: Setting
) -> Iterator[Cover]:
    """Meet a need with something that stays there for the unit's other needs: a licence, say.

    What may serve another unit comes out of the pool, whoever brought it: it goes to the unit it serves best.
    """
    need = items[at]
    own = next((recipe for recipe in need.recipes if _holds(stock, recipe, own=True)), None)
    if own is not None:
        for cover in _meet(book, items, at + 1, stock, setting):
            yield _plus(cover, 0, (), (need.slot, own))
        return
    pool = pool_of(book, setting)
    for recipe in need.recipes:
        kept = _with(stock, dict.fromkeys(recipe, (1, 0)))
        if not pool.isdisjoint(recipe):
            left = replace(need, recipes=(recipe,))
            for cover in _meet(book, items, at + 1, kept, setting):
                yield replace(cover, left_to_pool=(left, *cover.left_to_pool))
            if not _rich(book, recipe):
                continue  # the stack buys it for the pool as cheaply
        for price, bought, brought in _purchases(book, recipe, setting):
            if pool.issuperset(recipe) and not _brings_own(book, bought):
                continue
            for cover in _meet(book, items, at + 1, _with(kept, brought), setting):
                yield _plus(cover, price, bought, (need.slot, recipe))


def _rivalled(recipes: list[tuple[str, ...]], need: Need, others: list[Need]) -> bool:
    """Whether a need that is not alike could use a part of these recipes."""
    parts = {part for recipe in recipes for part in recipe}
    unlike = {other.recipes for other in others} - {need.recipes}
    return any(not parts.isdisjoint(recipe) for found in unlike for recipe in found)


def _plus(cover: Cover, price: int, bought: tuple[str, ...], fill: tuple[str, tuple[str, ...]]) -> Cover:
    return Cover(
        cover.price_minor + price,
        tuple(sorted((*bought, *cover.bought))),
        (fill, *cover.fills),
        cover.left_to_pool,
        cover.spare,
        cover.idle,
    )


def _worth_buying(book: Book, need: Need, stock: dict[str, tuple[int, int]], setting: Setting) -> list[tuple[str, ...]]:
    """The cheapest recipe, and any other of which a part brings something along or is there already."""
    priced: list[tuple[int, tuple[str, ...]]] = []
    for recipe in need.recipes:
        prices = [_least_price(book, part, setting) for part in recipe]
        if None not in prices:
            priced.append((sum(price for price in prices if price is not None), recipe))
    priced.sort()
    return [
        recipe
        for place, (_, recipe) in enumerate(priced)
        if place == 0 or _rich(book, recipe) or len(_missing(stock, recipe)) > 1
    ]


def _rich(book: Book, recipe: tuple[str, ...]) -> bool:
    """Whether a part of the recipe brings other parts along, or comes along with others."""
    return any(book.catalog.by_id[part].contents or kits_with(book, part) for part in recipe)


def _brings_own(book: Book, bought: tuple[str, ...]) -> bool:
    """Whether something bought brings what only its own unit can use; else the stack may as well buy it."""
    return any(kept for name in bought for kept, _ in stock_of(book, book.catalog.by_id[name]).values())


def _least_price(book: Book, part: str, setting: Setting) -> int | None:
    prices = [book.price_minor(name, setting) for name in (part, *kits_with(book, part))]
    return min((price for price in prices if price is not None), default=None)


def _purchases(
    book: Book, recipe: tuple[str, ...], setting: Setting, first: int = 0
) -> Iterator[tuple[int, tuple[str, ...], dict[str, tuple[int, int]]]]:
    """Ways to buy all parts of a recipe: price, what is bought, what comes along.

    Of parts that are alike no later one is bought in an earlier way than `first`.
    """
    if not recipe:
        yield 0, (), {}
        return
    head, *tail = recipe
    for way, name in enumerate((head, *kits_with(book, head))):
        price = book.price_minor(name, setting)
        if price is None or way < first:
            continue
        brought = stock_of(book, book.catalog.by_id[name])
        if name != head:
            kept, free = brought[head]
            brought[head] = (kept - 1, free) if kept else (kept, free - 1)
            kept, free = brought.get(name, (0, 0))
            brought[name] = (kept, free + 1) if book.catalog.serves_any_unit(name) else (kept + 1, free)
        alike = way if tail and tail[0] == head else 0
        for more, bought, along in _purchases(book, tuple(tail), setting, alike):
            yield price + more, (name, *bought), _with(brought, along)


def _idles(book: Book, way: Cover, setting: Setting) -> bool:
    """Whether the unit leaves to the pool what it holds itself: then a counted part may be had and lie idle."""
    if setting.counted is None or not way.idle:
        return False
    some, idle = touched(book, setting.counted), dict(way.idle)
    return any(
        not some.isdisjoint(recipe) and all(idle.get(part, 0) >= recipe.count(part) for part in recipe)
        for need in way.left_to_pool
        if not need.kept  # what meets it stays with the unit
        for recipe in need.recipes
    )


def _worth_having(book: Book, ways: list[Cover], setting: Setting) -> list[Cover]:
    ways.sort(key=lambda c: (c.price_minor, len(c.left_to_pool), c.bought))
    kept: list[Cover] = []
    for way in ways:
        tied = ties(book, setting, way.bought, way.fills)
        if not any(
            other.price_minor + exchange(book, other, way, setting) <= way.price_minor
            and other.price_minor
            + exchange(book, other, way, setting)
            + tie_minor(book, ties(book, setting, other.bought, other.fills), tied, setting)
            <= way.price_minor
            for other in kept
        ):
            kept.append(way)
    return kept
