"""A plain integer linear model, and two solvers that answer it: CP-SAT and a MIP solver.

An answer is taken only when it is proved and its integers satisfy every row exactly; anything
else is `undecided` and never counts as agreement.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

Term = tuple[int, int]  # coefficient and variable


@dataclass(frozen=True)
class Answer:
    """What a solver says; `values` are the variables' integers when it is optimal."""

    status: Literal["optimal", "impossible", "undecided"]
    price_minor: int | None = None
    values: tuple[int, ...] = ()


@dataclass
class Linear:
    """Integer variables with bounds and costs, and rows `low <= sum <= high`."""

    bounds: list[tuple[int, int]] = field(default_factory=list)
    costs: list[int] = field(default_factory=list)
    rows: list[tuple[dict[int, int], int | None, int | None]] = field(default_factory=list)
    names: list[str] = field(default_factory=list)

    def variable(self, high: int, cost: int = 0, name: str = "") -> int:
        """A variable from 0 to `high`."""
        self.bounds.append((0, high))
        self.costs.append(cost)
        self.names.append(name)
        return len(self.bounds) - 1

    def row(self, terms: Iterable[Term], low: int | None = None, high: int | None = None) -> None:
        """Adds a row; terms over one variable are added up."""
        summed: dict[int, int] = {}
        for coefficient, variable in terms:
            summed[variable] = summed.get(variable, 0) + coefficient
        self.rows.append((summed, low, high))

    def least(self, terms: Iterable[Term]) -> int:
        """The least that terms can come to, by their bounds."""
        return sum(c * self.bounds[v][0 if c > 0 else 1] for c, v in terms)

    def most(self, terms: Iterable[Term]) -> int:
        """The most that terms can come to, by their bounds."""
        return sum(c * self.bounds[v][1 if c > 0 else 0] for c, v in terms)

    def price(self, values: Iterable[int]) -> int:
        """The cost of these values."""
        return sum(c * v for c, v in zip(self.costs, values, strict=True))

    def satisfied(self, values: tuple[int, ...]) -> bool:
        """Whether integers are within all bounds and rows, exactly."""
        if any(not low <= v <= high for v, (low, high) in zip(values, self.bounds, strict=True)):
            return False
        for terms, low, high in self.rows:
            total = sum(c * values[v] for v, c in terms.items())
            if (low is not None and total < low) or (high is not None and total > high):
                return False
        return True


def by_cp_sat(model: Linear, seconds: float = 20.0, workers: int = 1) -> Answer:
    """CP-SAT's answer."""
    from ortools.sat.python import cp_model

    cp = cp_model.CpModel()
    variables = [cp.new_int_var(low, high, "") for low, high in model.bounds]
    for terms, least, most in model.rows:
        total = cp_model.LinearExpr.weighted_sum([variables[v] for v in terms], list(terms.values()))
        cp.add_linear_constraint(total, -(1 << 60) if least is None else least, (1 << 60) if most is None else most)
    cp.minimize(cp_model.LinearExpr.weighted_sum(variables, model.costs))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    status = solver.solve(cp)
    if status == cp_model.INFEASIBLE:
        return Answer("impossible")
    if status != cp_model.OPTIMAL:
        return Answer("undecided")
    return _proved(model, tuple(int(solver.value(v)) for v in variables))


def by_mip(model: Linear, seconds: float = 20.0) -> Answer:
    """The MIP solver's answer, one thread."""
    import highspy

    highs = highspy.Highs()
    for option, value in (("output_flag", False), ("threads", 1), ("time_limit", seconds), ("random_seed", 1),
                          ("mip_rel_gap", 0.0), ("mip_abs_gap", 0.4), ("mip_feasibility_tolerance", 1e-9),
                          ("primal_feasibility_tolerance", 1e-9)):  # fmt: skip
        highs.setOptionValue(option, value)
    for index, ((low, high), cost) in enumerate(zip(model.bounds, model.costs, strict=True)):
        highs.addVar(float(low), float(high))
        highs.changeColCost(index, float(cost))
        highs.changeColIntegrality(index, highspy.HighsVarType.kInteger)
    for terms, least, most in model.rows:
        highs.addRow(
            -highspy.kHighsInf if least is None else float(least),
            highspy.kHighsInf if most is None else float(most),
            len(terms),
            list(terms),
            [float(c) for c in terms.values()],
        )
    highs.run()
    status = highs.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:  # its presolve was seen to say so of a model that is not
        highs.setOptionValue("presolve", "off")
        highs.clearSolver()
        highs.run()
        status = highs.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return Answer("impossible")
    if status != highspy.HighsModelStatus.kOptimal:
        return Answer("undecided")
    answer = _proved(model, tuple(round(v) for v in highs.getSolution().col_value))
    bound = math.ceil(highs.getInfo().mip_dual_bound - 0.5)
    return answer if answer.price_minor == bound else Answer("undecided")


def _proved(model: Linear, values: tuple[int, ...]) -> Answer:
    """An optimal answer, provided that its integers hold."""
    if not model.satisfied(values):
        return Answer("undecided")
    return Answer("optimal", model.price(values), values)
