"""A bound that the solver proves is one of the price, not of what ties add to it."""

from __future__ import annotations

import pytest

from configurator.engine import search
from configurator.engine.solver import IntegerModel, Outcome, solve
from configurator_rules import RULES
from tests.rules.worlds import group, make_ask, make_catalog, part, unit_type

CATALOG = make_catalog(
    families=[{"id": "F"}], unit_types=[unit_type(group("access", 8))], boxes=[part("BOX", unit="T")]
)
ASK = make_ask(ports=[{"count": 8}])


def stopped(model: IntegerModel, deterministic_limit: float | None = None, seconds: float | None = None) -> Outcome:
    """The solver as if time had run out just before its proof was whole."""
    found = solve(model, deterministic_limit, seconds)
    return Outcome("feasible", found.values, found.objective, found.objective - 1)


def test_an_answer_without_proof_is_the_best_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its bound is no higher than the price, and says how far it may be from the cheapest."""
    monkeypatch.setattr(search, "solve", stopped)
    answer = search.solve_stack(ASK, CATALOG, RULES)
    assert (answer.status, answer.price_minor, answer.bound_minor) == ("best found", 100_00, 100_00)


def test_nothing_found_in_time_is_not_decided(monkeypatch: pytest.MonkeyPatch) -> None:
    """Not knowing is never the same as knowing that there is nothing."""
    monkeypatch.setattr(search, "solve", lambda *_, **__: Outcome("unknown", bound=1))
    answer = search.solve_stack(ASK, CATALOG, RULES)
    assert (answer.status, answer.price_minor, answer.build, answer.bound_minor) == ("not decided", None, None, 0)


def test_a_proved_answer_has_its_price_as_bound() -> None:
    answer = search.solve_stack(ASK, CATALOG, RULES)
    assert (answer.status, answer.price_minor, answer.bound_minor) == ("cheapest", 100_00, 100_00)
