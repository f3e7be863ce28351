"""Cheapest valid list of parts for stacks of network switches: proved, checked and explained.

The names below are the public API; each is loaded when it is first used, so that importing the
package costs nothing.

load_catalog, load_demand    what there is to buy, and what is asked for
solve, explain               the cheapest order, and why it is as it is
compare, compare_two         ways to buy a demand, or two demands or answers, side by side
alternatives, frontier       the cheapest builds that differ in substance, and what more money buys
sweep                        the price as figures of the demand vary: a `Sweep` of typed points
budget                       the most that an amount buys of each figure: a `Budget`
capacity                     the most that a bill carries already: a `Capacity`
rule_book                    every rule that the tool knows

`configurator.charts` draws sweeps, bars and points in black on white.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from configurator.answer import Answer as Answer
    from configurator.api import load_catalog as load_catalog
    from configurator.api import load_demand as load_demand
    from configurator.api import rule_book as rule_book
    from configurator.api import solve as solve
    from configurator.buying.compare import compare as compare
    from configurator.buying.compare_two import Told as Told
    from configurator.buying.compare_two import compare_two as compare_two
    from configurator.buying.comparison import Comparison as Comparison
    from configurator.choices.choice import Alternatives as Alternatives
    from configurator.choices.choice import PriceFrontier as PriceFrontier
    from configurator.choices.choosing import alternatives as alternatives
    from configurator.choices.choosing import frontier as frontier
    from configurator.errors import BadInput as BadInput
    from configurator.reasoning.explaining import explain as explain
    from configurator.reasoning.explanation import Explanation as Explanation
    from configurator.varying.budget import Budget as Budget
    from configurator.varying.budgeting import budget as budget
    from configurator.varying.capacities import capacity as capacity
    from configurator.varying.capacity import Capacity as Capacity
    from configurator.varying.sweep import Sweep as Sweep
    from configurator.varying.sweeping import sweep as sweep
    from configurator.verify import CheckFailed as CheckFailed

_HOME = {
    "Alternatives": "configurator.choices.choice",
    "Answer": "configurator.answer",
    "BadInput": "configurator.errors",
    "Budget": "configurator.varying.budget",
    "Capacity": "configurator.varying.capacity",
    "CheckFailed": "configurator.verify",
    "Comparison": "configurator.buying.comparison",
    "Explanation": "configurator.reasoning.explanation",
    "PriceFrontier": "configurator.choices.choice",
    "Sweep": "configurator.varying.sweep",
    "Told": "configurator.buying.compare_two",
    "alternatives": "configurator.choices.choosing",
    "budget": "configurator.varying.budgeting",
    "capacity": "configurator.varying.capacities",
    "compare": "configurator.buying.compare",
    "compare_two": "configurator.buying.compare_two",
    "explain": "configurator.reasoning.explaining",
    "frontier": "configurator.choices.choosing",
    "load_catalog": "configurator.api",
    "load_demand": "configurator.api",
    "rule_book": "configurator.api",
    "solve": "configurator.api",
    "sweep": "configurator.varying.sweeping",
}
__all__ = [
    "Alternatives",
    "Answer",
    "BadInput",
    "Budget",
    "Capacity",
    "CheckFailed",
    "Comparison",
    "Explanation",
    "PriceFrontier",
    "Sweep",
    "Told",
    "alternatives",
    "budget",
    "capacity",
    "compare",
    "compare_two",
    "explain",
    "frontier",
    "load_catalog",
    "load_demand",
    "rule_book",
    "solve",
    "sweep",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)
