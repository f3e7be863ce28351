"""Placement: with the units fixed, which device goes on which ports of which unit."""

from __future__ import annotations

from dataclasses import dataclass

from configurator.columns import Slices
from configurator.offers import Offers
from configurator.solver import IntegerModel, solve

FIRST_EFFORT = 0.05  # repeatable seconds of the solver


@dataclass(frozen=True)
class Room:
    """One unit to be filled: its ports and what is left of each budget."""

    column: int
    slices: Slices
    left: tuple[int, ...]


# For each unit a mapping from (slice, offer) to how many devices.
Placed = list[dict[tuple[int, int], int]]


def fill(rooms: list[Room], served: tuple[int, ...], offers: Offers, spread: tuple[int, ...]) -> Placed | None:
    """A placement found by filling greedily, hungriest devices first; none where that fails."""
    budgets = range(len(offers.book.budgets))
    draws = [offer.draws for offer in offers.offers]
    flexible = [sum(1 for room in rooms for _, mask in room.slices if mask >> bit & 1) for bit in range(len(served))]
    order = sorted(range(len(served)), key=lambda o: ([-d for d in draws[o]], flexible[o], o))
    left = [list(room.left) for room in rooms]
    free = [[count for count, _ in room.slices] for room in rooms]
    placed: Placed = [{} for _ in rooms]

    def put(offer: int, units: range | list[int]) -> bool:
        best: tuple[tuple[int, int, int], int, int] | None = None
        for u in units:
            if any(left[u][b] < draws[offer][b] for b in budgets):
                continue
            for s, (_, mask) in enumerate(rooms[u].slices):
                if free[u][s] and mask >> offer & 1:
                    # the least flexible port, on the unit with most of the scarcest budget left
                    score = (mask.bit_count(), -min([left[u][b] for b in budgets if draws[offer][b]], default=0), u)
                    if best is None or score < best[0]:
                        best = (score, u, s)
        if best is None:
            return False
        _, u, s = best
        free[u][s] -= 1
        for b in budgets:
            left[u][b] -= draws[offer][b]
        placed[u][s, offer] = placed[u].get((s, offer), 0) + 1
        return True

    need = list(served)
    for kind, least in enumerate(spread):
        if least > 1 and not _spread_out(kind, least, need, offers, placed, put, len(rooms)):
            return None
    for offer in order:
        for _ in range(need[offer]):
            if not put(offer, range(len(rooms))):
                return None
    return placed


def _spread_out(kind, least, need, offers, placed, put, units) -> bool:  # type: ignore[no-untyped-def]
    """Put one device of a kind on each of `least` units."""
    mine = [o for o, offer in enumerate(offers.offers) if offer.kind == kind]
    done = 0
    for u in range(units):
        if done == least:
            return True
        for o in mine:
            if need[o] and put(o, [u]):
                need[o] -= 1
                done += 1
                break
    return done >= least


def pack(
    rooms: list[Room],
    served: tuple[int, ...],
    offers: Offers,
    spread: tuple[int, ...],
    effort: float | None = None,
    seconds: float | None = None,
) -> Placed | str | None:
    """A placement found by the solver; none where there is none, `unknown` where effort ran out."""
    model = IntegerModel()
    places: dict[tuple[int, int, int], int] = {}
    for u, room in enumerate(rooms):
        for s, (count, mask) in enumerate(room.slices):
            here = []
            for o in offers.bits(mask):
                if served[o]:
                    places[u, s, o] = model.variable(0, min(count, served[o]))
                    here.append((places[u, s, o], 1))
            if here:
                model.at_most(here, count)
        for budget in range(len(offers.book.budgets)):
            terms = [(v, offers.offers[o].draws[budget]) for (w, _, o), v in places.items() if w == u]
            if any(draw for _, draw in terms):
                model.at_most(terms, room.left[budget])
    for o, count in enumerate(served):
        if count:
            model.row([(v, 1) for (_, _, p), v in places.items() if p == o], count, count)
    for kind, least in enumerate(spread):
        if least > 1:
            _spread_rows(model, places, kind, least, offers, len(rooms))
    outcome = solve(model, deterministic_limit=effort, seconds=seconds)
    if outcome.status == "impossible":
        return None
    if outcome.status == "unknown":
        return "unknown"
    placed: Placed = [{} for _ in rooms]
    for (u, s, o), v in places.items():
        if outcome.values[v]:
            placed[u][s, o] = outcome.values[v]
    return placed


def _spread_rows(
    model: IntegerModel, places: dict[tuple[int, int, int], int], kind: int, least: int, offers: Offers, units: int
) -> None:
    seen = []
    for u in range(units):
        mine = [v for (w, _, o), v in places.items() if w == u and offers.offers[o].kind == kind]
        if mine:
            here = model.variable(0, 1)
            model.at_least([*((v, 1) for v in mine), (here, -1)], 0)
            seen.append((here, 1))
    model.at_least(seen, least)
