"""Columns: every fit-out worth having for one stack's kinds, with what it costs and can carry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from configurator.arrange import Stacking
from configurator.book import Book
from configurator.cover import Cover, Needs, covers, exchange, stock_of
from configurator.offers import Offers, cheapest_recipe
from configurator.fitout import Fitout
from configurator.layouts import layouts, module_choices
from configurator.parts import Box, Cord, FanTray, Module, StackAdapter, Supply, UnitType
from configurator.powering import powerings
from configurator.rule import Need, Row
from configurator.setting import Setting

Slices = tuple[tuple[int, int], ...]  # capacity and bit set of offers
NO_LIMIT = 2**40


@dataclass(frozen=True, slots=True)
class Column:
    """One fit-out, bought in one way."""

    fitout: Fitout
    box: str
    price_minor: int
    slices: Slices
    left: tuple[int, ...]  # of each budget, for what is served
    bought: tuple[str, ...]  # loose parts
    fills: tuple[tuple[str, tuple[str, ...]], ...]
    left_to_pool: tuple[Need, ...]
    spare: tuple[tuple[str, int], ...]
    limits: tuple[int, ...]  # coefficient in, and membership of, each row of the rules
    stacking: Stacking | None  # none: alone

    @property
    def rank(self) -> tuple[object, ...]:
        """Order of preference among equals: by part numbers."""
        return (self.fitout.unit_type.id, self.box, self.bought, self.slices, self.left)


Shape = tuple[Fitout, tuple[int, ...], Slices, Needs]
NOTHING = Cover(0)


@dataclass(frozen=True, slots=True)
class _Half:
    """Power half or ports half of a unit, bought with one box."""

    fitout: Fitout
    amounts: tuple[int | None, ...]  # power half: gives; ports half: takes
    needs: Needs = ()
    cover: Cover = NOTHING
    slices: Slices = ()


class Maker:
    """Makes the columns of one stack: shapes first, then, when links are known, what they cost."""

    def __init__(self, book: Book, offers: Offers, setting: Setting, rows: list[Row], priced: bool = True) -> None:
        self.priced = priced
        self.book = book
        self.offers = offers
        self.setting = setting
        self.rows = rows
        units = [u for u in book.catalog.parts.unit_types if book.allows("type", Fitout(u), setting)]
        self.shapes = {unit.id: list(_shapes(book, unit, offers, setting, rows)) for unit in units}
        self.units = units
        self.most = {
            (slices, b): sum(count * offers.hungriest(mask, b) for count, mask in slices)
            for shapes in self.shapes.values()
            for slices in {shape[2] for shape in shapes}
            for b in range(len(book.budgets))
        }

    def stackings(self) -> list[Stacking]:
        """Every way that some shape stacks."""
        found = (_stacking(shape[0]) for shapes in self.shapes.values() for shape in shapes)
        return sorted({stacking for stacking in found if stacking is not None})

    def columns(self, wanted: frozenset[str]) -> list[Column]:
        """All columns worth having, by rank.

        wanted -- parts that the stack's links and served devices could take out of boxes.
        """
        out: list[Column] = []
        for unit in self.units:
            out += self._worth_having(self._of_type(unit, wanted))
        return sorted(self._worth_having(out), key=lambda column: column.rank)

    def _of_type(self, unit: UnitType, wanted: frozenset[str]) -> list[Column]:
        book, setting = self.book, self.setting
        shapes = self.shapes[unit.id]
        useful = wanted | unit_parts(book, setting)
        out: list[Column] = []
        for box in book.catalog.boxes_of[unit.id]:
            price = book.price_minor(box.id, setting)
            if price is not None:
                for power, ports in self._pairs(unit, box, shapes):
                    column = self._column(box, price, power, ports, useful)
                    if column is not None:
                        out.append(column)
        return out

    def _pairs(self, unit: UnitType, box: Box, shapes: list[Shape]) -> Iterator[tuple[_Half, _Half]]:
        """Power halves with ports halves; bought apart unless some loose part serves both halves."""
        book, setting = self.book, self.setting
        if self.priced and bridged(book):
            for power in _raw_powers(book, unit, setting):
                for shape, takes, slices, needs in shapes:
                    for cover in covers(book, box, (*power.needs, *needs), setting):
                        yield replace(power, cover=NOTHING), _Half(shape, takes, cover=cover, slices=slices)
            return
        powers = self._powers(unit, box)
        for shape, takes, slices, needs in shapes:
            for cover in self._covers(box, needs):
                ports = _Half(shape, takes, cover=cover, slices=slices)
                for power in powers:
                    yield power, ports

    def _covers(self, box: Box, needs: Needs) -> list[Cover]:
        """Ways to buy what a half needs; where prices play no part, whether it can be had at all."""
        if self.priced:
            return covers(self.book, box, needs, self.setting)
        if all(cheapest_recipe(self.book, need, self.setting) is not None for _, need in needs):
            return [NOTHING]
        return [NOTHING] if covers(self.book, box, needs, self.setting) else []

    def _powers(self, unit: UnitType, box: Box) -> list[_Half]:
        """Supplies and fans of a type bought with one box that are worth having."""
        book, setting = self.book, self.setting
        raw = _raw_powers(book, unit, setting)
        signs = [_signs(self.rows, half.fitout) for half in raw]
        alike = all(sign == signs[0] for sign in signs)
        store = book.cache("power halves", "forbids", "forbids_part", "budgets", "requires")
        key = (box.id, setting, self.priced)
        if alike and key in store:
            known: list[_Half] = store[key]
            return known
        groups: dict[tuple[int, ...], list[_Half]] = {}
        for half, sign in zip(raw, signs, strict=True):
            for cover in self._covers(box, half.needs):
                groups.setdefault(sign, []).append(replace(half, cover=cover))
        kept = [half for group in groups.values() for half in _best_powers(book, group, setting)]
        if alike:
            store[key] = kept
        return kept

    def _column(self, box: Box, price: int, power: _Half, ports: _Half, useful: frozenset[str]) -> Column | None:
        left = []
        for index, (gives, takes) in enumerate(zip(power.amounts, ports.amounts, strict=True)):
            rest = (NO_LIMIT if gives is None else gives) - (takes or 0)
            if rest < 0:
                return None
            left.append(min(rest, self.most[ports.slices, index]))
        fitout = merged(power.fitout, ports.fitout)
        spare = _both_spare(self.book, box, power.cover, ports.cover)
        return Column(
            fitout,
            box.id,
            price + power.cover.price_minor + ports.cover.price_minor if self.priced else 0,
            ports.slices,
            tuple(left),
            tuple(sorted((*power.cover.bought, *ports.cover.bought))),
            (*power.cover.fills, *ports.cover.fills),
            (*power.cover.left_to_pool, *ports.cover.left_to_pool),
            tuple((part, count) for part, count in spare if part in useful),
            _signs(self.rows, fitout),
            _stacking(ports.fitout),
        )

    def _worth_having(self, found: list[Column]) -> list[Column]:
        """Without those that another equals or beats in everything that a row could ask."""
        buckets: dict[tuple[object, ...], list[Column]] = {}
        for column in sorted(found, key=lambda c: (c.price_minor, c.rank)):
            bucket = buckets.setdefault(_bucket(column), [])
            if not any(self._no_worse(other, column) for other in bucket):
                bucket.append(column)
        kept: list[Column] = []
        for name, bucket in buckets.items():
            rivals = [other for key, other in buckets.items() if key != name and _contains(key, name)]
            kept += [c for c in bucket if not any(self._no_worse(o, c) for rival in rivals for o in rival)]
        return kept

    def _no_worse(self, a: Column, b: Column) -> bool:
        if a.price_minor > b.price_minor:
            return False
        for x, y in zip(a.left, b.left, strict=True):
            if x < y:
                return False
        return a.price_minor + exchange(self.book, a, b, self.setting) <= b.price_minor


def unit_parts(book: Book, setting: Setting) -> frozenset[str]:
    """Pooled parts that some unit's needs, as far as its power goes, could take out of another's box."""
    store = book.cache("unit parts", "forbids", "forbids_part", "budgets", "requires")
    if setting not in store:
        halves = [half for unit in book.catalog.parts.unit_types for half in _raw_powers(book, unit, setting)]
        store[setting] = frozenset(
            part for half in halves for _, need in half.needs for recipe in need.recipes for part in recipe
        )
    found: frozenset[str] = store[setting]
    return found


def bridged(book: Book) -> bool:
    """Whether a loose part brings both what a bay holds and what a slot or stacking port holds."""
    store = book.catalog.cache("bridged")
    if not store:
        catalog = book.catalog
        store["any"] = any(
            any(isinstance(p, Supply | FanTray | Cord) for p in held)
            and any(isinstance(p, Module | StackAdapter) for p in held)
            for part in catalog.by_id.values()
            if not isinstance(part, Box) and part.contents
            for held in [[part, *(catalog.by_id[c.part] for c in part.contents)]]
        )
    return bool(store["any"])


def _shapes(
    book: Book, unit: UnitType, offers: Offers, setting: Setting, rows: list[Row]
) -> Iterator[Shape]:
    """Modules and port roles of a type, with what they take, carry and need; equal ones once."""
    base = list(book.unit_needs(Fitout(unit), setting))
    seen: set[tuple[object, ...]] = set()
    for modules in module_choices(book, unit, setting):
        for shape in layouts(book, modules, offers, setting):
            takes = tuple(budget.takes(shape, setting, book.catalog) for budget in book.budgets)
            needs = list(book.unit_needs(shape, setting))
            for item in base:  # a type's own needs are counted with its power half
                needs.remove(item)
            slices = _slices(book, shape, offers)
            key = (slices, takes, tuple(needs), _stacking(shape), _signs(rows, shape))
            if key not in seen:
                seen.add(key)
                yield shape, takes, slices, tuple(needs)


def _slices(book: Book, shape: Fitout, offers: Offers) -> Slices:
    total: dict[int, int] = {}
    for ports in shape.ports:
        mask = offers.mask(ports)
        if mask:
            total[mask] = total.get(mask, 0) + book.port_holds(ports)
    return tuple(sorted((min(count, offers.wanted(mask)), mask) for mask, count in total.items()))


def _raw_powers(book: Book, unit: UnitType, setting: Setting) -> list[_Half]:
    """Every way to fill the bays of a type, with what it gives and needs."""
    store = book.cache("raw powers", "forbids", "forbids_part", "budgets", "requires")
    key = (unit.id, setting)
    if key not in store:
        store[key] = [
            _Half(fitout, gives, needs=tuple(book.unit_needs(fitout, setting)))
            for fitout, gives in powerings(book, unit, setting)
        ]
    found: list[_Half] = store[key]
    return found


def _signs(rows: list[Row], fitout: Fitout) -> tuple[int, ...]:
    """What the rules' rows say of a half; halves of which they say the same are interchangeable to them."""
    signs: list[int] = []
    for row in rows:
        signs += (row.fitouts(fitout), int(row.only_if is not None and row.only_if(fitout)))
    return tuple(signs)


def _best_powers(book: Book, halves: list[_Half], setting: Setting) -> list[_Half]:
    halves.sort(key=lambda h: (h.cover.price_minor, h.cover.bought))
    kept: list[_Half] = []
    for half in halves:
        if not any(_powers_no_worse(book, other, half, setting) for other in kept):
            kept.append(half)
    return kept


def _powers_no_worse(book: Book, a: _Half, b: _Half, setting: Setting) -> bool:
    for x, y in zip(a.amounts, b.amounts, strict=True):
        if (NO_LIMIT if x is None else x) < (NO_LIMIT if y is None else y):
            return False
    return a.cover.price_minor + exchange(book, a.cover, b.cover, setting) <= b.cover.price_minor


def merged(power: Fitout, ports: Fitout) -> Fitout:
    """A power half and a ports half as one fit-out."""
    return replace(power, modules=ports.modules, stack=ports.stack, ports=ports.ports)


def _both_spare(book: Book, box: Box, power: Cover, ports: Cover) -> tuple[tuple[str, int], ...]:
    """What the unit can spare: each half saw the whole box, so the box is counted once less."""
    if power is NOTHING:  # bought together
        return ports.spare
    if not power.spare and not ports.spare:
        return ()
    left = dict(power.spare)
    for part, count in ports.spare:
        left[part] = left.get(part, 0) + count
    for part, (_, free) in stock_of(book, box).items():
        if free:
            left[part] = left.get(part, 0) - free
    return tuple(sorted((part, count) for part, count in left.items() if count > 0))


def _stacking(shape: Fitout) -> Stacking | None:
    if shape.stack is None:
        return None
    group = shape.stack[1]
    return shape.unit_type.family, group.connector, group.cage or "", group.speeds_mbps


def _bucket(column: Column) -> tuple[object, ...]:
    family = column.fitout.unit_type.family if column.stacking else None
    return (column.slices, column.stacking, family, column.limits)


def _contains(a: tuple[object, ...], b: tuple[object, ...]) -> bool:
    """Whether ports like `a` serve whatever ports like `b` serve, all else being equal."""
    return a[1:] == b[1:] and _serves_all(a[0], b[0])  # type: ignore[arg-type]


def _serves_all(a: Slices, b: Slices) -> bool:
    """Whether each slice of `b` fits into one of `a` of its own."""
    rest = list(a)
    for count, mask in b:
        match = next((s for s in rest if s[1] & mask == mask and s[0] >= count), None)
        if match is None:
            return False
        rest.remove(match)
    return True

