"""How many of one part a build has, ordered or in ordered boxes; and builds that must have so many.

A build has of a part what is ordered of it and what lies in the boxes of what is ordered.  Nothing
is ordered that the build could do without: a part that lies idle on a shelf is no way to have it.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from configurator import bill
from configurator.build import Bought, Build
from configurator.catalog import Catalog
from configurator.engine.columns import Column
from configurator.engine.cover import stock_of
from configurator.engine.exchange import brings, touched
from configurator.kinds import SplitPlug
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.verify import verify

if TYPE_CHECKING:
    from configurator.engine.model import Counts, StackModel


def count_of(build: Build, part: str, catalog: Catalog) -> int:
    """How many of a part a build has."""
    each = brings(catalog, part)
    return sum(count * each.get(name, 0) for name, count in bill.bought(build).items())


def terms_of(model: StackModel, part: str) -> list[tuple[int, int]]:
    """How many of a part each variable brings."""
    each = brings(model.book.catalog, part)
    terms = [
        (var, sum(count * each.get(name, 0) for name, count in bought.items())) for var, bought in model.buys.items()
    ]
    return [(var, count) for var, count in terms if count]


def require(model: StackModel, part: str, least: int) -> None:
    """Only builds that have so many of a part, which `model` was made to count; see `Setting.counted`."""
    model.model.at_least(terms_of(model, part), least)
    only_needed(model, part)


def only_needed(model: StackModel, part: str) -> None:
    """Nothing that brings the part is bought or plugged in unless something would be missing without it."""
    book, catalog = model.book, model.book.catalog
    each, some = brings(catalog, part), touched(book, part)
    for name, bought in model.kits.items():
        if not each.get(name):
            continue
        given = Counter({held: free for held, (_, free) in stock_of(book, catalog.by_id[name]).items()})
        given[name] += 1
        lacking = []
        for held, free in given.items():
            if free and held in model.drawn:
                without = model.model.variable(0, 1)
                model.model.at_least(model.drawn[held], 1 - free, (without,))
                lacking.append((without, -model.model.bounds[bought][1]))
        model.model.at_most([(bought, 1), *lacking], 0)
    for plug in model.offers.splits():
        if any(each.get(name) for name in plug.parts):
            served = [(q, 1) for q, offer in zip(model.q, model.offers.offers, strict=True) if offer.plug is plug]
            split = [(n, -_split_by(column, plug)) for n, column in zip(model.n, model.columns, strict=True)]
            model.model.at_least([*served, *split], 0)
    for group in model.groups.values():
        fallen = [e for e, accord in zip(model.e, model.accord_of, strict=True) if model.voids(accord, group.need)]
        if fallen and any(not some.isdisjoint(recipe) for recipe in group.need.recipes):
            taken = [*group.takes.values(), *([] if group.buys is None else [group.buys])]
            most = sum(model.model.bounds[var][1] for var in taken)
            model.model.at_most([*((var, 1) for var in taken), *((e, most) for e in fallen)], most)


def not_these(model: StackModel, counts: Counts) -> None:
    """Not exactly these units bought in these ways: something of the part would lie idle."""
    ways = []
    for var, count in zip(model.n, counts.columns, strict=True):
        if count:  # as many units in all: other ones mean fewer of some of these
            fewer = model.model.variable(0, 1)
            model.model.at_most([(var, 1)], count - 1, (fewer,))
            ways.append((fewer, 1))
    more = model.model.variable(0, 1)
    model.model.at_least([(var, 1) for var in model.n], sum(counts.columns) + 1, (more,))
    model.model.at_least([*ways, (more, 1)], 1)


def _split_by(column: Column, plug: SplitPlug) -> int:
    """How many ports of a unit are split by this."""
    return sum(ports.count for ports in column.priced.shape.fitout.ports if ports.split is plug)


def idle(build: Build, part: str, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...]) -> str | None:
    """A loose part on the bill that brings the part and could be left out; none: all of them are needed."""
    each, boxes = brings(catalog, part), {unit.box for unit in build.units}
    for place in range(len(build.units) + 1):
        lines = build.bought if place == 0 else build.units[place - 1].bought
        for line in lines:
            if (
                each.get(line.part)
                and line.part not in boxes
                and not verify(_less(build, place, line.part), ask, catalog, rules)
            ):
                return line.part
    return None


def _less(build: Build, place: int, part: str) -> Build:
    """The build with one fewer of a part ordered: for the stack (0), or for the unit at this position."""

    def fewer(lines: tuple[Bought, ...]) -> tuple[Bought, ...]:
        less = [Bought(part=one.part, count=one.count - (one.part == part)) for one in lines]
        return tuple(one for one in less if one.count)

    if place == 0:
        return build.model_copy(update={"bought": fewer(build.bought)})
    units = list(build.units)
    units[place - 1] = units[place - 1].model_copy(update={"bought": fewer(units[place - 1].bought)})
    return build.model_copy(update={"units": tuple(units)})
