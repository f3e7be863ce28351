"""Cheapest orders of inputs that differ a little, for comparing them."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from configurator.catalog import Catalog, CatalogFile, PriceList
from configurator.engine.order import sameness
from configurator.engine.search import solve_stack
from configurator.engine.tiers import solve_discounted
from configurator.errors import BadInput
from configurator.parts import Parts
from configurator.reading import demand_from
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved, Status
from configurator.verify import CheckFailed, verify, verify_order


@dataclass(frozen=True)
class Technical:
    """A technical catalog without its prices."""

    parts: Parts
    files: tuple[CatalogFile, ...]
    name: str = ""


@dataclass(frozen=True)
class Inputs:
    """All that an order is made from, besides the rules."""

    demand: str  # text of its file
    date: date
    catalog: Technical
    prices: PriceList


@dataclass(frozen=True)
class Found:
    """The cheapest order of some inputs."""

    status: Literal[Status, "not by itself", "not tried"]
    price_minor: int | None = None
    why: str = ""  # there is none


class Pricer:
    """Cheapest orders, checked; stacks that ask for the same of the same catalog are solved once."""

    def __init__(self, rules: tuple[Rule, ...]) -> None:
        self._rules = rules
        self._catalogs: dict[tuple[int, int, date | None], Catalog] = {}
        self._kept: list[Inputs] = []  # so that the id of what they hold stands for it
        self._stacks: dict[tuple[int, Hashable], Solved] = {}
        self._orders: dict[tuple[str, date, int, int], Found] = {}

    def found(self, inputs: Inputs) -> Found:
        """The cheapest order of some inputs."""
        self._kept.append(inputs)
        key = (inputs.demand, inputs.date, id(inputs.catalog), id(inputs.prices))
        if key not in self._orders:
            self._orders[key] = self._solved(inputs)
        return self._orders[key]

    def catalog(self, inputs: Inputs) -> Catalog:
        """Catalog and price list together, the same each time so that what was learnt of it serves again."""
        prices, discounts = inputs.prices, inputs.prices.discounts
        key = (id(inputs.catalog), id(prices), None if discounts is None else inputs.date)
        if key not in self._catalogs:
            own = inputs.catalog
            if discounts is not None:
                prices = replace(prices, discounts=replace(discounts, day=inputs.date))
            self._catalogs[key] = Catalog(own.parts, prices, own.name, own.files)
        return self._catalogs[key]

    def _solved(self, inputs: Inputs) -> Found:
        catalog = self.catalog(inputs)
        try:
            asked = demand_from(inputs.demand, catalog, inputs.date)
        except BadInput as error:
            return Found("not by itself", why="; ".join(dict.fromkeys(one.text for one in error.problems[:3])))
        solved, catalog = solve_discounted(asked.order, catalog, self._rules, engine=self._stack)
        for ask, copies in zip(asked.asks, solved.stacks, strict=True):
            for _, one in copies:
                if one.build is None:
                    return Found(solved.status, why=f"no build for {ask.stack.name}")
                if wrong := verify(one.build, ask, catalog, self._rules):
                    raise CheckFailed(ask, wrong, one.build)
        if solved.problem or solved.order is None:
            return Found(solved.status, why=solved.problem)
        if wrong := verify_order(solved.order, asked.order, catalog, self._rules):
            raise CheckFailed(asked.asks[0], wrong, solved.order)
        return Found(solved.status, solved.price_minor)

    def _stack(self, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None) -> Solved:
        key = (id(catalog), sameness(ask))
        if key not in self._stacks:
            self._stacks[key] = solve_stack(ask, catalog, rules, time_limit_s, explain=False)
        return self._stacks[key]
