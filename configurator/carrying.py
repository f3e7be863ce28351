"""What the very units of a build could carry besides: the demand grows, the units stay."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from configurator.columns import Column, Maker
from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.fitout import Fitout
from configurator.kinds import kinds_of, said_by
from configurator.model import Counts, StackModel
from configurator.offers import Offers
from configurator.rule import Row
from configurator.setting import Ask
from configurator.solver import IntegerModel, solve

MOST = 10_000  # that a statement may ask for


@dataclass(frozen=True)
class Carried:
    """The largest count of one statement that the units still carry, all else being as it is."""

    statement: str
    asked: int
    most: int


def carried(model: StackModel, counts: Counts) -> Iterator[Carried]:
    """For each statement that is served; a count is the one stated, head-room comes on top."""
    units = [c for c, count in zip(model.columns, counts.columns, strict=True) for _ in range(count)]
    for key, said in said_by(model.ask):
        fits = said.count
        least_not = fits + 1
        while least_not <= MOST and _carry(model, counts, units, _asking(model.ask, key, said, least_not)):
            fits, least_not = least_not, least_not * 2
        least_not = min(least_not, MOST + 1)
        while fits + 1 < least_not:
            middle = (fits + least_not) // 2
            if _carry(model, counts, units, _asking(model.ask, key, said, middle)):
                fits = middle
            else:
                least_not = middle
        yield Carried(key, said.count, fits)


def _asking(ask: Ask, key: str, said: AccessPorts | Devices | Uplinks, count: int) -> Ask:
    """The demand with another count of one statement."""
    name, _, index = key.removesuffix("]").partition("[")
    every = list(getattr(ask.stack, name))
    every[int(index)] = said.model_copy(update={"count": count})
    return replace(ask, stack=ask.stack.model_copy(update={name: tuple(every)}))


def _carry(model: StackModel, counts: Counts, units: list[Column], ask: Ask) -> bool:
    """Whether every device finds a port of these units, with watts, and the limits on counts hold."""
    book = model.book
    setting = replace(ask.setting, agreed=tuple(counts.agreed.items()))
    kinds = kinds_of(ask)
    offers = Offers(book, kinds, setting, model.pool)
    priced = [column.stacked(counts.arrangement.mode) for column in units]
    maker = Maker(book, offers, setting, [], model.priced)
    space = IntegerModel()
    places: dict[tuple[int, int, int], int] = {}  # unit, slice, offer -> variable: devices there
    for u, one in enumerate(priced):
        for s, (count, mask) in enumerate(maker.of_use(one.shape)):
            here = {(u, s, bit): space.variable(0, count) for bit in offers.bits(mask)}
            places.update(here)
            space.at_most([(var, 1) for var in here.values()], count)
        for budget, left in enumerate(one.left):
            drawn = [(var, offers.offers[bit].draws[budget]) for (v, _, bit), var in places.items() if v == u]
            if any(draw for _, draw in drawn):
                space.at_most(drawn, left)
    for index, kind in enumerate(kinds):
        mine = {place: var for place, var in places.items() if offers.offers[place[2]].kind == index}
        space.row([(var, 1) for var in mine.values()], kind.count, kind.count)
        if (least := book.spread(kind)) > 1:
            reached = []
            for u in range(len(priced)):
                there = space.variable(0, 1)
                space.at_least([*((var, 1) for (v, _, _), var in mine.items() if v == u), (there, -1)], 0)
                reached.append((there, 1))
            space.at_least(reached, least)
    for _, row in book.limits(replace(ask, setting=setting)):
        if _holds_here(row, counts, [one.fitout for one in priced]):
            terms = []
            for (_, _, bit), var in places.items():
                offer = offers.offers[bit]
                weight = row.kinds(kinds[offer.kind]) if row.kinds else 0
                terms.append((var, weight + (row.plugs(offer.plug) if row.plugs else 0)))
            rest = row.bound - sum(row.fitouts(one.fitout) for one in priced) if row.fitouts else row.bound
            if row.sense == "<=":
                space.at_most(terms, rest)
            else:
                space.at_least(terms, rest)
    return solve(space).status == "optimal"


def _holds_here(row: Row, counts: Counts, fitouts: list[Fitout]) -> bool:
    """Whether a limit is one of these units."""
    if row.agreed is not None and counts.agreed.get(row.agreed[0]) != row.agreed[1]:
        return False
    return row.only_if is None or any(row.only_if(fitout) for fitout in fitouts)
