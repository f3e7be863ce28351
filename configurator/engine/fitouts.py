"""Priced fit-outs: every way to fit out and buy one unit of a type, kept with the catalog.

A fit-out has two halves that do not look at each other: power (supplies, fan trays) and shape
(modules, port roles).  What a demand asks for decides only which ports are of use, so the lists
here hold for every demand with the same setting.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from configurator.book import Book
from configurator.engine.arrange import Stacking
from configurator.engine.cover import NOTHING, Cover, Needs, covers, stock_of
from configurator.engine.exchange import Ties, exchange, tie_minor, ties, unit_word
from configurator.engine.layouts import Wanted, layouts, module_choices
from configurator.engine.offers import cheapest_recipe
from configurator.engine.powering import POWER_FORMS, powerings
from configurator.fitout import Fitout
from configurator.parts import Box, UnitType
from configurator.rule import Need
from configurator.setting import Setting

NO_LIMIT = 2**40
OUTLINE_FORMS = ("forbids.modules", "forbids.ports", "forbids_part", "budgets")
SHAPE_FORMS = (*OUTLINE_FORMS, "forbids_for", "requires.unit", "sells")
UNIT_FORMS = (*SHAPE_FORMS, *POWER_FORMS)


@dataclass(frozen=True, eq=False)
class Shape:
    """Modules and port roles of one unit, with what they take of each budget and need."""

    fitout: Fitout
    takes: tuple[int, ...]
    needs: Needs
    stacking: Stacking | None  # none: alone


@dataclass(frozen=True, eq=False)
class Power:
    """Supplies and fan trays of one unit, with what they give of each budget and need."""

    fitout: Fitout
    gives: tuple[int | None, ...]
    needs: Needs
    cover: Cover = NOTHING


@dataclass(frozen=True, eq=False)
class Priced:
    """One fit-out bought in one way; `left` is of each budget, before anything is served."""

    shape: Shape
    power: Fitout
    box: str
    price_minor: int
    left: tuple[int, ...]
    bought: tuple[str, ...]  # loose parts
    fills: tuple[tuple[str, tuple[str, ...]], ...]
    left_to_pool: tuple[Need, ...]
    spare: tuple[tuple[str, int], ...]
    at_most_minor: int  # with everything bought that it leaves to the pool
    at_least_minor: int  # with everything that it spares worth its price
    ties: Ties  # to the order

    @property
    def fitout(self) -> Fitout:
        """Both halves as one."""
        return whole(self.shape.fitout, self.power)


def whole(shape: Fitout, power: Fitout) -> Fitout:
    """Both halves of a unit as one."""
    return Fitout(
        power.unit_type,
        shape.modules,
        shape.stack,
        shape.ports,
        power.supplies,
        power.fan_trays,
        power.feeds,
        plugs=power.plugs,
    )


def outlines(book: Book, unit: UnitType, setting: Setting, wanted: Wanted) -> list[Shape]:
    """Every shape of a type, given which splits and speeds are of use; what it needs left out."""

    def make(setting: Setting) -> list[Shape]:
        return [
            Shape(fitout, tuple(b.takes(fitout, setting, book.catalog) for b in book.budgets), (), stacking_of(fitout))
            for modules in module_choices(book, unit, setting)
            for fitout in layouts(book, modules, wanted, setting)
        ]

    return book.made("outlines", OUTLINE_FORMS, (unit.id, wanted.key(book, unit)), setting, make)


def shapes(book: Book, unit: UnitType, setting: Setting, wanted: Wanted) -> list[Shape]:
    """Every shape of a type, given which splits and speeds are of use."""

    def make(setting: Setting) -> list[Shape]:
        every = outlines(book, unit, setting, wanted)
        return [replace(shape, needs=shape_needs(book, shape.fitout, setting)) for shape in every]

    return book.made("shapes", SHAPE_FORMS, (unit.id, wanted.key(book, unit)), setting, make)


def shape_needs(book: Book, fitout: Fitout, setting: Setting) -> Needs:
    """What modules and port roles need; a type's own needs are counted with its power half."""
    needs = list(book.unit_needs(replace(fitout, decided="shape"), setting))
    for item in book.unit_needs(Fitout(fitout.unit_type, decided="type"), setting):
        needs.remove(item)
    return tuple(needs)


def power_needs(book: Book, fitout: Fitout, setting: Setting) -> Needs:
    """What supplies and fan trays need, and the type itself."""
    return tuple(book.unit_needs(replace(fitout, decided="power"), setting))


def priced_fitouts(
    book: Book, unit: UnitType, setting: Setting, wanted: Wanted, *, priced: bool, pruned: bool
) -> list[Priced]:
    """Every fit-out of a type bought in every way.

    priced -- off: prices play no part, only whether it can be bought at all;
    pruned -- without those that another of the same shape equals or beats.
    """

    def make(setting: Setting) -> list[Priced]:
        return list(_every(book, unit, setting, wanted, priced, pruned))

    key = (unit.id, wanted.key(book, unit), priced, pruned)
    return book.made("priced fit-outs", UNIT_FORMS, key, setting, make)


def _every(
    book: Book, unit: UnitType, setting: Setting, wanted: Wanted, priced: bool, pruned: bool
) -> Iterator[Priced]:
    boxes = [(box, book.price_minor(box.id, setting)) for box in book.catalog.boxes_of[unit.id]]
    sold = [(box, price) for box, price in boxes if price is not None]
    every = shapes(book, unit, setting, wanted)
    if not priced and _all_sold(book, [*raw_powers(book, unit, setting), *every], setting):
        sold = sold[:1]  # where everything can be bought, one box is as good as another
    joint = priced and bridged(book, raw_powers(book, unit, setting), every)
    powers = {box.id: _powers(book, unit, box, setting, priced, pruned, joint=joint) for box, _ in sold}
    for shape in every:
        found: list[Priced] = []
        for box, price in sold:
            for power, cover in _bought(book, box, powers[box.id], shape, setting, priced, joint=joint):
                one = _priced(book, box, price if priced else 0, power, shape, cover, setting)
                if one is not None:
                    found.append(one)
        yield from _worth_having(book, found, setting) if pruned else found


def _all_sold(book: Book, halves: list[Power | Shape], setting: Setting) -> bool:
    needs = {id(need.recipes): need for half in halves for _, need in half.needs}
    return all(cheapest_recipe(book, need, setting) is not None for need in needs.values())


def _bought(
    book: Book, box: Box, powers: list[Power], shape: Shape, setting: Setting, priced: bool, *, joint: bool
) -> Iterator[tuple[Power, Cover]]:
    """Power halves with ways to buy the shape; both at once where a loose part serves both halves."""
    if joint:
        for power in powers:
            for cover in covers(book, box, (*power.needs, *shape.needs), setting):
                yield replace(power, cover=NOTHING), cover
        return
    for cover in _covers(book, box, shape.needs, setting, priced):
        for power in powers:
            yield power, cover


def _covers(book: Book, box: Box, needs: Needs, setting: Setting, priced: bool) -> list[Cover]:
    if priced:
        return covers(book, box, needs, setting)
    if all(cheapest_recipe(book, need, setting) is not None for _, need in needs):
        return [NOTHING]
    return [NOTHING] if covers(book, box, needs, setting) else []


def _powers(
    book: Book, unit: UnitType, box: Box, setting: Setting, priced: bool, pruned: bool, *, joint: bool
) -> list[Power]:
    """Supplies and fans of a type bought with one box; where both halves are bought at once, not bought yet."""
    raw = raw_powers(book, unit, setting)
    if joint:
        return raw
    bought = [
        replace(power, cover=cover) for power in raw for cover in _covers(book, box, power.needs, setting, priced)
    ]
    if not pruned:
        return bought
    bought.sort(key=lambda power: (power.cover.price_minor, power.cover.bought))
    kept: list[Power] = []
    for power in bought:
        if not any(_power_no_worse(book, other, power, setting) for other in kept):
            kept.append(power)
    return kept


def raw_powers(book: Book, unit: UnitType, setting: Setting) -> list[Power]:
    """Every way to fill the bays of a type, with what it gives and needs."""

    def make(setting: Setting) -> list[Power]:
        return [
            Power(fitout, gives, power_needs(book, fitout, setting)) for fitout, gives in powerings(book, unit, setting)
        ]

    return book.made("raw powers", (*POWER_FORMS, "requires.unit", "forbids_for"), unit.id, setting, make)


def _power_no_worse(book: Book, a: Power, b: Power, setting: Setting) -> bool:
    for x, y in zip(a.gives, b.gives, strict=True):
        if (NO_LIMIT if x is None else x) < (NO_LIMIT if y is None else y):
            return False
    price = a.cover.price_minor + exchange(book, a.cover, b.cover, setting)
    if price > b.cover.price_minor:
        return False
    mine, others = (ties(book, setting, one.cover.bought, one.cover.fills) for one in (a, b))
    return price + tie_minor(book, mine, others, setting) <= b.cover.price_minor


def _priced(
    book: Book, box: Box, price: int, power: Power, shape: Shape, cover: Cover, setting: Setting
) -> Priced | None:
    left = []
    for gives, takes in zip(power.gives, shape.takes, strict=True):
        rest = (NO_LIMIT if gives is None else gives) - takes
        if rest < 0:
            return None
        left.append(rest)
    total = price + power.cover.price_minor + cover.price_minor
    both = Cover(
        total,
        tuple(sorted((*power.cover.bought, *cover.bought))),
        (*power.cover.fills, *cover.fills),
        (*power.cover.left_to_pool, *cover.left_to_pool),
        _both_spare(book, box, power.cover, cover),
    )
    unit = ("unit", (unit_word(power.fitout.unit_type.id),))
    tied = ties(book, setting, (box.id, *both.bought), (*both.fills, unit))
    return Priced(
        shape,
        power.fitout,
        box.id,
        total,
        tuple(left),
        both.bought,
        both.fills,
        both.left_to_pool,
        both.spare,
        total + exchange(book, both, NOTHING, setting) + tie_minor(book, tied, (), setting),
        total - exchange(book, NOTHING, both, setting) - tie_minor(book, (), tied, setting),
        tied,
    )


def _worth_having(book: Book, found: list[Priced], setting: Setting) -> list[Priced]:
    found.sort(key=lambda one: (one.price_minor, one.box, one.bought))
    kept: list[Priced] = []
    for one in found:
        if not any(no_worse(book, other, one, setting) for other in kept):
            kept.append(one)
    return kept


def no_worse(book: Book, a: Priced, b: Priced, setting: Setting) -> bool:
    """Whether `a` has no less left than `b` and costs the stack no more."""
    for x, y in zip(a.left, b.left, strict=True):
        if x < y:
            return False
    price = a.price_minor + exchange(book, a, b, setting)
    return price <= b.price_minor and price + tie_minor(book, a.ties, b.ties, setting) <= b.price_minor


def bridged(book: Book, powers: list[Power], every: list[Shape]) -> bool:
    """Whether one part, or what stays together with a loose one, meets needs of both halves of a unit."""
    of_power, of_shape = needed(powers), needed(every)
    together = [
        {name, *(held for held, (kept, _) in stock_of(book, part).items() if kept)}
        for name, part in book.catalog.by_id.items()
        if part.contents and not isinstance(part, Box)
    ]
    return not of_power.isdisjoint(of_shape) or any(one & of_power and one & of_shape for one in together)


def needed(halves: Iterable[Power | Shape]) -> frozenset[str]:
    """Parts that could meet some need of these."""
    recipes = {id(need.recipes): need.recipes for half in halves for _, need in half.needs}
    return frozenset(part for some in recipes.values() for recipe in some for part in recipe)


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


def stacking_of(shape: Fitout) -> Stacking | None:
    """How a unit of this shape stacks; none: alone."""
    if shape.stack is None:
        return None
    group = shape.stack[1]
    return shape.unit_type.family, group.connector, group.cage or "", group.speeds_mbps
