"""Why a demand cannot be met: a smallest set of statements that cannot hold together, and the rules that forbid it.

A statement is set aside by solving the demand without it; a rule, by solving without that rule.
`unknown` counts as possible, and the conflict is then not called smallest.
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from configurator.argument import argument
from configurator.book import Book
from configurator.catalog import Catalog
from configurator.kinds import kinds_of
from configurator.model import StackModel
from configurator.relax import droppable, without
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Conflict

if TYPE_CHECKING:
    from configurator.search import Search

ENOUGH_S = 20.0  # of looking for a conflict where the user set no limit


def find_conflicts(
    ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], deadline: float | None = None
) -> tuple[Conflict, ...]:
    """One smallest conflict of a demand that is known to be impossible."""
    return (_Conflict(ask, catalog, rules, deadline or time.monotonic() + ENOUGH_S).found(),)


class _Conflict:
    def __init__(self, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], deadline: float) -> None:
        self.ask = ask
        self.catalog = catalog
        self.rules = rules
        self.deadline = deadline
        self.proved = True

    def search(self, ask: Ask, rules: tuple[Rule, ...]) -> tuple[bool, Search]:
        """Whether some build meets the demand under these rules; prices play no part."""
        from configurator.search import Search

        book = Book(rules, self.catalog)
        # what lies only in boxes has to come out of one that is bought: prices off, nothing would be bought
        search = Search(StackModel(book, ask, priced=book.boxed_only(ask.setting)), self.deadline)
        status = search.run()[0]
        if status == "unknown":
            self.proved = False
        return status != "impossible", search

    def found(self) -> Conflict:
        """Statements by setting each aside in turn, then the rules without which they could hold."""
        aside: set[str] = set()
        names = droppable(self.ask)
        for key in names:
            relaxed = without(self.ask, frozenset({*aside, key}))
            if not kinds_of(relaxed):
                continue  # a demand for nothing can always be met
            if not self.search(relaxed, self.rules)[0]:
                aside.add(key)
        core = without(self.ask, frozenset(aside))
        statements = tuple(key for key in self.ask.statements if key in names and key not in aside)
        text, named = argument(self.search(core, self.rules)[1].model)
        blocking = tuple(r.id for r in self.rules if r.id in named or self._alone_forbids(r, core))
        return Conflict(statements, blocking, text, self.proved)

    def _alone_forbids(self, rule: Rule, core: Ask) -> bool:
        """Whether the statements could hold if this one rule were not."""
        if time.monotonic() > self.deadline:
            self.proved = False
            return False
        rest = tuple(other for other in self.rules if other is not rule)
        possible, search = self.search(core, rest)
        # a rule without which nothing at all is served only says that what is asked is asked
        return possible and search.serves
