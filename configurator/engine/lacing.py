"""Lacing: in which orders units are best cabled into a ring or a chain.

Units stand on a line at places 1, 2, 3 …; a link between places a < b has the stretch from a to b.
What a link is worth is its merit, integers that add up over links; none: there can be no such
link.  One lacing is as good as another if none of its sums is smaller.

Where a link is never worth less than one over a stretch that holds its own (shorter cables cost no
more, and whatever reaches far reaches less far), few orders have to be looked at:

*The links of any ring T can be paired off with those of a ring P that goes up the line and comes
back once, so that each link of P lies within its partner's stretch.*

P is made of steps from a place to the next and of jumps from s(k-1) to s(k)+1, with
1 = s(0) < s(1) < … < s(r) = last - 1; it has a jump for each k, and a step from each place but
s(1) … s(r-1).  Proof, by induction on the number of places.

1. Say that places p … q between the ends are laced through in T as one path, which T enters from
   below and leaves above.  Take them for one place: the rest is a smaller ring, for which there is
   a P; put the places back as steps p … q.  Links that end there only grow in T.  Inside, T's path
   has as many links as there are steps, and any few of them, having no ring among them, together
   stretch over at least as many steps: so each can be given a step of its own (Hall).
2. Else cover the line by links e(1) … e(r) of T, as few as do, each sharing a step at least with
   the next; there are such, since T without a place still hangs together.  As they are the fewest,
   the shares o(k) of e(k) and e(k+1) have no step in common.  The other links of T and the shares
   are as many as there are steps; again each can be given one: within places p … q lie at most
   q - p of them, because T's links there are q - p + 1 less the number of paths they make, and with
   t shares at least t - 1 of them are some e(k), or t where p or q is an end.  That fails only for
   one path entered from below and left above, which is case 1.  The step given to o(k) is the one
   from s(k), and jump k lies within e(k).

For a chain the same argument (any few links of a chain stretch over as many steps) gives the chain
from each place to the next.  Elsewhere, as where an optic needs some length of fibre, every order
is compared, up to `MOST_SEARCHED` units.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

MOST_SEARCHED = 10  # places of which every order is compared where the shortest link isn't the best

NEIGHBOUR = "neighbour to neighbour"
ONE_RETURN = f"{NEIGHBOUR}, one return"
EVERY_OTHER = "over every other unit"
IN_THE_ORDER = "in the order"

Merit = tuple[int, ...]
Merits = Callable[[int, int], Merit | None]  # of a link between two places, the lower one first
Order = tuple[int, ...]


@dataclass(frozen=True)
class Lacing:
    """An order of all places; a ring goes back from the last to the first."""

    name: str
    order: Order
    ring: bool

    @property
    def pairs(self) -> tuple[tuple[int, int], ...]:
        """The places that are linked."""
        back = ((self.order[-1], self.order[0]),) if self.ring else ()
        return (*pairwise(self.order), *back)


def words(name: str, order: tuple[int, ...]) -> str:
    """A lacing in words, with the order of its units."""
    units = "-".join(map(str, order))
    return f"{name} {units}" if name == IN_THE_ORDER else f"{name}: {units}"


def usual(units: int, *, ring: bool) -> Iterator[Lacing]:
    """The lacings that everybody knows, of two units and more."""
    every = tuple(range(1, units + 1))
    yield Lacing(ONE_RETURN if ring else NEIGHBOUR, every, ring)
    if ring and units > 3:
        yield Lacing(EVERY_OTHER, (*every[::2], *reversed(every[1::2])), ring)


def worth_having(units: int, merits: Merits, *, ring: bool) -> list[Lacing]:
    """Of three units and more the lacings worth having: each can be better than those before it.

    Usual ones come first.  No lacing is better than all of these, and of lacings as good as each
    other there is one.
    """
    nested = _nested(units, merits)
    orders: list[Order] = []
    if not nested and units <= MOST_SEARCHED:
        orders = _searched(units, merits, ring=ring)
    elif ring:
        orders = _there_and_back(units, merits)
    kept: list[tuple[Lacing, Merit]] = []
    for lacing in (*usual(units, ring=ring), *(Lacing(IN_THE_ORDER, order, ring) for order in sorted(orders))):
        merit = _sum_of(lacing, merits)
        if merit is not None and not any(_as_good(other, merit) for _, other in kept):
            kept.append((lacing, merit))
    return [lacing for lacing, _ in kept]


def _sum_of(lacing: Lacing, merits: Merits) -> Merit | None:
    total: Merit | None = None
    for a, b in lacing.pairs:
        one = merits(min(a, b), max(a, b))
        if one is None:
            return None
        total = one if total is None else _plus(total, one)
    return total


def _plus(one: Merit, other: Merit) -> Merit:
    return tuple(a + b for a, b in zip(one, other, strict=True))


def _as_good(one: Merit, other: Merit) -> bool:
    return all(a >= b for a, b in zip(one, other, strict=True))


def _nested(units: int, merits: Merits) -> bool:
    """Whether no link is worth less than one over a longer stretch around it."""
    for length in range(1, units - 1):
        for a in range(1, units - length + 1):
            inner = merits(a, a + length)
            around = [merits(a, a + length + 1)] if a + length < units else []
            around += [merits(a - 1, a + length)] if a > 1 else []
            for outer in around:
                if outer is not None and (inner is None or not _as_good(inner, outer)):
                    return False
    return True


Labels = list[tuple[Merit, Order]]  # none as good as another


def _add(labels: Labels, merit: Merit, order: Order) -> None:
    """Keep an order unless one that is kept is as good; drop those that it betters."""
    if not any(_as_good(other, merit) for other, _ in labels):
        labels[:] = [label for label in labels if not _as_good(merit, label[0])]
        labels.append((merit, order))


def _there_and_back(units: int, merits: Merits) -> list[Order]:
    """The best rings that go up the line and come back once.

    Place by place: each is linked to the one before, or to the end of the other half of the ring;
    then the one before is that half's end.  A label's order holds the places where halves change.
    """
    first = merits(1, 2)
    if first is None:
        return []
    ends: dict[int, Labels] = {1: [(first, ())]}  # by the end of the half that place 2 isn't on
    for place in range(3, units):
        step, after = merits(place - 1, place), dict[int, Labels]()
        for end, labels in ends.items():
            jump = merits(end, place)
            for merit, changes in labels:
                if step is not None:
                    _add(after.setdefault(end, []), _plus(merit, step), changes)
                if jump is not None:
                    _add(after.setdefault(place - 1, []), _plus(merit, jump), (*changes, place - 1))
        ends = after
    closed: Labels = []
    step = merits(units - 1, units)
    for end, labels in ends.items():
        jump = merits(end, units)
        if step is not None and jump is not None:
            for merit, changes in labels:
                _add(closed, _plus(_plus(merit, step), jump), changes)
    return [_unfolded(units, changes) for _, changes in closed]


def _unfolded(units: int, changes: Order) -> Order:
    """Places in the order of the ring: up one half, down the other."""
    mine, other = [1], list[int]()
    up = mine
    for place in range(2, units + 1):
        mine.append(place)
        if place in changes:
            mine, other = other, mine
    down = other if up is mine else mine
    return (*up, *reversed(down))


def _searched(units: int, merits: Merits, *, ring: bool) -> list[Order]:
    """The best of all orders: of those through the same places with the same last one, only the best go on."""
    starts = (1,) if ring else range(1, units + 1)
    paths: dict[tuple[int, int], Labels] = {(1 << start, start): [((), (start,))] for start in starts}
    for length in range(1, units):
        longer: dict[tuple[int, int], Labels] = {}
        for (through, last), labels in paths.items():
            for place in range(1, units + 1):
                link = None if through >> place & 1 else merits(min(last, place), max(last, place))
                if link is not None:
                    there = longer.setdefault((through | 1 << place, place), [])
                    for merit, order in labels:
                        _add(there, _plus(merit, link) if length > 1 else link, (*order, place))
        paths = longer
    closed: Labels = []
    for (_, last), labels in paths.items():
        back = merits(1, last) if ring else None
        for merit, order in labels:
            if not ring:
                _add(closed, merit, order)
            elif back is not None:
                _add(closed, _plus(merit, back), order)
    return [order for _, order in closed]
