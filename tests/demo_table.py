"""The demonstration uses the whole rule book: of every rule some stack of it shows what the rule decides.

A rule is exercised by a stack when, with the rule off and all others on, an order of that stack alone,
with its demand's cold spares, becomes cheaper, or can be met.  Other parts at the same price don't count:
they may be chance.
Run as `python -m tests.demo_table` it prints the table; exit code 1 when a rule is exercised by nothing
and no reason for that is known.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tabulate import tabulate

from configurator import api, packaged
from configurator.catalog import Catalog
from configurator.engine.order import solve_order
from configurator.engine.search import solve_stack
from configurator.rule import Rule
from configurator.setting import Ask, OrderAsk
from configurator.solved import Solved, Status
from configurator_rules import RULES

DEMANDS = ("main.yaml", "impossible.yaml", "styles.yaml")

EXERCISED_BY: dict[str, str] = {
    "ports.all_served": "Records office",
    "ports.headroom": "Water tower",
    "ports.once": "Ticket box",
    "ports.shared": "Ticket box",
    "ports.block": "Media laboratory",
    "ports.roles": "Exchange campus",
    "ports.speed": "Workshop",
    "ports.connector": "Records office",
    "ports.poe_class": "Exchange campus",
    "ports.spread": "Wireless core",
    "ports.oversubscription": "Press office",
    "power.supplies_cover_load": "Sports hall",
    "power.derating": "Exchange campus",
    "power.poe_budget": "Workshop",
    "power.supply_loss": "Wireless core",
    "power.feed_loss": "Infirmary",
    "power.headroom": "Print shop",
    "power.supply_fits": "Records office",
    "power.supply_mix": "Sports hall",
    "power.fan_trays": "Observatory",
    "power.cord": "Records office",
    "power.circuit": "Exchange campus",
    "power.outlets": "Lecture hall row",
    "airflow.one_direction": "Exchange campus",
    "airflow.as_asked": "Machine room row",
    "stacking.size": "Machine room row",
    "stacking.units_asked": "Attic",
    "stacking.members": "Pilot room",
    "stacking.rate": "Lecture hall row",
    "stacking.topology": "Exchange campus",
    "stacking.distance": "Far laboratory",
    "stacking.cables": "Pilot room",
    "stacking.adapter": "Pilot room",
    "twinax.length": "Wireless core",
    "twinax.passive": "Records office",
    "modules.fits": "Pilot room",
    "modules.matrix": "Water tower",
    "modules.optic_power": "Water tower",
    "modules.reach": "Observatory",
    "modules.attenuator": "Water tower",
    "modules.far_end": "Observatory",
    "modules.single_fibre": "Gatehouse",
    "modules.both_ends": "Gatehouse",
    "modules.patch_lead": "Print shop",
    "modules.split": "Water tower",
    "licences.features": "Observatory",
    "licences.port_features": "Records office",
    "licences.capable": "Recording studio",
    "licences.fits": "Infirmary",
    "licences.term": "Front desk",
    "licences.subscription": "Front desk",
    "licences.release": "Observatory",
    "support.contract": "Wireless core",
    "support.fits": "Library, floor 2",
    "support.level": "Exchange campus",
    "support.term": "Sluice",
    "support.country": "Exchange campus",
    "support.distance": "Wireless core",
    "support.failed_parts": "Archive",
    "support.end": "Sluice",
    "support.alike": "Library, floor 2",
    "support.optics": "Courtyard, north and south",
    "racking.space": "Pilot room",
    "racking.depth": "Ticket box",
    "racking.weight": "Sports hall",
    "racking.kit": "Library, floor 2",
    "racking.blanks": "Records office",
    "racking.lugs": "Courtyard, north and south",
    "site.inlet_air": "Exchange campus",
    "site.altitude": "Observatory",
    "site.noise": "Sluice",
    "site.heat": "Hall of residence",
    "site.ups": "Archive",
    "site.circuit": "Boathouse",
    "ordering.complete": "Greenhouse",
    "ordering.priced": "Library, floor 2",
    "ordering.currency": "Lakeside station",
    "ordering.withdrawn": "Science building",
    "ordering.region": "Boathouse",
    "ordering.marks": "Exchange campus",
    "ordering.bought_as": "Tower",
    "ordering.delivery": "Mountain hut",
    "ordering.packs": "Records office",
    "ordering.least": "Water tower",
    "ordering.spares": "Sports hall",
}
"""By rule: a stack of one of the demands, one that is quickly solved without the rule."""

ONLY_IN_SCENARIOS: dict[str, str] = {
    "power.input_voltage": "a supply has no output at a voltage that it doesn't work at, so nobody would buy it there",
    "stacking.ports": "every type of the catalog that stacks has ports for two links",
    "ordering.valid": "a price list that isn't valid on the order date is refused when it is read",
}
"""By rule: why no stack of the demonstration can show it."""


@dataclass(frozen=True)
class Outcome:
    """What comes of an order."""

    status: Status
    price_minor: int | None

    def __str__(self) -> str:
        return self.status if self.price_minor is None else f"{self.price_minor / 100:.2f}"


@cache
def catalog() -> Catalog:
    """The packaged catalog, read once."""
    return api.load_catalog()


@cache
def orders() -> dict[str, OrderAsk]:
    """Each stack's own order by its name, of all packaged demands."""
    found: dict[str, OrderAsk] = {}
    for name in DEMANDS:
        file = Path(packaged.demand_file()).with_name(name)
        asked = api.load_demand(file, catalog(), api.order_day(demonstration=True))
        for ask in asked.asks:
            assert ask.stack.name not in found, f"two stacks of the demonstration are called {ask.stack.name}"
            found[ask.stack.name] = OrderAsk((ask,), asked.order.spares, asked.order.statements)
    return found


def outcome(stack: str, rules: tuple[Rule, ...]) -> Outcome:
    """What comes of one stack's order under these rules; why it can't be met isn't looked for."""
    solved = solve_order(orders()[stack], catalog(), rules, engine=_unexplained)
    return Outcome(solved.status, solved.price_minor if solved.status == "cheapest" else None)


def _unexplained(ask: Ask, parts: Catalog, rules: tuple[Rule, ...], limit_s: float | None) -> Solved:
    return solve_stack(ask, parts, rules, limit_s, explain=False)


@cache
def with_all(stack: str) -> Outcome:
    """What comes of one stack's order under all rules."""
    return outcome(stack, RULES)


def without(stack: str, rule_id: str) -> Outcome:
    """What comes of one stack's order under all rules but one."""
    return outcome(stack, tuple(rule for rule in RULES if rule.id != rule_id))


def exercises(stack: str, rule_id: str) -> bool:
    """Whether a rule decides something about a stack's order: without it, it is cheaper or can be met."""
    on, off = with_all(stack), without(stack, rule_id)
    if off.price_minor is None:
        return False
    return on.price_minor is None or off.price_minor < on.price_minor


def main() -> int:
    """Prints the stack that shows each rule; 1 when one shows nothing."""
    cells, bare = [], 0
    for rule in RULES:
        stack, why = EXERCISED_BY.get(rule.id), ONLY_IN_SCENARIOS.get(rule.id, "")
        shown = stack is not None and exercises(stack, rule.id)
        bare += not shown and not why
        prices = (str(with_all(stack)), str(without(stack, rule.id))) if stack is not None else ("", "")
        cells.append((rule.id, stack or "none", *prices, why if why or shown else "BLANK"))
    print(tabulate(cells, headers=("rule off", "stack", "with it", "without it", ""), disable_numparse=True))
    print(f"\n{len(RULES)} rules, {len(ONLY_IN_SCENARIOS)} in scenarios only, {bare} blanks")
    return 1 if bare else 0


if __name__ == "__main__":
    sys.exit(main())
