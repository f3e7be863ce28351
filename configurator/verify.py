"""The independent checks: every rule looks at a finished build, with plain Python and no solver."""

from __future__ import annotations

from collections.abc import Iterable

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.rule import Breach, Rule
from configurator.setting import Ask, OrderAsk


class CheckFailed(Exception):
    """A solved build that a check rejects: the tool's own fault, never the user's."""

    def __init__(self, ask: Ask, breaches: Iterable[tuple[str, Breach]], build: Build | Order) -> None:
        self.ask = ask
        self.breaches = tuple(breaches)
        self.build = build
        super().__init__(f"{ask.stack.name}: " + "; ".join(f"{rule}: {breach.text}" for rule, breach in self.breaches))


def verify(build: Build, ask: Ask, catalog: Catalog, rules: Iterable[Rule]) -> tuple[tuple[str, Breach], ...]:
    """Everything that the rules' checks find wrong with a build, by rule id; empty when it is valid."""
    return tuple(
        (rule.id, breach) for rule in rules if rule.applies(catalog) for breach in rule.check(build, ask, catalog)
    )


def verify_order(
    order: Order, asked: OrderAsk, catalog: Catalog, rules: Iterable[Rule]
) -> tuple[tuple[str, Breach], ...]:
    """Everything that the rules' checks find wrong with an order as a whole, by rule id."""
    return tuple(
        (rule.id, breach)
        for rule in rules
        if rule.applies(catalog)
        for breach in rule.check_order(order, asked, catalog)
    )
