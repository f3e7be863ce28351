"""A rule book as the engine asks it: one question a form, answered by every rule that has something to say."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import replace
from itertools import product
from typing import Any, TypeVar

from configurator.catalog import Catalog
from configurator.fitout import Arrangement, Fitout, Ports
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import PortGroup, UnitType
from configurator.rule import Budget, Need, Row, Rule, SpareNeed, Stage
from configurator.setting import Ask, OrderAsk, Setting, Watched, once

UNLIMITED = 10_000
T = TypeVar("T")


class Book:
    """The rules that apply to one catalog, sorted by form.

    Answers that hold for every demand are kept with the catalog, apart for each set of rules.
    """

    def __init__(self, rules: tuple[Rule, ...], catalog: Catalog) -> None:
        self.catalog = catalog
        self.rules = tuple(rule for rule in rules if rule.applies(catalog))
        self._stores: dict[str, dict[Any, Any]] = {}
        self._packed: frozenset[str] | None = None
        self._port_serves = [r.port_serves for r in self.rules if r.port_serves]
        self._port_takes = [r.port_takes for r in self.rules if r.port_takes]
        self._plug_serves = [r.plug_serves for r in self.rules if r.plug_serves]
        self._port_splits = [r.port_splits for r in self.rules if r.port_splits]
        self._port_holds = [r.port_holds for r in self.rules if r.port_holds]
        self._spreads = [r.spreads for r in self.rules if r.spreads]
        self._forbids_for = [r.forbids_for for r in self.rules if r.forbids_for]
        self._agrees = [r.agrees for r in self.rules if r.agrees]
        self._sells = [r.sells for r in self.rules if r.sells]
        self._spares = [r.spares for r in self.rules if r.spares]
        self._forbids_over = [r.forbids_over for r in self.rules if r.forbids_over]
        self._forbids_part = [r.forbids_part for r in self.rules if r.forbids_part]
        self._together = [r.together for r in self.rules if r.together]
        self._arranges = [r.arranges for r in self.rules if r.arranges]
        stages: tuple[Stage, ...] = ("type", "modules", "ports", "supplies", "fans")
        self._forbids = {s: [r.forbids[s] for r in self.rules if s in r.forbids] for s in stages}
        self.budgets = _merged([b for r in self.rules for b in r.budgets])
        self._limits = [(r.id, r.limits) for r in self.rules if r.limits]
        self.by_id = {rule.id: rule for rule in self.rules}
        self._requires = [(r.id, r.requires) for r in self.rules if r.requires]

    def cache(self, name: str, *forms: str) -> dict[Any, Any]:
        """A store that lives as long as the catalog, for the rules that take one of these forms.

        `forbids.supplies` is the form `forbids` at that stage, `requires.stack` that part of `requires`.
        """
        store = self._stores.get(name)
        if store is None:
            ids = tuple(rule.id for rule in self.rules if any(_takes(rule, form) for form in forms))
            store = self._stores[name] = self.catalog.cache(name).setdefault(ids, {})
        return store

    def made(
        self, name: str, forms: tuple[str, ...], key: Hashable, setting: Setting, make: Callable[[Setting], T]
    ) -> T:
        """What `make` gives under a setting: made once for all settings that are alike in what it reads of them."""
        return once(self.cache(name, *forms), key, setting, make)

    def port_serves(self, group: PortGroup, kind: Kind) -> bool:
        """Whether a port suits a kind, whatever is plugged in."""
        return all(says(group, kind, self.catalog) for says in self._port_serves)

    def port_takes(self, group: PortGroup, plug: Plug | None) -> bool:
        """Whether a port takes an optic or cable, or serves with nothing plugged in."""
        return all(says(group, plug, self.catalog) for says in self._port_takes)

    def plug_serves(self, plug: Plug | None, kind: Kind) -> bool:
        """Whether an optic or cable carries what a kind asks for."""
        return all(says(plug, kind, self.catalog) for says in self._plug_serves)

    def port_splits(self, group: PortGroup, plug: SplitPlug, kind: Kind) -> bool:
        """Whether a port split like this serves a kind on each of its ways."""
        return all(says(group, plug, kind, self.catalog) for says in self._port_splits)

    def port_holds(self, ports: Ports) -> int:
        """How many devices some ports hold."""
        return min([UNLIMITED, *(says(ports) for says in self._port_holds)])

    def spread(self, kind: Kind) -> int:
        """Over how many units at least a kind is spread."""
        return max([1, *(says(kind) for says in self._spreads)])

    def prices(self, setting: Setting) -> dict[str, int]:
        """Price of every part that may be on the bill.

        A part without a price that no rule forbids costs nothing: the rule about that is off.
        Settings in which the same parts are sold share one object.
        """
        store = self.cache("prices", "forbids_part")
        place = (id(store), "prices")
        known: tuple[object, dict[str, int]] | None = setting.found.get(place)
        if known is None:
            known = setting.found[place] = (store, self._prices(store, setting))
        return known[1]

    def _prices(self, store: dict[Any, Any], setting: Setting) -> dict[str, int]:
        def make(setting: Setting) -> dict[str, int]:
            found = {
                name: self.catalog.price_minor(name) or 0
                for name, part in self.catalog.by_id.items()
                if not any(says(part, setting, self.catalog) for says in self._forbids_part)
            }
            if setting.boxed_sold:
                boxed = {content.part for name in found for content in self.catalog.by_id[name].contents}
                found = {name: found.get(name, 0) for name in self.catalog.by_id if name in found or name in boxed}
            shared: dict[str, int] = store.setdefault((setting.boxed_sold, frozenset(found)), found)
            return shared

        if not isinstance(setting, Watched):
            return once(store, "", setting, make)
        prices = once(store, "", setting.bare, make)
        setting.note(("prices", id(store)), lambda other: id(self.prices(other)), id(prices))
        return prices

    def sold(self, part: str, setting: Setting) -> bool:
        """Whether a part may be on the bill."""
        return self.price_minor(part, setting) is not None

    def to_be_had(self, part: str, setting: Setting) -> bool:
        """Whether a part may be on the bill, or lies in the box of one that may."""
        return self.noted(("to be had", part), setting, lambda setting: part in self._all_to_be_had(setting))

    def boxed_only(self, setting: Setting) -> bool:
        """Whether some part is only to be had in the box of another."""
        return len(self._all_to_be_had(setting)) > len(self.prices(setting))

    def _all_to_be_had(self, setting: Setting) -> set[str]:
        store = self.cache("to be had", "forbids_part")
        place = (id(store), "to be had")
        known: tuple[object, set[str]] | None = setting.found.get(place)
        if known is None:
            sold = self.prices(setting)
            if id(sold) not in store:  # kept with the catalog, so that its id stands for it
                store[id(sold)] = {c.part for name in sold for c in self.catalog.by_id[name].contents} | set(sold)
            known = setting.found[place] = (store, store[id(sold)])
        return known[1]

    def price_minor(self, part: str, setting: Setting) -> int | None:
        """Price of a part that may be on the bill; none where it may not."""
        return self.noted(("price", part), setting, lambda setting: self.prices(setting).get(part))

    def noted(self, name: Hashable, setting: Setting, find: Callable[[Setting], T]) -> T:
        """What comes of all prices but says less, so that what is kept by it serves other prices too."""
        if not isinstance(setting, Watched):
            return find(setting)
        value = find(setting.bare)
        setting.note((name, id(self.cache("prices", "forbids_part"))), find, value)
        return value

    def allows(self, stage: Stage, fitout: Fitout, setting: Setting) -> bool:
        """Whether no rule forbids a fit-out that is decided up to this stage."""
        return not any(says(fitout, setting, self.catalog) for says in self._forbids[stage])

    def together(self, one: str, other: str) -> bool:
        """Whether units of two families may be in one stack."""
        return all(says(one, other, self.catalog) for says in self._together)

    def arranges(self, arrangement: Arrangement, ask: Ask) -> bool:
        """Whether a number of units may be linked like this."""
        return all(says(arrangement, ask, self.catalog) for says in self._arranges)

    def limits(self, ask: Ask) -> list[tuple[str, Row]]:
        """The rules' rows over the counts of a stack, each with the rule that says so."""
        return [(rule, row) for rule, limits in self._limits for row in limits(ask, self.catalog)]

    def accords(self, ask: Ask) -> list[tuple[tuple[str, str], ...]]:
        """Everything that all units of a stack could have in common: a choice for each topic, in every combination."""
        topics = [topic for agrees in self._agrees for topic in agrees(ask, self.catalog)]
        return list(product(*([(topic.name, choice) for choice in topic.choices] for topic in topics)))

    def quantities(self, part: str) -> tuple[int, int]:
        """An order takes a part in multiples of, and no fewer than, so many."""
        said = [sells(part, self.catalog) for sells in self._sells]
        return max([1, *(pack for pack, _ in said)]), max([1, *(least for _, least in said)])

    def packed(self) -> frozenset[str]:
        """Parts that an order can't take one by one."""
        if self._packed is None:
            store = self.cache("packed", "sells")
            if not store:
                store[""] = frozenset(part for part in self.catalog.by_id if self.quantities(part) != (1, 1))
            self._packed = store[""]
        return self._packed

    def spares(self, order: OrderAsk) -> list[SpareNeed]:
        """The cold spares that an order takes."""
        return [need for spares in self._spares for need in spares(order, self.catalog)]

    def unit_needs(self, fitout: Fitout, setting: Setting) -> Iterator[tuple[str, Need]]:
        """What comes along with a unit, with the rule that says so."""
        for rule, requires in self._requires:
            if requires.unit:
                for need in requires.unit(fitout, setting, self.catalog):
                    yield rule, self._suited(need, fitout.unit_type, setting)

    def _suited(self, need: Need, unit: UnitType | None, setting: Setting) -> Need:
        """A need without the recipes that a rule forbids for a unit of this type; none: for the stack."""
        if not self._forbids_for:
            return need

        def make(setting: Setting) -> tuple[tuple[str, ...], ...]:
            return tuple(
                recipe
                for recipe in need.recipes
                if not any(
                    says(self.catalog.by_id[part], unit, setting, self.catalog)
                    for part in dict.fromkeys(recipe)
                    for says in self._forbids_for
                )
            )

        key = (need.recipes, None if unit is None else unit.id)
        recipes = self.made("suited", ("forbids_for",), key, setting, make)
        return need if len(recipes) == len(need.recipes) else replace(need, recipes=recipes)

    def stack_needs(self, arrangement: Arrangement, setting: Setting) -> Iterator[tuple[str, Need]]:
        """What comes along with a stack."""
        for rule, requires in self._requires:
            if requires.stack:
                for need in requires.stack(arrangement, setting, self.catalog):
                    yield rule, self._suited(self._allowed(need), None, setting)

    def _allowed(self, need: Need) -> Need:
        """A need without the recipes that a rule forbids over its way."""
        if need.way_m is None or not self._forbids_over:
            return need
        by_id, way_m = self.catalog.by_id, need.way_m
        recipes = tuple(
            recipe
            for recipe in need.recipes
            if not any(says(by_id[part], way_m, self.catalog) for part in recipe for says in self._forbids_over)
        )
        return replace(need, recipes=recipes)

    def served_needs(self, kind: Kind, plug: Plug | None, setting: Setting) -> Iterator[tuple[str, Need]]:
        """What comes along with each served device."""
        for rule, requires in self._requires:
            if requires.served:
                for need in requires.served(kind, plug, setting, self.catalog):
                    yield rule, self._suited(need, None, setting)


def _takes(rule: Rule, form: str) -> bool:
    name, _, part = form.partition(".")
    found = getattr(rule, name)
    if not part or not found:
        return bool(found)
    return part in found if name == "forbids" else getattr(found, part) is not None


class MergedBudget:
    """Budgets that take and draw alike are one, of which a unit has the least that any gives."""

    def __init__(self, budgets: list[Budget]) -> None:
        self.name = budgets[0].name
        self.takes = budgets[0].takes
        self.draws = budgets[0].draws
        self._named = [(budget.name, budget.gives) for budget in budgets]
        self._gives = [budget.gives for budget in budgets]

    def gives(self, fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
        """The least that any of the budgets gives; none where none binds."""
        amounts = [gives(fitout, setting, catalog) for gives in self._gives]
        return min((amount for amount in amounts if amount is not None), default=None)

    def binding(self, fitout: Fitout, setting: Setting, catalog: Catalog) -> str:
        """The name of the budget that gives least."""
        said = [(gives(fitout, setting, catalog), name) for name, gives in self._named]
        return min(((amount, name) for amount, name in said if amount is not None), default=(0, self.name))[1]


def _merged(budgets: list[Budget]) -> tuple[MergedBudget, ...]:
    alike: dict[tuple[object, object], list[Budget]] = {}
    for budget in budgets:
        alike.setdefault((budget.takes, budget.draws), []).append(budget)
    return tuple(MergedBudget(group) for group in alike.values())
