"""All smallest conflicts and all smallest corrections of a set of statements, each from the other.

Every correction meets every conflict, so the complements of the smallest sets that meet all conflicts
known so far are asked about, fewest statements first: one that can hold is a correction, one that
cannot holds a conflict not known yet, which is found by halving (QuickXplain: U. Junker, AAAI 2004).
Nothing here knows what a statement is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeVar

Atom = TypeVar("Atom")
Possible = Callable[[frozenset[str]], bool]
Found = tuple[Literal["conflict", "correction"], frozenset[str]]


@dataclass
class Known:
    """`possible`, asked no more often than is needed: fewer statements are never harder to meet."""

    ask: Possible
    held: list[frozenset[str]] = field(default_factory=list)  # sets that can hold
    broken: list[frozenset[str]] = field(default_factory=list)  # sets that can't
    asked: int = 0

    def __call__(self, statements: frozenset[str]) -> bool:
        """Whether these statements can hold together."""
        if any(statements <= other for other in self.held):
            return True
        if any(statements >= other for other in self.broken):
            return False
        self.asked += 1
        answer = self.ask(statements)
        (self.held if answer else self.broken).append(statements)
        return answer


def conflicts_and_corrections(
    atoms: Sequence[str],
    ask: Possible,
    most: int,
    block: Callable[[str], int] = lambda _: 0,
    *,
    impossible: bool = False,
) -> Iterator[Found]:
    """Smallest sets that can't hold, and smallest sets without which the rest can, as they are found.

    atoms -- in order of preference: of several conflicts those of earlier statements are found first;
    ask   -- whether some of them can hold together; fewer of them must never be harder;
    most  -- conflicts to find, beyond which the search stops;
    block -- that an atom is in, never falling along `atoms`: those of the first are cheap to ask about, so that
             it is first asked whether all others can be left out at once;
    impossible -- that all of them can't hold together is known.
    Nothing comes where all can hold.  Both lists are complete unless `most` conflicts were found.
    """
    possible, order, every = Known(ask), {atom: place for place, atom in enumerate(atoms)}, frozenset(atoms)
    if impossible:
        possible.broken.append(every)
    if possible(every):
        return
    meeting: list[frozenset[str]] = [frozenset()]
    done: set[frozenset[str]] = set()
    conflicts = 0
    while waiting := [one for one in meeting if one not in done]:
        aside = min(waiting, key=lambda one: (len(one), sorted(order[atom] for atom in one)))
        rest = every - aside
        if possible(rest):
            done.add(aside)
            yield "correction", aside
            continue
        conflict = _smallest(possible, frozenset(), [atom for atom in atoms if atom in rest], block)
        yield "conflict", conflict
        conflicts += 1
        if conflicts >= most:
            return
        meeting = _meeting(meeting, conflict)


def _smallest(possible: Possible, kept: frozenset[str], rest: list[str], block: Callable[[str], int]) -> frozenset[str]:
    """Of `rest` a smallest set that can't hold together with `kept`; together they all can't."""
    if not possible(kept):
        return frozenset()
    if len(rest) == 1:
        return frozenset(rest)
    cheap = sum(block(atom) == block(rest[0]) for atom in rest)
    middle = cheap if cheap < len(rest) else len(rest) // 2
    first, second = rest[:middle], rest[middle:]
    of_second = _smallest(possible, kept | frozenset(first), second, block)
    return of_second | _smallest(possible, kept | of_second, first, block)


def _meeting(meeting: Iterable[frozenset[str]], conflict: frozenset[str]) -> list[frozenset[str]]:
    """The smallest sets that meet one conflict more."""
    ok = [one for one in meeting if one & conflict]
    more = [one | {atom} for one in meeting if not one & conflict for atom in conflict]
    return ok + [one for one in dict.fromkeys(more) if not any(other <= one for other in ok)]
