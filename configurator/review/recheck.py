"""The figures of a conflict computed anew from the catalog, in plain Python and without the solver.

Shares nothing with `certificate` but the fit-outs that the catalog and the rules allow: what a unit
carries is found port by port here, and choices of units are all written out.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations_with_replacement
from math import comb

from configurator.answer_refusal import ConflictWords, ProofWords, SumWords
from configurator.book import Book
from configurator.catalog import Catalog
from configurator.conflicts.argument import argued
from configurator.conflicts.relax import droppable, without
from configurator.engine.columns import Column
from configurator.engine.model import StackModel, Together
from configurator.rule import Row, Rule
from configurator.setting import Ask

MOST_CHOICES = 300_000  # written out one by one


def recheck(conflict: ConflictWords, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[str]:
    """What is wrong with a conflict's figures; nothing where all are as stated."""
    named = {given.key for given in conflict.statements}
    core = without(ask, frozenset(droppable(ask)) - named)
    book = Book(rules, catalog)
    yield from _words(conflict, ask, rules)
    why, model = argued(book, core)
    if why.text != conflict.text:
        yield f"it tells something else than the catalog and the rules: {why.text}"
    if conflict.proof is None:
        return
    again = _Again(model, conflict.proof)
    yield from again.wrong_figures()
    if not again.proves():
        yield "the figures do not prove that the statements can't hold together"


def _words(conflict: ConflictWords, ask: Ask, rules: tuple[Rule, ...]) -> Iterator[str]:
    """Statements and rules that are not as they are told."""
    sentences = {rule.id: rule.sentence for rule in rules}
    for rule in conflict.rules:
        if sentences.get(rule.id) != rule.sentence:
            yield f"no rule {rule.id} says this: {rule.sentence}"
    for given in (*conflict.statements, *(one for other in conflict.alike for one in other)):
        said = ask.statements.get(given.key)
        if said is None or (said.text, said.ref, said.assumed) != (given.text, given.ref, given.assumed):
            yield f"the demand has no such statement: {given.text}"


class _Again:
    def __init__(self, model: StackModel, proof: ProofWords) -> None:
        self.model = model
        self.proof = proof
        self.place = {(kind.statement, kind.powered): index for index, kind in enumerate(model.kinds)}
        self.weights = [self._weights(one) for one in proof.sums]
        self.carried = [
            [self._carried(one, weights, column) for column in model.columns]
            for one, weights in zip(proof.sums, self.weights, strict=True)
        ]

    def _weights(self, one: SumWords) -> list[int]:
        weights = [0] * len(self.model.kinds)
        for kind in one.weighed:
            index = self.place.get((kind.statement, kind.powered))
            if index is not None:
                weights[index] = kind.weight
        return weights

    # --- figures ------------------------------------------------------------------------------

    def wrong_figures(self) -> Iterator[str]:
        """Counts, sums and capacities that are not as stated."""
        for one, weights, carried in zip(self.proof.sums, self.weights, self.carried, strict=True):
            for kind in one.weighed:
                index = self.place.get((kind.statement, kind.powered))
                count = None if index is None else self.model.kinds[index].count
                if count != kind.count:
                    yield f"{kind.statement}: {kind.count} stated, {count or 0} asked"
            asked = self._asked(weights)
            if asked != one.asked:
                yield f"together {one.asked} stated, {asked} asked"
            found = [(self._families(t), self.model.most_units(t), self._most(t, carried)) for t in self._ways()]
            stated = [(way.families, way.units, way.each) for way in one.carried]
            if sorted(found) != sorted(stated):
                yield f"units carry {sorted(found)}, stated {sorted(stated)}"

    def _asked(self, weights: list[int]) -> int:
        return sum(weight * kind.count for weight, kind in zip(weights, self.model.kinds, strict=True))

    def _ways(self) -> list[Together]:
        return self.model.togethers()

    @staticmethod
    def _families(together: Together) -> tuple[str, ...]:
        return () if together[1] is None else together[1].families

    def _able(self, together: Together) -> list[int]:
        return [i for i, column in enumerate(self.model.columns) if self.model.suits(column, together)]

    def _most(self, together: Together, carried: list[int]) -> int:
        return max((carried[i] for i in self._able(together)), default=0)

    def _carried(self, one: SumWords, weights: list[int], column: Column) -> int:
        """The most weight on one unit: port by port, under each budget by itself, the least of these."""
        book, setting = self.model.book, self.model.setting
        left = []
        for budget in book.budgets:
            gives = budget.gives(column.fitout, setting, book.catalog)
            left.append(None if gives is None else gives - budget.takes(column.fitout, setting, book.catalog))
        if not one.shared_out and one.step_w is not None:
            names = [index for index, budget in enumerate(book.budgets) if budget.name == one.budget]
            return min(int((left[index] or 0) // (10 * one.step_w)) for index in names)
        return min(self._filled(weights, column, index, amount) for index, amount in [(None, None), *enumerate(left)])

    def _filled(self, weights: list[int], column: Column, budget: int | None, left: int | None) -> int:
        """The most weight on the ports of a unit, so much of one budget being left."""
        drawn: dict[int, int] = {0: 0}  # most weight by what is drawn
        for count, mask in column.slices:
            choices: dict[int, int] = {}  # draw by weight
            for bit in self.model.offers.bits(mask):
                offer = self.model.offers.offers[bit]
                draw = 0 if budget is None or left is None else offer.draws[budget]
                weight = weights[offer.kind]
                if weight:
                    choices[weight] = min(choices.get(weight, draw), draw)
            for _ in range(count if choices else 0):
                after = dict(drawn)
                for used, weight in drawn.items():
                    for more, draw in choices.items():
                        if left is None or used + draw <= left:
                            after[used + draw] = max(after.get(used + draw, 0), weight + more)
                drawn = _worth_keeping(after)
        return max(drawn.values())

    # --- the proof ------------------------------------------------------------------------------

    def proves(self) -> bool:
        """Whether every choice of whole units falls short, or breaks a limit that is named."""
        if not self.proof.sums and not self.proof.choices:  # what is asked breaks a limit by itself
            return any(self._broken(row, ()) for _, row in self._limits())
        return all(
            self._falls_short(together, units)
            for together in self._ways()
            for units in sorted({a.units for _, a, mine in self.model.arranged() if mine == together})
        )

    def _falls_short(self, together: Together, units: int) -> bool:
        able = self._able(together)
        asked = [self._asked(weights) for weights in self.weights]
        for wanted, carried in zip(asked, self.carried, strict=True):
            if units * self._most(together, carried) < wanted:
                return True
        # units that carry alike and take alike of every limit are one
        sorts = list({(*(c[i] for c in self.carried), *self._takes(i)): i for i in able}.values())
        if comb(len(sorts) + units - 1, units) > MOST_CHOICES:
            return False
        limits = [row for _, row in self._limits() if self._holds(row, together)]
        return all(
            any(sum(c[i] for i in choice) < wanted for wanted, c in zip(asked, self.carried, strict=True))
            or any(self._broken(row, choice) for row in limits)
            for choice in combinations_with_replacement(sorts, units)
        )

    def _limits(self) -> list[tuple[int, Row]]:
        """Rows of the rules that are named, from above."""
        rows = enumerate(zip(self.model.row_rules, self.model.rule_rows, strict=True))
        return [(index, row) for index, (rule, row) in rows if rule in self.proof.limits and row.sense == "<="]

    def _holds(self, row: Row, together: Together) -> bool:
        return row.agreed is None or self.model.accords[together[0]].get(row.agreed[0]) == row.agreed[1]

    def _takes(self, column: int) -> list[tuple[int, bool]]:
        """What a unit takes of each limit, and whether it makes the limit hold."""
        fitout = self.model.columns[column].fitout
        return [
            (row.fitouts(fitout) if row.fitouts else 0, row.only_if is None or row.only_if(fitout))
            for _, row in self._limits()
        ]

    def _broken(self, row: Row, choice: tuple[int, ...]) -> bool:
        """Whether so many units, and what is asked, take more than a limit allows."""
        fitouts = [self.model.columns[column].fitout for column in choice]
        if row.only_if is not None and not any(row.only_if(fitout) for fitout in fitouts):
            return False
        takes = sum(row.fitouts(fitout) for fitout in fitouts) if row.fitouts else 0
        for index, kind in enumerate(self.model.kinds):
            plugs = [offer.plug for offer in self.model.offers.offers if offer.kind == index]
            least = min((row.plugs(plug) for plug in plugs), default=0) if row.plugs else 0
            takes += kind.count * ((row.kinds(kind) if row.kinds else 0) + least)
        return takes - row.eased > row.bound


def _worth_keeping(drawn: dict[int, int]) -> dict[int, int]:
    """Only what carries more than everything that draws less."""
    kept: dict[int, int] = {}
    best = -1
    for used in sorted(drawn):
        if drawn[used] > best:
            best = kept[used] = drawn[used]
    return kept
