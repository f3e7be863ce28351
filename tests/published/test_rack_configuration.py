"""The rack configuration problem (CSPLib problem 31), solved by the engine as stacks of units.

A rack model is a unit type with a supply built in, a port for each connector and nothing that draws
itself; a card is a device with stated watts at its port; the racks that are there are the largest
stack, linked by cables that cost nothing.  Watts are divided by ten, cards' and racks' alike, so that
every card stays within what an IEEE 802.3 port of class 4 feeds.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import highspy
import pytest
import yaml

from configurator.catalog import Catalog, PriceList, PriceRow
from configurator.demand import Stack
from configurator.engine.search import solve_stack
from configurator.parts import Parts
from configurator.setting import Ask, Setting
from configurator.solved import Solved
from configurator.verify import verify
from configurator_rules import RULES
from tests.published.figures import TABLES

SCALE = 10
INSTANCES: dict[str, dict[str, Any]] = yaml.safe_load((TABLES / "rack_configuration.yaml").read_text(encoding="utf-8"))
OURS = [name for name, said in INSTANCES.items() if said["source"] == "ours"]
PRINTED = [name for name, said in INSTANCES.items() if "printed_optimum" in said]


def catalog_of(instance: dict[str, Any]) -> Catalog:
    """Rack models as unit types of one family."""
    models = {f"rack {watts} W": (watts, connectors, price) for watts, connectors, price in instance["models"]}
    stacking = {"id": "link", "count": 2, "connector": "link", "speeds_mbps": [1000], "roles": ["stack"]}
    card_ports = {"id": "cards", "connector": "RJ45", "speeds_mbps": [1000], "poe_class": 4}
    parts = Parts.model_validate(
        {
            "families": [{"id": "racks", "largest_stack": instance["racks"]}],
            "unit_types": [
                {
                    "id": name,
                    "description": name,
                    "family": "racks",
                    "base_draw_w": 0,
                    "built_in_supply": f"supply {watts} W",
                    "ports": [card_ports | {"count": connectors}, stacking],
                }
                for name, (watts, connectors, _) in models.items()
            ],
            "boxes": [{"id": f"{name} box", "description": name, "unit": name} for name in models],
            "supplies": [
                {
                    "id": f"supply {watts} W",
                    "description": "built in",
                    "outputs": [{"from_v": 1, "to_v": 1000, "output_w": Decimal(watts) / SCALE}],
                }
                for watts, _, _ in models.values()
            ],
            "cables": [
                {
                    "id": "link cable",
                    "description": "costs nothing",
                    "kind": "stacking",
                    "length_m": 100,
                    "near": "link",
                    "far": "link",
                    "speeds_mbps": [1000],
                }
            ],
            # IEEE 802.3 clause 33, class 4
            "poe_classes": [{"poe_class": 4, "port_w": 30, "device_w": 25.5, "port_min_v": 50, "loop_ohm": 12.5}],
        }
    )
    costs = {"link cable": 0} | {f"{name} box": price for name, (_, _, price) in models.items()}
    rows = {
        part: PriceRow(part=part, price_minor=cost, status="active", lead_time_days=0) for part, cost in costs.items()
    }
    return Catalog(parts, PriceList("EUR", 2, issued=date(2025, 1, 1), valid_until=date(2025, 12, 31), rows=rows))


def ask_of(instance: dict[str, Any]) -> Ask:
    """Cards as devices."""
    devices = [
        {"kind": f"card {watts} W", "count": count, "port_w": Decimal(watts) / SCALE}
        for watts, count in instance["cards"]
    ]
    return Ask(Stack.model_validate({"name": "racks", "devices": devices}), Setting(order_date=date(2025, 6, 2)))


def solved(name: str) -> Solved:
    """The engine's answer, its build looked at by every check."""
    ask, catalog = ask_of(INSTANCES[name]), catalog_of(INSTANCES[name])
    found = solve_stack(ask, catalog, RULES)
    assert found.build is not None
    assert verify(found.build, ask, catalog, RULES) == ()
    return found


def second_opinion(instance: dict[str, Any], *, connectors_count: bool = True) -> int | None:
    """The optimum by a general solver, from a model that shares nothing with the engine: racks one by one."""
    models, cards = instance["models"], instance["cards"]
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("mip_rel_gap", 0.0)
    is_model = [[solver.addBinary() for _ in models] for _ in range(instance["racks"])]
    holds = [[solver.addVariable(0, count, type=highspy.HighsVarType.kInteger) for _, count in cards] for _ in is_model]
    for rack, held in zip(is_model, holds, strict=True):
        watts = sum(card * number for (card, _), number in zip(cards, held, strict=True))
        solver.addConstr(sum(rack) <= 1)
        solver.addConstr(watts <= sum(most * chosen for (most, _, _), chosen in zip(models, rack, strict=True)))
        if connectors_count:
            connectors = sum(most * chosen for (_, most, _), chosen in zip(models, rack, strict=True))
            solver.addConstr(sum(held) <= connectors)
    for index, (_, count) in enumerate(cards):
        solver.addConstr(sum(held[index] for held in holds) == count)
    prices = [[price for _, _, price in models] for _ in is_model]
    for rack, costs, after, later in zip(is_model, prices, is_model[1:], prices[1:], strict=False):
        # racks are alike: dearer ones first
        solver.addConstr(
            sum(p * x for p, x in zip(costs, rack, strict=True))
            >= sum(p * x for p, x in zip(later, after, strict=True))
        )
    solver.minimize(
        sum(p * x for costs, rack in zip(prices, is_model, strict=True) for p, x in zip(costs, rack, strict=True))
    )
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return round(float(solver.getObjectiveValue()))


@pytest.mark.parametrize("name", PRINTED)
def test_the_engine_finds_the_printed_optimum(name: str) -> None:
    found = solved(name)
    assert found.status == "cheapest"
    assert found.price_minor == INSTANCES[name]["printed_optimum"]


@pytest.mark.parametrize("name", INSTANCES)
def test_a_general_solver_finds_the_same_optimum(name: str) -> None:
    found = solved(name)
    assert found.status == "cheapest"
    assert found.price_minor == found.bound_minor == second_opinion(INSTANCES[name])


@pytest.mark.parametrize("name", OURS)
def test_in_cases_of_our_own_connectors_bind(name: str) -> None:
    free = second_opinion(INSTANCES[name], connectors_count=False)
    bound = second_opinion(INSTANCES[name])
    assert free is not None
    assert bound is not None
    assert free < bound


@pytest.mark.parametrize("name", OURS)
def test_in_cases_of_our_own_prices_are_not_in_proportion_to_watts(name: str) -> None:
    assert len({Decimal(price) / watts for watts, _, price in INSTANCES[name]["models"]}) > 1


def test_a_rack_too_few_cannot_hold_the_cards() -> None:
    instance = INSTANCES["few connectors"]
    least = min(n for n in range(1, instance["racks"] + 1) if second_opinion(instance | {"racks": n}) is not None)
    short = instance | {"racks": least - 1}
    assert solve_stack(ask_of(short), catalog_of(short), RULES).status == "cannot be met"
    assert solve_stack(ask_of(instance), catalog_of(instance | {"racks": least}), RULES).status == "cheapest"
