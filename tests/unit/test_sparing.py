"""What costs nothing is not ordered in any number: sparing variables are as small as the rows let them be."""

from __future__ import annotations

import random

import pytest

import configurator
from configurator.buying.prices import priced
from configurator.engine.solver import IntegerModel, Row, solve, spared
from configurator.kinds import kinds_of
from tests.journeys.running import DEMO


def holds(row: Row, values: tuple[int, ...]) -> bool:
    """Whether a row holds, or nothing turns it on."""
    total = sum(c * values[v] for v, c in zip(row.variables, row.coefficients, strict=True))
    return not all(values[literal] for literal in row.only_if) or row.lo <= total <= row.hi


@pytest.mark.parametrize("seed", range(40))
def test_each_is_the_least_that_the_rows_let_it_be(seed: int) -> None:
    rng = random.Random(seed)
    values = (rng.randint(0, 1), *(rng.randint(0, 6) for _ in range(3)))
    model = IntegerModel([(0, 1), (0, 9), (1, 9), (0, 9)])
    values = (values[0], values[1], max(1, values[2]), values[3])
    for _ in range(rng.randint(1, 4)):
        terms = [(var, rng.choice((-3, -2, -1, 1, 2, 3))) for var in rng.sample((1, 2, 3), rng.randint(1, 3))]
        now = sum(c * values[v] for v, c in terms)
        model.row(terms, now - rng.randint(0, 5), now + rng.randint(0, 5), (0,) if rng.random() < 0.4 else ())
    model.sparing = rng.sample((1, 2, 3), rng.randint(1, 3))
    found = spared(model, values)
    assert all(holds(row, found) for row in model.rows)
    before: tuple[int, ...] = values
    for var in model.sparing:  # in turn, the others being as they are
        tried = [(*before[:var], x, *before[var + 1 :]) for x in range(model.bounds[var][0], before[var] + 1)]
        before = next(one for one in tried if all(holds(row, one) for row in model.rows))
    assert found == before


def test_a_solution_is_sparing_where_the_objective_says_nothing() -> None:
    model = IntegerModel([(0, 5), (0, 1000)])
    model.at_least([(1, 1), (0, -2)], 3)
    model.at_least([(0, 1)], 2)
    model.objective, model.sparing = {0: 1}, [1]
    assert solve(model).values == (2, 7)


@pytest.mark.parametrize("demand", ["styles", "life"])
def test_an_order_of_parts_that_cost_nothing_holds_no_more_than_was_asked_for(demand: str) -> None:
    catalog = configurator.load_catalog()
    asked = configurator.load_demand(DEMO / "demands" / f"{demand}.yaml", catalog, on=catalog.prices.issued)
    answer = configurator.solve(asked, priced(catalog, dict.fromkeys(catalog.prices.rows, 0)))
    things = sum(one.stack.copies * kind.count for one in asked.asks for kind in kinds_of(one))
    assert answer.total_minor == 0
    for line in answer.bill:
        assert line.quantity + line.included <= things, line.part
