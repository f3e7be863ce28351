"""Columns: every fit-out worth having for one stack's kinds, with what it costs and can carry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from configurator.arrange import Stacking
from configurator.book import Book
from configurator.cover import Cover, Needs, covers, exchange, stock_of
from configurator.fitout import Fitout
from configurator.layouts import layouts, module_choices
from configurator.offers import Offers
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
    slices: Slices
    cover: Cover


class Maker:
    """Makes the columns of one stack: shapes first, then, when links are known, what they cost."""

    def __init__(self, book: Book, offers: Offers, setting: Setting, rows: list[Row]) -> None:
        self.book = book
        self.offers = offers
        self.setting = setting
        self.rows = rows
        units = [u for u in book.catalog.parts.unit_types if book.allows("type", Fitout(u), setting)]
        self.shapes = {unit.id: list(_shapes(book, unit, offers, setting)) for unit in units}
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
                for power, ports in _pairs(book, unit, box, shapes, setting):
                    column = self._column(box, price, power, ports, useful)
                    if column is not None:
                        out.append(column)
        return out

    def _column(self, box: Box, price: int, power: _Half, ports: _Half, useful: frozenset[str]) -> Column | None:
        left = []
        for index, (gives, takes) in enumerate(zip(power.amounts, ports.amounts, strict=True)):
            rest = (NO_LIMIT if gives is None else gives) - (takes or 0)
            if rest < 0:
                return None
            left.append(min(rest, self.most[ports.slices, index]))
        fitout = merged(power.fitout, ports.fitout)
        limits: list[int] = []
        for row in self.rows:
            limits += (row.fitouts(fitout), int(row.only_if is not None and row.only_if(fitout)))
        spare = _both_spare(self.book, box, power.cover, ports.cover)
        return Column(
            fitout,
            box.id,
            price + power.cover.price_minor + ports.cover.price_minor,
            ports.slices,
            tuple(left),
            tuple(sorted((*power.cover.bought, *ports.cover.bought))),
            (*power.cover.fills, *ports.cover.fills),
            (*power.cover.left_to_pool, *ports.cover.left_to_pool),
            tuple((part, count) for part, count in spare if part in useful),
            tuple(limits),
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
    store = book.cache("unit parts")
    if setting not in store:
        needs = [
            need
            for unit in book.catalog.parts.unit_types
            for fitout, _ in powerings(book, unit, setting)
            for _, need in book.unit_needs(fitout, setting)
        ]
        store[setting] = frozenset(part for need in needs for recipe in need.recipes for part in recipe)
    found: frozenset[str] = store[setting]
    return found


def _pairs(
    book: Book, unit: UnitType, box: Box, shapes: list[Shape], setting: Setting
) -> Iterator[tuple[_Half, _Half]]:
    """Power halves with ports halves; bought apart unless some loose part serves both halves."""
    if bridged(book):
        for fitout, gives in powerings(book, unit, setting):
            power_needs = tuple(book.unit_needs(fitout, setting))
            for shape, takes, slices, needs in shapes:
                for cover in covers(book, box, (*power_needs, *needs), setting):
                    yield _Half(fitout, gives, (), NOTHING), _Half(shape, takes, slices, cover)
        return
    powers = _power_halves(book, unit, box, setting)
    for shape, takes, slices, needs in shapes:
        for cover in covers(book, box, needs, setting):
            ports = _Half(shape, takes, slices, cover)
            for power in powers:
                yield power, ports


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


def _shapes(book: Book, unit: UnitType, offers: Offers, setting: Setting) -> Iterator[Shape]:
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
            key = (slices, takes, tuple(needs), _stacking(shape))
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


def _power_halves(book: Book, unit: UnitType, box: Box, setting: Setting) -> list[_Half]:
    """Supplies and fans of a type bought with one box; kept, since they are the same for every demand."""
    store = book.cache("power halves")
    key = (box.id, setting)
    if key not in store:
        halves = [
            _Half(fitout, gives, (), cover)
            for fitout, gives in powerings(book, unit, setting)
            for cover in covers(book, box, tuple(book.unit_needs(fitout, setting)), setting)
        ]
        halves.sort(key=lambda h: (h.cover.price_minor, h.cover.bought))
        kept: list[_Half] = []
        for half in halves:
            if not any(_powers_no_worse(book, other, half, setting) for other in kept):
                kept.append(half)
        store[key] = kept
    found: list[_Half] = store[key]
    return found


def _powers_no_worse(book: Book, a: _Half, b: _Half, setting: Setting) -> bool:
    for x, y in zip(a.amounts, b.amounts, strict=True):
        if (NO_LIMIT if x is None else x) < (NO_LIMIT if y is None else y):
            return False
    dearer = a.cover.price_minor + exchange(book, a.cover, b.cover, setting) > b.cover.price_minor
    return not dearer and a.fitout.plugs == b.fitout.plugs


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

