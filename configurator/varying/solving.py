"""Many demands of one catalog solved one after the other: whatever asks for the same is solved and checked once."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass

from configurator.answer_refusal import ConflictWords
from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.conflicts.conflict import refusal
from configurator.conflicts.refused import conflict_words
from configurator.engine.order import sameness
from configurator.engine.search import solve_stack
from configurator.engine.tiers import solve_discounted
from configurator.reading import Asked
from configurator.reasoning.checked import check
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Conflict, Solved, SolvedOrder, Status
from configurator.verify import CheckFailed, verify_order


@dataclass(frozen=True)
class Outcome:
    """What an order, or one stack of it, costs at best, and what is built for that."""

    status: Status
    price_minor: int | None  # none: no build
    bound_minor: int | None  # nothing valid costs less; none: not known, or no build
    builds: tuple[tuple[int, Build], ...] = ()  # with their copies
    refused: Ask | None = None  # the first stack that can't be met
    problem: str = ""  # of the order as a whole, in words


class _Enough(Exception):
    """The first conflict was found, and no more are wanted."""

    def __init__(self, conflict: Conflict) -> None:
        self.conflict = conflict
        super().__init__()


class Solver:
    """One catalog and rule book; remembers each stack that it solved, and checks each build once."""

    def __init__(self, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None) -> None:
        self.catalog, self.rules, self.time_limit_s = catalog, rules, time_limit_s
        self._stacks: dict[Hashable, Solved] = {}
        self._checked: set[Hashable] = set()
        self._conflicts: dict[Hashable, Conflict | None] = {}

    def outcome(self, asked: Asked, place: int | None = None) -> Outcome:
        """The cheapest order of a demand, or its one stack at a place in the file, checked."""
        return self._order(asked) if place is None else self._stack(asked.asks[place])

    def stack(self, ask: Ask, catalog: Catalog) -> Solved:
        """The cheapest build of one stack, not checked yet; without a search for why there is none.

        catalog -- this solver's, or that at the prices that an order of some value earns
        """
        key = (sameness(ask), catalog.prices.order_minor)
        if key not in self._stacks:
            self._stacks[key] = solve_stack(ask, catalog, self.rules, self.time_limit_s, explain=False)
        return self._stacks[key]

    def _check(self, found: Solved, ask: Ask, catalog: Catalog) -> None:
        """Every rule's check of a build, once for all demands that ask for the same."""
        key = (sameness(ask), found.build, found.price_minor, catalog.prices.order_minor)
        if found.build is not None and key not in self._checked:
            check(found.build, found, ask, catalog, self.rules)
            self._checked.add(key)

    def _stack(self, ask: Ask) -> Outcome:
        found = self.stack(ask, self.catalog)
        self._check(found, ask, self.catalog)
        builds = () if found.build is None else ((1, found.build),)
        refused = ask if found.status == "cannot be met" else None
        return Outcome(found.status, found.price_minor, found.bound_minor, builds, refused)

    def solved_order(self, asked: Asked) -> Order | None:
        """The cheapest order of all stacks that can be met, checked; none: there is none."""
        return self._solved(asked).order

    def _solved(self, asked: Asked) -> SolvedOrder:
        found, at = solve_discounted(
            asked.order, self.catalog, self.rules, self.time_limit_s, lambda ask, catalog, *_: self.stack(ask, catalog)
        )
        for ask, some in zip(asked.asks, found.stacks, strict=True):
            for _, one in some:
                self._check(one, ask, at)
        if found.order is not None:
            breaches = verify_order(found.order, asked.order, at, self.rules)
            if breaches:
                raise CheckFailed(asked.asks[0], breaches, found.order)
        return found

    def _order(self, asked: Asked) -> Outcome:
        found = self._solved(asked)
        refused = next(
            (a for a, some in zip(asked.asks, found.stacks, strict=True) if some[0][1].status == "cannot be met"), None
        )
        builds = tuple((copies, one.build) for some in found.stacks for copies, one in some if one.build is not None)
        whole = len(builds) == sum(len(some) for some in found.stacks)
        if found.order is None or found.price_minor is None or not whole:
            return Outcome(found.status, None, None, refused=refused, problem=found.problem)
        return Outcome(found.status, found.price_minor, found.bound_minor, builds)

    def conflict(self, ask: Ask) -> ConflictWords | None:
        """The first smallest conflict that is found of a stack that can't be met; none: not in time."""
        key = sameness(ask)
        if key not in self._conflicts:
            self._conflicts[key] = self._first(ask)
        found = self._conflicts[key]
        sentences = {rule.id: rule.sentence for rule in self.rules}
        return None if found is None else conflict_words(found, ask, sentences)

    def _first(self, ask: Ask) -> Conflict | None:
        def enough(conflict: Conflict) -> None:
            raise _Enough(conflict)

        try:
            refusal(ask, self.catalog, self.rules, most=1, as_found=enough)
        except _Enough as found:
            return found.conflict
        return None


def why_not(found: Outcome, conflict: ConflictWords | None) -> Iterator[str]:
    """Why something can't be met, in sentences."""
    if found.problem:
        yield found.problem
    if conflict is not None:
        stated = "; ".join(one.text for one in conflict.statements)
        yield f"These cannot hold together: {stated}."
        if conflict.text:
            yield conflict.text
