"""Placement: with the units fixed, which device goes on which ports of which unit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from configurator.engine.columns import Slices
from configurator.engine.offers import Offers
from configurator.engine.solver import IntegerModel, solve

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
    filling = _Filling(rooms, offers)
    need = list(served)
    for kind, least in enumerate(spread):
        if least > 1 and not filling.spread_out(kind, least, need):
            return None
    for offer in filling.order:
        for _ in range(need[offer]):
            if not filling.put(offer, range(len(rooms))):
                return None
    return filling.placed


class _Filling:
    """Rooms that fill up, one device at a time."""

    def __init__(self, rooms: list[Room], offers: Offers) -> None:
        self.rooms = rooms
        self.offers = offers.offers
        self.left = [list(room.left) for room in rooms]
        self.free = [[count for count, _ in room.slices] for room in rooms]
        self.placed: Placed = [{} for _ in rooms]
        homes = [sum(mask >> o & 1 for room in rooms for _, mask in room.slices) for o in range(len(self.offers))]
        self.order = sorted(range(len(self.offers)), key=lambda o: ([-d for d in self.offers[o].draws], homes[o], o))

    def put(self, offer: int, units: Iterable[int]) -> bool:
        """Put one device on the least flexible port, of the unit with most left of the scarcest budget."""
        draws = self.offers[offer].draws
        best: tuple[tuple[int, int, int], int, int] | None = None
        for u in units:
            left = self.left[u]
            if any(has < draw for has, draw in zip(left, draws, strict=True)):
                continue
            scarcest = min((has for has, draw in zip(left, draws, strict=True) if draw), default=0)
            for s, (_, mask) in enumerate(self.rooms[u].slices):
                if self.free[u][s] and mask >> offer & 1:
                    score = (mask.bit_count(), -scarcest, u)
                    if best is None or score < best[0]:
                        best = (score, u, s)
        if best is None:
            return False
        _, u, s = best
        self.free[u][s] -= 1
        self.left[u] = [has - draw for has, draw in zip(self.left[u], draws, strict=True)]
        self.placed[u][s, offer] = self.placed[u].get((s, offer), 0) + 1
        return True

    def spread_out(self, kind: int, least: int, need: list[int]) -> bool:
        """Put one device of a kind on each of `least` units; `need` is what is still to be placed."""
        done = 0
        for u in range(len(self.rooms)):
            mine = (o for o, offer in enumerate(self.offers) if offer.kind == kind and need[o])
            offer = next((o for o in mine if done < least and self.put(o, [u])), None)
            if offer is not None:
                need[offer] -= 1
                done += 1
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
        places |= _room_rows(model, u, room, served, offers)
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


def _room_rows(
    model: IntegerModel, u: int, room: Room, served: tuple[int, ...], offers: Offers
) -> dict[tuple[int, int, int], int]:
    """One unit's ports and budgets; its variables by unit, slice and offer."""
    places: dict[tuple[int, int, int], int] = {}
    for s, (count, mask) in enumerate(room.slices):
        for o in offers.bits(mask):
            if served[o]:
                places[u, s, o] = model.variable(0, min(count, served[o]))
        here = [(v, 1) for (_, t, _), v in places.items() if t == s]
        if here:
            model.at_most(here, count)
    for budget, left in enumerate(room.left):
        terms = [(v, offers.offers[o].draws[budget]) for (_, _, o), v in places.items()]
        if any(draw for _, draw in terms):
            model.at_most(terms, left)
    return places


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
