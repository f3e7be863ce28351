"""One model for demands that differ in what they want served: built once, asked often.

Units, links and what they can carry depend on neither the number of devices nor the limits on a stack's
counts, so a frame is built for everything that a demand wants served, and asked with less.
What is learnt from a placement that fails holds for every demand.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import fields, replace

from configurator.book import Book
from configurator.demand import Stack
from configurator.engine.columns import signs
from configurator.engine.model import StackModel
from configurator.engine.search import Search
from configurator.engine.solver import IntegerModel
from configurator.fitout import Fitout
from configurator.kinds import kinds_of
from configurator.setting import Ask


class Frame:
    """The model of a demand; of its own statements it holds none."""

    def __init__(self, book: Book, ask: Ask, *, least: int = 1, priced: bool = False) -> None:
        """`priced` off: everything is bought one by one, and what boxes hold is left out of account.

        least -- units that may be asked for at least.
        """
        self.stack = StackModel(book, ask, priced=priced, asked=False, least=least)
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
        if any(getattr(ask.stack, name) is not None for name in FILTERED):
            for var, one in zip(stack.e, stack.arrangements, strict=True):
                if not stack.book.arranges(one.arrangement, ask):
                    stack.model.bounds[var] = (0, 0)
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

    def __init__(self, book: Book, ask: Ask, least: int = 1) -> None:
        """`least`: units that may be asked for at least."""
        self.book = book
        self.ask = ask
        self.least = least
        self._made: dict[str, Frame] = {}

    def search(self, ask: Ask, deadline: float | None = None) -> tuple[str, Search]:
        """Whether a demand for no more than what is framed can be met, and the search that decided it."""
        if self.book.boxed_only(ask.setting):
            status, search = self._frame("as if sold").search(ask.generously(), deadline)
            if status == "impossible" or (status != "unknown" and search.sold(ask)):
                return status, search
            status, search = self._frame("sold").search(ask, deadline)
            if status in ("impossible", "unknown"):
                return self._frame("with boxes").search(ask, deadline)
            return status, search
        return self._frame("sold").search(ask, deadline)

    def _frame(self, kind: str) -> Frame:
        if kind not in self._made:
            ask = self.ask.generously() if kind == "as if sold" else self.ask
            self._made[kind] = Frame(self.book, ask, least=self.least, priced=kind == "with boxes")
        return self._made[kind]


FILTERED = ("units_at_least", "units_at_most", "stacking_mbps")
"""What picks arrangements by their number of units and their mode alone: a frame has all of them."""
ARRANGING = ("rack_positions", "between_units_m")
"""What else of a stack's wishes arrangements depend on."""
GROWN = ("headroom_percent", "headroom_count", "headroom_uplinks_percent", "headroom_uplinks_count")
"""What changes numbers of devices only."""
SERVED_BY = ("ports", "devices", "uplinks")
OTHERS = tuple(sorted({one.name for one in fields(Ask)} - {"stack", "statements", "dropped", "setting", *GROWN}))


def framed(book: Book, ask: Ask, said: Ask) -> tuple[Hashable, Ask]:
    """What a demand's frame depends on, and the demand that it is built for: with all that it ever wanted.

    said -- the demand from which statements were set aside: its limits on counts are the frame's, and may
            have any bound as long as they say the same of unit types.
    """
    stack = ask.stack
    limits = Stack.model_fields.keys() - {*SERVED_BY, *FILTERED, *ARRANGING}
    aside = {name: getattr(said.stack, name) for name in limits if getattr(stack, name) is None}
    whole = replace(
        ask,
        stack=stack.model_copy(update={**aside, **dict.fromkeys(FILTERED)}),
        dropped=frozenset(key for key in ask.dropped if "[" not in key),
        **{name: getattr(said, name) for name in GROWN},
    )
    others = tuple(getattr(ask, name) for name in OTHERS)
    arranging = tuple(getattr(stack, name) for name in ARRANGING)
    by_type = [row for _, row in book.limits(whole) if row.by_type]
    types = tuple(signs(by_type, Fitout(unit)) for unit in book.catalog.parts.unit_types)
    return (ask.setting, whole.dropped, others, arranging, tuple(book.accords(ask)), types), whole
