"""Answers to one demand asked in several ways: stacks that ask for the same are solved once."""

from __future__ import annotations

from collections.abc import Hashable

from configurator import api
from configurator.answer import Answer
from configurator.buying.styles import bought, is_bundle
from configurator.catalog import Catalog
from configurator.engine.order import sameness
from configurator.engine.search import solve_stack
from configurator.parts import Box
from configurator.reading import Asked
from configurator.reasoning.checked import check
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved


class Orders:
    """Of one catalog and rule book."""

    def __init__(self, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None) -> None:
        self.catalog, self.rules, self.time_limit_s = catalog, rules, time_limit_s
        self._stacks: dict[tuple[int, Hashable], Solved] = {}
        self._checked: set[int] = set()

    def answer(self, asked: Asked) -> Answer:
        """The cheapest order, checked, or why some stack can't be met."""
        return api.solve(asked, self.catalog, rules=self.rules, time_limit_s=self.time_limit_s, engine=self._stack)

    def stack(self, ask: Ask) -> Solved:
        """The cheapest build of one stack by itself, checked."""
        found = self._stack(ask, self.catalog, self.rules, self.time_limit_s)
        if found.build is not None and id(found) not in self._checked:
            self._checked.add(id(found))  # kept in `_stacks`, so its id is its own
            check(found.build, found, ask, self.catalog, self.rules)
        return found

    @property
    def stacks(self) -> dict[Hashable, Solved]:
        """What was solved at the catalog's own prices, by `sameness`."""
        return {key: one for (catalog, key), one in self._stacks.items() if catalog == id(self.catalog)}

    def _stack(self, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None) -> Solved:
        key = (id(catalog), sameness(ask))
        if key not in self._stacks:
            free = self._stacks.get((id(catalog), sameness(bought(ask, "either", ()))))
            # what is cheapest of all, and in this style already, is cheapest in it; what nobody can build is in none
            serves = free is not None and (free.status == "cannot be met" or self._in_style(free, ask))
            self._stacks[key] = free if free is not None and serves else solve_stack(ask, catalog, rules, time_limit_s)
        return self._stacks[key]

    def _in_style(self, found: Solved, ask: Ask) -> bool:
        """Whether a proved build is bought as a stack asks."""
        if found.status != "cheapest" or found.build is None:
            return False
        of_types = {one.unit: one.bought_as for one in ask.setting.bought_as_by_type}
        for unit in found.build.units:
            asked = of_types.get(unit.unit_type, ask.setting.bought_as)
            if asked != "either" and is_bundle(self.catalog.get(unit.box, Box)) != (asked == "bundles"):
                return False
        return True
