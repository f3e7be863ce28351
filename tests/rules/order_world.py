"""Small orders for the tests of rules about the order as a whole."""

from __future__ import annotations

from typing import Any

from configurator.build import Build, Copies, Order
from configurator.catalog import Catalog
from configurator.demand import Spares
from configurator.rule import Rule
from configurator.setting import OrderAsk
from tests.rules.worlds import bought, make_ask


def order(*stacks: tuple[int, Build], spares: list[dict[str, Any]] | None = None, **ordered: int) -> Order:
    """These builds with their copies, spare parts on the shelf, and the quantities on the order."""
    copies = tuple(Copies(build=one, copies=count) for count, one in stacks)
    return Order.model_validate({"stacks": copies, "spares": spares or [], "ordered": bought(**ordered)})


def spare(part: str, count: int, stands_for: str | None = None, statement: str = "spares[0]") -> dict[str, Any]:
    """So many of a part on the shelf."""
    return {"statement": statement, "part": part, "stands_for": stands_for or part, "count": count}


def order_ask(*spares: dict[str, Any], copies: int = 1) -> OrderAsk:
    """One stack called closet, and these statements about cold spares."""
    one = make_ask(ports=[{"count": 1}], copies=copies)
    return OrderAsk((one,), tuple(Spares.model_validate(said) for said in spares))


def order_breaches(rule: Rule, order: Order, asked: OrderAsk, catalog: Catalog) -> list[str]:
    """What the rule finds wrong with an order."""
    return [breach.text for breach in rule.check_order(order, asked, catalog)]
