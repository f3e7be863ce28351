"""Why a demand cannot be met: every smallest set of statements that cannot hold together, and what would help.

A statement is set aside by asking the demand without it; a rule, by asking without that rule.
What can't be decided in time counts as possible, and a conflict that hangs on it is not called smallest.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field, replace

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.conflicts.argument import argued
from configurator.conflicts.blocking import blocking
from configurator.conflicts.correction import corrected
from configurator.conflicts.duality import conflicts_and_corrections
from configurator.conflicts.frame import Frames, framed
from configurator.conflicts.relax import SERVED, droppable, without
from configurator.kinds import kinds_of, said_by
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Conflict, Refusal

ENOUGH_S = 20.0  # of looking for conflicts where the user set no limit
EASED, EASING = frozenset({"oversubscription"}), "uplinks["  # statements that others make easier to meet
SELDOM = ("country", "region", "currency", "cord_m")  # statements about the place, of use to set aside but seldom
MOST_CONFLICTS = 12  # beyond which nobody reads


@dataclass
class Explainer:
    """One demand that cannot be met, asked about with statements set aside."""

    ask: Ask
    catalog: Catalog
    rules: tuple[Rule, ...]
    deadline: float
    sure: bool = True  # whether every question was decided
    frames: dict[object, Frames] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.book = Book(self.rules, self.catalog)
        names = droppable(self.ask)
        place = {key: n for n, key in enumerate(self.ask.statements)}
        self.atoms = sorted(
            names, key=lambda key: (self.ask.statements[key].assumed, not key.startswith(SERVED), place[key])
        )
        framing, _ = framed(self.book, self.ask, self.ask)
        self._free = frozenset(key for key in self.atoms if self._framing(key) == framing)

    def _framing(self, aside: str) -> Hashable:
        return framed(self.book, without(self.ask, frozenset([aside])), self.ask)[0]

    def block(self, key: str) -> int:
        """How dear it is to set a statement aside: in the frame at hand, by another, and seldom of use at that."""
        if key in self._free:
            return 0
        return 2 if key in SELDOM or self.ask.statements[key].assumed else 1

    def without(self, kept: frozenset[str]) -> Ask:
        """The demand with all statements set aside that are not kept."""
        return without(self.ask, frozenset(self.atoms) - kept)

    def possible(self, kept: frozenset[str]) -> bool:
        """Whether some build meets these statements, or more of them; a demand for nothing can always be met.

        With some statements set aside a demand may be harder: less bandwidth of uplinks, say.
        """
        return any(self.met(self.without(more)) for more in (kept, *self._harder_without(kept)))

    def _harder_without(self, kept: frozenset[str]) -> Iterator[frozenset[str]]:
        """The statements kept, with some put back without which they are harder to meet."""
        if kept.isdisjoint(EASED):
            return
        aside = [key for key in self.atoms if key.startswith(EASING) and key not in kept]
        if len(aside) > 1:
            yield kept | frozenset(aside)
        yield from (kept | {key} for key in aside)

    def met(self, ask: Ask, figure: object = None) -> bool:
        """Whether some build meets a demand from which statements were set aside.

        figure -- what else is not as it was, numbers of devices apart.
        """
        if not kinds_of(ask):
            return True
        framing, whole = framed(self.book, ask, self.ask)
        key = (framing, figure)
        if key not in self.frames:
            self.frames[key] = Frames(self.book, whole, self.ask.stack.units_at_least or 1)
        return self.decided(self.frames[key].search(ask, self.deadline)[0])

    def in_order(self, keys: frozenset[str]) -> tuple[str, ...]:
        """Keys in the demand's order."""
        return tuple(key for key in self.ask.statements if key in keys)

    def asks_for(self, key: str) -> Hashable:
        """What a statement asks for, whatever it is called."""
        if not key.startswith(SERVED):
            return key
        name, said = next((key.partition("[")[0], said) for mine, said in said_by(self.ask) if mine == key)
        unnamed = said.model_copy(update=dict.fromkeys({"name", "kind", "ref"} & set(type(said).model_fields)))
        return name, unnamed

    def left_s(self) -> float:
        """Seconds that are left."""
        return max(0.01, self.deadline - time.monotonic())

    def decided(self, status: str) -> bool:
        """Whether a status says possible, or nothing."""
        self.sure &= status != "unknown"
        return status != "impossible"


def found(explainer: Explainer, most: int = MOST_CONFLICTS) -> Iterator[tuple[str, frozenset[str]]]:
    """Smallest conflicts and corrections of a demand that is known to be impossible, as they are found, by keys."""
    atoms = sorted(explainer.atoms, key=explainer.block)
    yield from conflicts_and_corrections(atoms, explainer.possible, most, explainer.block, impossible=True)


def first_told(explainer: Explainer, keys: frozenset[str]) -> Conflict:
    """A conflict with its argument alone: the rules take longer to find."""
    why, _ = argued(explainer.book, explainer.without(keys))
    return Conflict(explainer.in_order(keys), why.rules, why.text, explainer.sure, why.proof)


def told(explainer: Explainer, keys: frozenset[str]) -> Conflict:
    """A conflict in words, with the rules that make it one."""
    core = explainer.without(keys)
    why, _ = argued(explainer.book, core)
    sure = explainer.sure
    found = blocking(explainer, core, why.rules).union(why.rules)
    return Conflict(
        explainer.in_order(keys), tuple(r.id for r in explainer.rules if r.id in found), why.text, sure, why.proof
    )


def refusal(
    ask: Ask,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    deadline: float | None = None,
    most: int = MOST_CONFLICTS,
    as_found: Callable[[Conflict], None] | None = None,
) -> Refusal:
    """All smallest conflicts and corrections of a demand that is known to be impossible, or up to `most` conflicts.

    as_found -- is told each conflict as soon as it is known, with its argument.
    """
    explainer = Explainer(ask, catalog, rules, deadline or time.monotonic() + ENOUGH_S)
    conflicts: list[frozenset[str]] = []
    corrections: list[frozenset[str]] = []
    for what, keys in found(explainer, most):
        (conflicts if what == "conflict" else corrections).append(keys)
        if what == "conflict" and as_found is not None:
            as_found(first_told(explainer, keys))
    order = {atom: place for place, atom in enumerate(explainer.atoms)}
    for sets in (conflicts, corrections):
        sets.sort(key=lambda one: (len(one), sorted(order[key] for key in one)))
    complete = explainer.sure and len(conflicts) < most
    told_once = [
        replace(told(explainer, same[0]), alike=tuple(explainer.in_order(other) for other in same[1:]))
        for same in alike(explainer, conflicts)
    ]
    return Refusal(tuple(told_once), corrected(explainer, alike(explainer, corrections)), complete)


def alike(explainer: Explainer, sets: list[frozenset[str]]) -> list[list[frozenset[str]]]:
    """Sets that differ only in statements that ask for the same, together."""
    out: dict[Hashable, list[frozenset[str]]] = {}
    for keys in sets:
        out.setdefault(frozenset(Counter(explainer.asks_for(key) for key in keys).items()), []).append(keys)
    return list(out.values())
