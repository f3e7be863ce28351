"""Which stacks stand in which closet, and what each closet must have ready."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from configurator import answer_facility
from configurator.answer_facility import Closet
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.facilities.facility import Standing, facility_in
from configurator.setting import Ask


@dataclass
class _Holds:
    """What stands in one room, and how many rooms are like it."""

    name: str
    own: bool
    rooms: int
    stacks: list[tuple[Ask, Build | None, int]] = field(default_factory=list)  # with how many of it stand there


def closets_of(stacks: Iterable[tuple[Ask, Build | None]], catalog: Catalog) -> tuple[Closet, ...]:
    """Every closet of an order, in the demand's order.

    A stack that names no closet has a room of its own, and so has each of its copies; all copies of a
    stack that names one stand in it.
    """
    closets: dict[tuple[bool, str], _Holds] = {}
    for place, (ask, build) in enumerate(stacks):
        stack = ask.stack
        if stack.closet is None:
            key, holds = (True, str(place)), _Holds(stack.name, own=True, rooms=stack.copies)
        else:
            key, holds = (False, stack.closet), _Holds(stack.closet, own=False, rooms=1)
        together = 1 if stack.closet is None else stack.copies
        closets.setdefault(key, holds).stacks.append((ask, build, together))
    return tuple(_closet(holds, catalog) for holds in closets.values())


def _closet(holds: _Holds, catalog: Catalog) -> Closet:
    standing = tuple(Standing(build, ask, count) for ask, build, count in holds.stacks if build is not None)
    return Closet(
        name=holds.name,
        own=holds.own,
        rooms=holds.rooms,
        stacks=tuple(
            answer_facility.Standing(name=ask.stack.name, copies=count, built=build is not None)
            for ask, build, count in holds.stacks
        ),
        facility=facility_in(standing, catalog) if standing else None,
    )
