"""Columns: every fit-out worth having for one stack's kinds, with what it costs and can carry."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property, reduce
from operator import ge, or_, sub

from configurator.book import Book
from configurator.engine.arrange import Stacking, stacks_so
from configurator.engine.bare import Halves
from configurator.engine.exchange import NEVER, exchange, tie_minor
from configurator.engine.fitouts import Priced, Shape, needed, outlines, priced_fitouts, raw_powers, shapes, whole
from configurator.engine.layouts import Wanted
from configurator.engine.offers import Offers
from configurator.engine.powering import POWER_FORMS
from configurator.fitout import Fitout, Mode
from configurator.rule import Need, Row
from configurator.setting import Setting

Slices = tuple[tuple[int, int], ...]  # capacity and bit set of offers
Carried = tuple[tuple[int, ...], tuple[int, ...]]  # what is left of each budget, and what rows say
Choice = tuple[Halves, int, list[int]]  # a shape and power halves, by their places
Bucket = tuple[Slices, Stacking | None, tuple[int, ...]]  # ports of use, how it stacks, what rows say of its type


@dataclass(eq=False)
class Column:
    """One fit-out, bought in one way, with the ports that are of use and what is left for them."""

    priced: Priced
    slices: Slices
    left: tuple[int, ...]  # of each budget, no more than the ports could draw
    spare: tuple[tuple[str, int], ...]  # to the pool, where somebody could want it
    limits: tuple[int, ...] = field(default=())  # coefficient in, and membership of, each row of the rules
    others: list[Priced] = field(default_factory=list)  # the same, stacking otherwise
    accord: int = 0  # which of the stack's accords it is in

    def variants(self) -> list[Priced]:
        """The fit-out in each way to stack that costs and carries the same."""
        return [self.priced, *self.others]

    def stacks_in(self, mode: Mode | None) -> bool:
        """Whether units of this column can be in a stack of this mode; none: alone."""
        return any(stacks_so(variant.shape.stacking, mode) for variant in self.variants())

    def stacked(self, mode: Mode | None) -> Priced:
        """The fit-out as it is in a stack of this mode, where it can be in one."""
        return next(variant for variant in self.variants() if stacks_so(variant.shape.stacking, mode))

    @property
    def price_minor(self) -> int:
        """Price of the box and of what is bought for this unit."""
        return self.priced.price_minor

    @property
    def left_to_pool(self) -> tuple[Need, ...]:
        """Needs that the stack meets."""
        return self.priced.left_to_pool

    @cached_property
    def fitout(self) -> Fitout:
        """What is decided about the unit."""
        return self.priced.fitout

    @cached_property
    def rank(self) -> tuple[object, ...]:
        """Order of preference among equals: by part numbers."""
        priced = self.priced
        supplies = tuple(supply.id for supply in priced.power.supplies)
        return (priced.power.unit_type.id, priced.box, priced.bought, supplies, self.slices, self.left)


class Maker:
    """Makes the columns of one stack: shapes first, then, when links are known, all of it."""

    def __init__(self, book: Book, offers: Offers, setting: Setting, rows: list[Row], priced: bool = True) -> None:
        self.book = book
        self.offers = offers
        self.setting = setting
        self.rows = rows
        self.priced = priced
        self.wanted = Wanted(offers)
        self.units = [u for u in book.catalog.parts.unit_types if book.allows("type", Fitout(u), setting)]
        self.spread = [
            (mask, kind.count - least + 1)
            for index, kind in enumerate(offers.kinds)
            for mask in [sum(1 << bit for bit, offer in enumerate(offers.offers) if offer.kind == index)]
            if (least := book.spread(kind)) > 1
        ]
        self._binding = any((row.fitouts or row.only_if) and not row.by_type for row in rows)
        # of what a row adds up less is better, or more; of a row that some units bring none is better
        self._less = [d for row in rows for d in (1 if row.sense == "<=" else -1, 1)]
        self._slices: dict[int, Slices] = {}
        self._most: dict[Slices, tuple[int, ...]] = {}

    def stackings(self) -> list[Stacking]:
        """Every way that some shape stacks."""
        every = (shape.stacking for u in self.units for shape in outlines(self.book, u, self.setting, self.wanted))
        return sorted({stacking for stacking in every if stacking is not None})

    def columns(self, from_boxes: frozenset[str], arranged: set[Stacking | None]) -> list[Column]:
        """All columns worth having, by rank.

        from_boxes -- parts that the stack's links and served devices could take out of boxes;
        arranged   -- ways to stack that are in some arrangement.
        """
        if not self.priced and self.setting.counted is None:
            return self._worth_having(self._bare(arranged))
        self._useful = from_boxes | self._unit_parts() if self.priced else frozenset()
        buckets: dict[Bucket, list[Priced]] = {}
        for unit in self.units:
            of_type = signs([row for row in self.rows if row.by_type or not self._binding], Fitout(unit))
            for one in priced_fitouts(
                self.book, unit, self.setting, self.wanted, priced=self.priced, pruned=not self._binding
            ):
                if one.shape.stacking not in arranged:
                    continue
                buckets.setdefault((self.of_use(one.shape), one.shape.stacking, of_type), []).append(one)
        beaten_at = {key: NEVER if self._binding else self._complete_at(key[0], ones) for key, ones in buckets.items()}
        rivals = _rivals(list(buckets))
        kept: dict[Bucket, list[Column]] = {}
        for key, ones in buckets.items():
            limit = min(beaten_at[other] for other in rivals[key]) if rivals[key] else NEVER
            kept[key] = self._of_bucket(key, ones, min(limit, beaten_at[key] + 1))
        return self._worth_having(kept)

    def _worth_having(self, kept: dict[Bucket, list[Column]]) -> list[Column]:
        """Columns that none with more ports beats."""
        rivals = _rivals(list(kept))
        out = [
            column
            for key, columns in kept.items()
            for column in columns
            if not any(self._no_worse(o, column) for other in rivals[key] for o in kept[other])
        ]
        return sorted(_merged(out), key=lambda column: column.rank)

    def _bare(self, arranged: set[Stacking | None]) -> dict[Bucket, list[Column]]:
        """Columns of the same ports that none of them beats, where prices play no part."""
        buckets: dict[Bucket, dict[Carried, list[Choice]]] = {}
        for unit in self.units:
            halves = Halves(self.book, unit, self.setting, self.wanted)
            of_type = signs([row for row in self.rows if row.by_type or not self._binding], Fitout(unit))
            for shape, outline in enumerate(halves.shapes):
                if outline.stacking in arranged:
                    slices = self.of_use(outline)
                    bucket = buckets.setdefault((slices, outline.stacking, of_type), {})
                    for powers, carried in self._carried(halves, shape, self._most_of(slices), of_type):
                        bucket.setdefault(carried, []).append((halves, shape, powers))
        return {key: self._had(key[0], choices) for key, choices in buckets.items()}

    def _carried(
        self, halves: Halves, shape: int, most: tuple[int, ...], of_type: tuple[int, ...]
    ) -> Iterator[tuple[list[int], Carried]]:
        """What power halves leave for the ports of a shape, and what rows say of both."""
        outline = halves.shapes[shape]
        for gives, powers in halves.by_gives.items():
            left = tuple(map(sub, gives, outline.takes))
            if min(left, default=0) < 0:
                continue
            left = tuple(map(min, left, most))
            if not self._binding:
                yield powers, (left, of_type)
                continue
            for power in powers:
                yield [power], (left, signs(self.rows, whole(outline.fitout, halves.powers[power][0])))

    def _had(self, slices: Slices, choices: dict[Carried, list[Choice]]) -> list[Column]:
        """Of the choices that can be had one for each way to carry that none beats."""

        def merit(carried: Carried) -> int:
            """More than that of whatever it beats."""
            return sum(carried[0]) - sum(d * x for d, x in zip(self._less, carried[1], strict=True))

        kept: list[Column] = []
        for left, limits in sorted(choices, key=merit, reverse=True):
            if not any(self._carries(one, left, limits) for one in kept):
                some = choices[left, limits]
                had = (halves.had(shape, power) for halves, shape, powers in some for power in powers)
                one = next(filter(None, had), None)
                if one is not None:
                    kept.append(Column(one, slices, left, (), limits))
        return kept

    def _carries(self, column: Column, left: tuple[int, ...], limits: tuple[int, ...]) -> bool:
        """Whether a column of the same ports carries as much, and rows say nothing worse of it."""
        return all(map(ge, column.left, left)) and not any(
            d * x > d * y for d, x, y in zip(self._less, column.limits, limits, strict=True)
        )

    def _unit_parts(self) -> frozenset[str]:
        """Parts that some unit could take out of another unit's box."""
        every = (shape for unit in self.units for shape in shapes(self.book, unit, self.setting, self.wanted))
        return unit_parts(self.book, self.setting) | needed(every)

    def _complete_at(self, slices: Slices, ones: list[Priced]) -> int:
        """The price for which the ports can be had with all that they could draw."""
        most = self._most_of(slices)
        return min(
            (one.at_most_minor for one in ones if all(map(ge, one.left, most))),
            default=NEVER,
        )

    def _of_bucket(self, key: Bucket, ones: list[Priced], limit: int) -> list[Column]:
        """Columns of the same ports that none of them beats; those from `limit` on are beaten anyway."""
        slices, _, says = key
        most = self._most_of(slices)
        kept: list[Column] = []
        for one in sorted(ones, key=lambda one: one.price_minor):
            if one.at_least_minor < limit:
                spare = tuple(item for item in one.spare if item[0] in self._useful) if one.spare else ()
                limits = signs(self.rows, one.fitout) if self._binding else says
                column = Column(one, slices, tuple(map(min, one.left, most)), spare, limits)
                if not any(self._no_worse(other, column) for other in kept):
                    kept.append(column)
        return kept

    def _most_of(self, slices: Slices) -> tuple[int, ...]:
        """The most that these ports could draw of each budget."""
        most = self._most.get(slices)
        if most is None:
            hungriest = self.offers.hungriest
            budgets = range(len(self.book.budgets))
            most = tuple(sum(count * hungriest(mask, b) for count, mask in slices) for b in budgets)
            self._most[slices] = most
        return most

    def of_use(self, shape: Shape) -> Slices:
        """The ports that are of use to some kind, by what they serve."""
        found = self._slices.get(id(shape))
        if found is None:
            total: dict[int, int] = {}
            for ports in shape.fitout.ports:
                mask = self.offers.mask(ports)
                if mask:
                    total[mask] = total.get(mask, 0) + self.book.port_holds(ports)
            wanted = self.offers.wanted
            every = [(min(count, wanted(mask)), mask) for mask, count in total.items()]
            found = tuple(sorted(_spread_out(every, self.spread)))
            self._slices[id(shape)] = found
        return found

    def _no_worse(self, a: Column, b: Column) -> bool:
        price, limit = a.priced.price_minor, b.priced.price_minor
        if price > limit:
            return False
        for x, y in zip(a.left, b.left, strict=True):
            if x < y:
                return False
        if a.limits != b.limits and any(d * x > d * y for d, x, y in zip(self._less, a.limits, b.limits, strict=True)):
            return False
        price += exchange(self.book, a, b, self.setting)
        return price <= limit and price + tie_minor(self.book, a.priced.ties, b.priced.ties, self.setting) <= limit


def _merged(columns: list[Column]) -> list[Column]:
    """Columns that differ only in how they stack, as one."""
    found: dict[tuple[object, ...], Column] = {}
    for column in columns:
        needs = tuple(sorted(need.recipes for need in column.left_to_pool))
        key = (column.price_minor, column.rank, needs, column.spare, column.limits, column.priced.ties)
        if key in found:
            found[key].others.append(column.priced)
        else:
            found[key] = column
    return list(found.values())


def _spread_out(slices: list[tuple[int, int]], spread: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Slices of which no unit serves so many of a spread kind that too few are left for the others.

    spread -- offers of a kind, and how many of it one unit may serve.
    """
    for offers, most in spread:
        cut: list[tuple[int, int]] = []
        for count, mask in slices:
            few = min(count, max(most, 0))
            if mask & offers and count > few:
                cut += [(few, mask), (count - few, mask & ~offers)]
            else:
                cut.append((count, mask))
        merged: dict[int, int] = {}
        for count, mask in cut:
            if count and mask:
                merged[mask] = merged.get(mask, 0) + count
        slices = [(count, mask) for mask, count in merged.items()]
    return slices


def signs(rows: list[Row], fitout: Fitout) -> tuple[int, ...]:
    """What the rules' rows say of a fit-out: coefficient and membership, row by row."""
    out: list[int] = []
    asked: Callable[[Fitout], int] | None = None
    amount = 0
    for row in rows:
        if row.fitouts is not asked:  # neighbours often ask the same
            asked = row.fitouts
            amount = 0 if asked is None else asked(fitout)
        out.append(amount)
        out.append(int(row.only_if(fitout)) if row.only_if else 0)
    return tuple(out)


def unit_parts(book: Book, setting: Setting) -> frozenset[str]:
    """Parts that some unit could take out of another unit's box, whatever its modules and port roles."""

    def make(setting: Setting) -> frozenset[str]:
        return needed(p for unit in book.catalog.parts.unit_types for p in raw_powers(book, unit, setting))

    return book.made("unit parts", (*POWER_FORMS, "requires.unit", "forbids_for"), "", setting, make)


def _rivals(keys: list[Bucket]) -> dict[Bucket, list[Bucket]]:
    """For each bucket those whose ports serve whatever its own serve, all else being equal."""
    alike: dict[object, list[tuple[Bucket, int, int]]] = {}
    for key in keys:
        union = reduce(or_, (mask for _, mask in key[0]), 0)
        alike.setdefault(key[1:], []).append((key, union, sum(count for count, _ in key[0])))
    return {
        key: [
            other
            for other, masks, ports in group
            if ports >= count and masks & union == union and other is not key and _serves_all(other[0], key[0])
        ]
        for group in alike.values()
        for key, union, count in group
    }


def _serves_all(a: Slices, b: Slices) -> bool:
    """Whether each slice of `b` fits into one of `a` of its own."""
    rest = list(a)
    for count, mask in b:
        match = next((s for s in rest if s[1] & mask == mask and s[0] >= count), None)
        if match is None:
            return False
        rest.remove(match)
    return True
