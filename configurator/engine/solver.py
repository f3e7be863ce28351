"""The only module that talks to CP-SAT: small integer models in, integers out.

The solver is reached through OR-tools' helper module and protos, which start in a quarter of the
time of its public Python layer (that layer imports pandas).  The helper is not a documented
interface, so the version is pinned, `solve_public` is the fallback, and a test compares the two.

One worker, a fixed seed and a fixed order of declaration make answers repeatable.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

# A row under an enforcement literal whose coefficients can sum past 2**31 may silently become
# unconditional (google/or-tools issue 5293).
ENFORCED_LIMIT = 2**31
# The objective is reported as a double: beyond 2**53 it is no longer exact.
OBJECTIVE_LIMIT = 2**53
# A model whose sums could overflow 64 bits is refused by the solver.
SUM_LIMIT = 2**61
FAR = 2**40

Status = Literal["optimal", "feasible", "impossible", "unknown"]


@dataclass
class Row:
    """lo <= sum(coefficient * variable) <= hi, where all literals in `only_if` are true."""

    variables: list[int]
    coefficients: list[int]
    lo: int
    hi: int
    only_if: tuple[int, ...] = ()


@dataclass
class IntegerModel:
    """Integer variables with bounds, linear rows, a linear objective to minimise."""

    bounds: list[tuple[int, int]] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    objective: dict[int, int] = field(default_factory=dict)
    sparing: list[int] = field(default_factory=list)
    """Variables that a solution has no more of than its rows ask for, also where more would cost nothing; in turn."""

    def variable(self, lo: int, hi: int) -> int:
        """A new variable's index."""
        self.bounds.append((lo, hi))
        return len(self.bounds) - 1

    def at_least(self, terms: Sequence[tuple[int, int]], bound: int, only_if: tuple[int, ...] = ()) -> None:
        """sum(coefficient * variable) >= bound for (variable, coefficient) terms."""
        self.row(terms, bound, FAR, only_if)

    def at_most(self, terms: Sequence[tuple[int, int]], bound: int, only_if: tuple[int, ...] = ()) -> None:
        """sum(coefficient * variable) <= bound."""
        self.row(terms, -FAR, bound, only_if)

    def row(self, terms: Sequence[tuple[int, int]], lo: int, hi: int, only_if: tuple[int, ...] = ()) -> None:
        """Keep sum(coefficient * variable) from `lo` to `hi`."""
        terms = [(v, c) for v, c in terms if c]
        if only_if:
            size = sum(abs(c) * max(map(abs, self.bounds[v])) for v, c in terms)
            if size >= ENFORCED_LIMIT:
                raise OverflowError(f"an enforced row sums to {size}, beyond the {ENFORCED_LIMIT} that is safe")
        self.rows.append(Row([v for v, _ in terms], [c for _, c in terms], lo, hi, only_if))


@dataclass(frozen=True)
class Outcome:
    """What the solver said.  `bound` is the proved lower bound of the objective."""

    status: Status
    values: tuple[int, ...] = ()
    objective: int = 0
    bound: int = 0


def _objective(model: IntegerModel, values: Sequence[int]) -> int:
    return sum(c * values[v] for v, c in model.objective.items())


def _check_sizes(model: IntegerModel) -> None:
    reach = sum(abs(c) * max(map(abs, model.bounds[v])) for v, c in model.objective.items())
    if reach >= 2 * SUM_LIMIT:
        raise OverflowError(f"the objective can reach {reach}: prices this large cannot be added up safely")


def solve(model: IntegerModel, deterministic_limit: float | None = None, seconds: float | None = None) -> Outcome:
    """Minimise; one worker, fixed seed.  `seconds` is wall time, `deterministic_limit` repeatable effort."""
    _check_sizes(model)
    try:
        from ortools.sat.python import cp_model_helper as helper

        proto = _proto(model, helper)
        parameters = helper.SatParameters()
        wrapper = helper.SolveWrapper()
    except (ImportError, AttributeError, TypeError):
        return solve_public(model, deterministic_limit, seconds)
    _set(parameters, deterministic_limit, seconds)
    wrapper.set_parameters(parameters)
    response = wrapper.solve(proto)
    return _outcome(model, response.status.name, response)


def _set(parameters: Any, deterministic_limit: float | None, seconds: float | None) -> None:
    """One worker and a fixed seed make answers repeatable; the rest is what small models like best.

    Probing, symmetry and repeated presolve cost more here than they find; the linear relaxation,
    whole from the start, is what proves.
    """
    parameters.num_workers = 1
    parameters.random_seed = 1
    parameters.linearization_level = 2
    parameters.cp_model_probing_level = 0
    parameters.symmetry_level = 0
    parameters.max_presolve_iterations = 1
    parameters.add_lp_constraints_lazily = False
    if deterministic_limit is not None:
        parameters.max_deterministic_time = deterministic_limit
    if seconds is not None:
        parameters.max_time_in_seconds = seconds


def _proto(model: IntegerModel, helper: Any) -> Any:
    proto = helper.CpModelProto()
    variables, constraints = proto.variables, proto.constraints
    for lo, hi in model.bounds:
        variables.add().domain.extend([lo, hi])
    for row in model.rows:
        constraint = constraints.add()
        if row.only_if:
            constraint.enforcement_literal.extend(list(row.only_if))
        linear = constraint.linear
        linear.vars.extend(row.variables)
        linear.coeffs.extend(row.coefficients)
        linear.domain.extend([row.lo, row.hi])
    if model.objective:
        proto.objective.vars.extend(list(model.objective))
        proto.objective.coeffs.extend(list(model.objective.values()))
    return proto


def solve_public(
    model: IntegerModel, deterministic_limit: float | None = None, seconds: float | None = None
) -> Outcome:
    """The same through OR-tools' documented interface."""
    from ortools.sat.python import cp_model

    public = cp_model.CpModel()
    variables = [public.new_int_var(lo, hi, "") for lo, hi in model.bounds]
    for row in model.rows:
        terms = cp_model.LinearExpr.weighted_sum([variables[v] for v in row.variables], row.coefficients)
        constraint = public.add_linear_constraint(terms, row.lo, row.hi)
        if row.only_if:
            constraint.only_enforce_if([_as_literal(public, variables[v]) for v in row.only_if])
    if model.objective:
        public.minimize(
            cp_model.LinearExpr.weighted_sum([variables[v] for v in model.objective], list(model.objective.values()))
        )
    solver = cp_model.CpSolver()
    _set(solver.parameters, deterministic_limit, seconds)
    status = solver.solve(public)
    return _outcome(model, solver.status_name(status), solver.response_proto)


def _as_literal(model: Any, variable: Any) -> Any:
    return model.get_bool_var_from_proto_index(variable.index)


def _outcome(model: IntegerModel, name: str, response: Any) -> Outcome:
    if name == "INFEASIBLE":
        return Outcome("impossible")
    if name == "UNKNOWN":
        return Outcome("unknown", bound=_rounded_up(response.best_objective_bound) if model.objective else 0)
    if name not in ("OPTIMAL", "FEASIBLE"):
        raise RuntimeError(f"the solver refused the model: {name}")
    values = spared(model, response.solution)
    objective = _objective(model, values)
    if name == "OPTIMAL":
        return Outcome("optimal", values, objective, objective)
    return Outcome("feasible", values, objective, _rounded_up(response.best_objective_bound))


def spared(model: IntegerModel, values: Sequence[int]) -> tuple[int, ...]:
    """A solution with each sparing variable as small as the rows let it be, the others being as they are."""
    out = list(values)
    if not any(out[var] > model.bounds[var][0] for var in model.sparing):
        return tuple(out)
    rows: dict[int, list[Row]] = {var: [] for var in model.sparing}
    for row in model.rows:
        for var in rows.keys() & set(row.variables):
            rows[var].append(row)
    for var in model.sparing:
        least = model.bounds[var][0]
        for row in rows[var]:
            if all(out[literal] for literal in row.only_if):
                terms = list(zip(row.variables, row.coefficients, strict=True))
                each = sum(c for v, c in terms if v == var)
                others = sum(c * out[v] for v, c in terms if v != var)
                if each > 0:
                    least = max(least, -((others - row.lo) // each))
                elif each < 0:
                    least = max(least, -((row.hi - others) // -each))
        out[var] = min(out[var], least)
    return tuple(out)


def _rounded_up(bound: float) -> int:
    """A bound that is a double: lowered past its rounding error, then the next integer."""
    slack = abs(bound) / OBJECTIVE_LIMIT * 4 + 1e-6
    whole = int(bound - slack)
    return whole + 1 if whole < bound - slack else whole
