"""The solver behind its one door: both ways in agree, and sizes that it gets wrong are refused."""

from __future__ import annotations

import random
from itertools import product

import pytest

from configurator.engine.solver import ENFORCED_LIMIT, IntegerModel, Outcome, solve, solve_public


def small_model(seed: int) -> IntegerModel:
    """Up to four variables, some rows, one of them under a literal."""
    rng = random.Random(seed)
    model = IntegerModel()
    variables = [model.variable(0, rng.randint(1, 4)) for _ in range(rng.randint(2, 4))]
    literal = model.variable(0, 1)
    for _ in range(rng.randint(1, 4)):
        terms = [(variable, rng.randint(-3, 5)) for variable in variables]
        model.at_least(terms, rng.randint(-2, 9), (literal,) if rng.random() < 0.3 else ())
    model.at_most([(variable, 1) for variable in variables], rng.randint(1, 8))
    model.objective = {variable: rng.randint(1, 50) for variable in variables} | {literal: -rng.randint(0, 30)}
    return model


def least(model: IntegerModel) -> int | None:
    """The least objective by trying every value."""
    best: int | None = None
    for values in product(*(range(lo, hi + 1) for lo, hi in model.bounds)):
        holds = all(
            row.lo <= sum(c * values[v] for v, c in zip(row.variables, row.coefficients, strict=True)) <= row.hi
            for row in model.rows
            if all(values[literal] for literal in row.only_if)
        )
        if holds:
            price = sum(c * values[v] for v, c in model.objective.items())
            best = price if best is None else min(best, price)
    return best


@pytest.mark.parametrize("seed", range(60))
def test_both_ways_to_the_solver_find_the_least(seed: int) -> None:
    model = small_model(seed)
    expected = least(model)
    for outcome in (solve(model), solve_public(model)):
        if expected is None:
            assert outcome == Outcome("impossible")
        else:
            assert (outcome.status, outcome.objective, outcome.bound) == ("optimal", expected, expected)


def test_the_same_model_gives_the_same_values() -> None:
    assert solve(small_model(7)).values == solve(small_model(7)).values


def test_a_row_under_a_literal_stays_small() -> None:
    """Larger ones may silently hold without their literal (google/or-tools issue 5293)."""
    model = IntegerModel()
    amount, literal = model.variable(0, 10), model.variable(0, 1)
    model.at_most([(amount, 10**8)], 10**8, (literal,))
    with pytest.raises(OverflowError, match=str(ENFORCED_LIMIT)):
        model.at_most([(amount, 10**9)], 10**9, (literal,))


def test_a_row_under_a_literal_binds_only_with_it() -> None:
    """Just below the limit the row is still conditional."""
    model = IntegerModel()
    amount, literal = model.variable(0, 2), model.variable(0, 1)
    large = ENFORCED_LIMIT // 2 - 1
    model.at_most([(amount, large)], large, (literal,))
    model.objective = {amount: -1, literal: 0}
    assert solve(model).values[amount] == 2
    model.at_least([(literal, 1)], 1)
    assert solve(model).values[amount] == 1


def test_prices_beyond_safe_sums_are_refused() -> None:
    model = IntegerModel()
    amount = model.variable(0, 10**6)
    model.objective = {amount: 2**45}
    with pytest.raises(OverflowError, match="cannot be added"):
        solve(model)
