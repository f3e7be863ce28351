"""One model for demands that differ in what they want served: built once, asked often.

Units, links and what they can carry depend on neither the number of devices nor the limits on a stack's
counts, so a frame is built for everything that a demand wants served, and asked with less.
What is learnt from a placement that fails holds for every demand.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import fields, replace

from configurator.book import Book
from configurator.engine.columns import signs
from configurator.engine.model import StackModel
from configurator.engine.search import Search
from configurator.engine.solver import IntegerModel
from configurator.kinds import kinds_of
from configurator.setting import Ask


class Frame:
    """The model of a demand; of its own statements it holds none."""

    def __init__(self, book: Book, ask: Ask, *, priced: bool = False) -> None:
        """`priced` off: everything is bought one by one, and what boxes hold is left out of account."""
        self.stack = StackModel(book, ask, priced=priced, asked=False)
        self._kinds = self.stack.kinds
        self._bounds = list(self.stack.model.bounds)
        self._rows = list(self.stack.model.rows)
        self._learnt = len(self.stack.capacity_rows)

    def search(self, ask: Ask, deadline: float | None = None) -> tuple[str, Search]:
        """Whether a demand for no more than what the frame serves can be met, and the search that found it."""
        stack = self.stack
        asked = {(kind.statement, kind.powered): kind for kind in kinds_of(ask)}
        stack.kinds = tuple(asked.pop((kind.statement, kind.powered), replace(kind, count=0)) for kind in self._kinds)
        if asked:
            raise ValueError(f"the frame serves no {', '.join(statement for statement, _ in asked)}")
        aside = frozenset(index for index, kind in enumerate(stack.kinds) if not kind.count)
        stack.ask = ask
        stack.rule_rows = [row for _, row in stack.book.limits(ask)]
        for column in stack.columns:
            column.limits = signs(stack.rule_rows, column.fitout)
        stack.model = IntegerModel(list(self._bounds), list(self._rows))
        for var, offer in zip(stack.q, stack.offers.offers, strict=True):
            stack.model.bounds[var] = (0, stack.kinds[offer.kind].count)
        for weights, carried in stack.capacity_rows[self._learnt :]:
            stack.bind_weights(weights, carried)
        stack.asked_rows(aside)
        search = Search(stack, deadline)
        return search.run()[0], search


class Frames:
    """Frames of one demand, from the cheapest to build to the one that knows boxes.

    Where some parts lie only in the boxes of others, a demand that can't be met even if they were sold
    can't be met; one that is met without them is met; only between these do boxes have to be bought.
    """

    def __init__(self, book: Book, ask: Ask) -> None:
        self.book = book
        self.ask = ask
        self._made: dict[str, Frame] = {}

    def search(self, ask: Ask, deadline: float | None = None) -> tuple[str, Search]:
        """Whether a demand for no more than what is framed can be met, and the search that decided it."""
        if self.book.boxed_only(ask.setting):
            status, search = self._frame("as if sold").search(ask, deadline)
            if status == "impossible":
                return status, search
            status, search = self._frame("sold").search(ask, deadline)
            if status in ("impossible", "unknown"):
                return self._frame("with boxes").search(ask, deadline)
            return status, search
        return self._frame("sold").search(ask, deadline)

    def _frame(self, kind: str) -> Frame:
        if kind not in self._made:
            book = self.book.generously if kind == "as if sold" else self.book
            self._made[kind] = Frame(book, self.ask, priced=kind == "with boxes")
        return self._made[kind]


ARRANGING = ("units_at_least", "units_at_most", "stacking_mbps", "rack_positions", "between_units_m")
"""What of a stack's wishes arrangements depend on; else a frame knows the setting, and which limits there are."""


def framed(book: Book, ask: Ask) -> tuple[Hashable, Ask]:
    """What a demand's frame depends on, and the demand that it is built for: with all that it ever wanted served."""
    whole = replace(ask, dropped=frozenset(key for key in ask.dropped if "[" not in key))
    others = tuple(
        getattr(ask, one.name) for one in fields(ask) if one.name not in ("stack", "statements", "dropped", "setting")
    )
    arranging = tuple(getattr(ask.stack, name) for name in ARRANGING)
    limiting = tuple(rule for rule, row in book.limits(ask) if row.fitouts or row.only_if)
    return (ask.setting, whole.dropped, others, arranging, tuple(book.accords(ask)), limiting), whole
