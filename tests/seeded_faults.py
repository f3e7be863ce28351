"""Seeded faults: whatever of a rule is left out, some test fails.

For every rule its part of the model is left out, and its scenarios (tests/scenarios) are run; its
check is left out, and its own tests (tests/rules) are run.  A fault that no test finds is a BLANK.
A second table leaves out single forms of rules that have several: the scenario of any rule may find it.
What fails without a fault too proves nothing and is a blank.

    python -m tests.seeded_faults                  every rule; exit code 1 where there is a blank
    python -m tests.seeded_faults power. ports.once          rules whose ids start like this
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import MISSING, dataclass, field, fields, replace
from pathlib import Path
from typing import Any

import pytest
from tabulate import tabulate

from configurator.rule import Requires, Rule
from configurator_rules import RULES
from tests import rule_table

ROOT = Path(__file__).parents[1]
OWN_TESTS = ROOT / "tests" / "rules"
CHECKS = ("check", "check_order")
WORDS = {"id", "family", "sentence", "source", "about", "explains", "only_if_asked", "applies", *CHECKS}
EMPTY: dict[str, Any] = {
    one.name: one.default if one.default_factory is MISSING else one.default_factory() for one in fields(Rule)
}
FORMS = tuple(one.name for one in fields(Rule) if one.name not in WORDS)
BY_ID = {rule.id: rule for rule in RULES}
PROCESSES = 2


@dataclass(frozen=True)
class Fault:
    """Something of a rule that is left out: what its attributes are instead."""

    rule: str
    name: str
    instead: Mapping[str, Any] = field(compare=False)


@dataclass(frozen=True)
class Found:
    """The tests that fail with a fault in place, and not without it."""

    rule: str
    fault: str
    tests: tuple[str, ...]


@contextmanager
def seeded(fault: Fault) -> Iterator[None]:
    """The fault in place for everybody who knows the rule: rules are frozen, and everybody shares them."""
    rule = BY_ID[fault.rule]
    whole = {name: getattr(rule, name) for name in fault.instead}
    for name, value in fault.instead.items():
        object.__setattr__(rule, name, value)
    try:
        yield
    finally:
        for name, value in whole.items():
            object.__setattr__(rule, name, value)


# --- the faults -------------------------------------------------------------------------------------------


def without_model(rule: Rule) -> Fault:
    """Every form left out."""
    return Fault(rule.id, "its part of the model", {name: EMPTY[name] for name in FORMS})


def without_one_form(rule: Rule) -> list[Fault]:
    """Each form left out by itself, where there are several; each stage, budget and part of `requires` is one."""
    out: list[Fault] = []
    for name in FORMS:
        form = getattr(rule, name)
        if not form:
            continue
        if name == "budgets":
            for budget in form:
                others = tuple(other for other in form if other is not budget)
                out.append(Fault(rule.id, f"budget: {budget.name}", {name: others}))
        elif name == "forbids":
            for stage in form:
                rest = {other: says for other, says in form.items() if other != stage}
                out.append(Fault(rule.id, f"forbids: {stage}", {name: rest}))
        elif isinstance(form, Requires):
            for one in fields(form):
                if getattr(form, one.name):
                    out.append(Fault(rule.id, f"requires: {one.name}", {name: replace(form, **{one.name: None})}))
        else:
            out.append(Fault(rule.id, name, {name: EMPTY[name]}))
    return out if len(out) > 1 else []


def without_check(rule: Rule, check: str) -> Fault | None:
    """A check left out; none where the rule has no such check."""
    return None if getattr(rule, check) is EMPTY[check] else Fault(rule.id, check, {check: EMPTY[check]})


# --- faults of the model, and the scenarios --------------------------------------------------------------


def _fails(says: Callable[[], object]) -> bool:
    try:
        says()
    except Exception:  # noqa: BLE001 -- whatever a test raises, it fails
        return True
    return False


def scenario_test(rule: Rule, scenario: rule_table.Scenario) -> None:
    """What tests/scenarios says of a rule and its scenario."""
    row = rule_table.row_of(rule, scenario)
    assert row.alive
    assert row.with_it != row.without_it


def fresh(rule: Rule) -> list[rule_table.Scenario]:
    """A rule's scenarios with catalogs that keep nothing of earlier runs."""
    return rule_table.scenarios(rule)


def found_by_scenarios(fault: Fault, of: Sequence[Rule]) -> Iterator[str]:
    """The scenarios of these rules that fail with the fault, and not without it."""
    for rule in of:
        for clean, scenario in zip(fresh(rule), fresh(rule), strict=True):
            with seeded(fault):
                fails = _fails(lambda rule=rule, scenario=scenario: scenario_test(rule, scenario))  # type: ignore[misc]
            if fails and not _fails(lambda rule=rule, clean=clean: scenario_test(rule, clean)):  # type: ignore[misc]
                yield f"scenarios/{scenario.name}"


def model_faults(rule_id: str) -> tuple[list[Found], list[Found]]:
    """A rule without its part of the model, and without each of its forms."""
    rule = BY_ID[rule_id]
    whole = [Found(rule_id, fault.name, tuple(found_by_scenarios(fault, [rule]))) for fault in [without_model(rule)]]
    single = []
    for fault in without_one_form(rule):
        tests = tuple(found_by_scenarios(fault, [rule]))
        others = [other for other in RULES if other is not rule]
        single.append(Found(rule_id, fault.name, tests or tuple(found_by_scenarios(fault, others))))
    return whole, single


# --- faults of checks, and the rules' own tests ----------------------------------------------------------


def own_tests(rule: Rule) -> Path:
    """The file of a rule's own tests."""
    return OWN_TESTS / f"test_{rule.id.replace('.', '_')}.py"


class Seeding:
    """A plugin for pytest: while a rule's own tests run, its check is left out."""

    def __init__(self, faults: Mapping[str, Fault]) -> None:
        self.faults = faults  # by the name of the file whose tests are to find it
        self.failed: dict[str, list[str]] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """The fault is in place from set-up to tear-down."""
        fault = self.faults.get(item.path.stem)
        if fault is None:
            return (yield)
        with seeded(fault):
            return (yield)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keeps what fails."""
        if report.failed:
            file, _, test = report.nodeid.rpartition("/")[2].partition("::")
            self.failed.setdefault(file.removesuffix(".py"), []).append(test)


def failing(check: str | None, ids: Sequence[str]) -> dict[str, list[str]]:
    """The rules' own tests that fail with this check left out (none: as they are), by rule."""
    rules = [BY_ID[rule_id] for rule_id in ids if own_tests(BY_ID[rule_id]).is_file()]
    faults = {own_tests(rule).stem: without_check(rule, check) for rule in rules} if check else {}
    plugin = Seeding({stem: fault for stem, fault in faults.items() if fault is not None})
    files = [str(own_tests(rule)) for rule in rules if check is None or own_tests(rule).stem in plugin.faults]
    quiet = ["-n", "0", "-p", "no:cacheprovider", "-p", "no:terminal", f"--rootdir={ROOT}"]
    if files:
        ended = pytest.main([*quiet, *files], plugins=[plugin])
        if ended not in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED):
            raise RuntimeError(f"the rules' own tests can't be run: pytest ends with {ended!r}")
    return {rule.id: plugin.failed.get(own_tests(rule).stem, []) for rule in rules}


def check_faults(ids: Sequence[str], failed: Mapping[str | None, Mapping[str, list[str]]]) -> Iterator[Found]:
    """Every rule without each of its checks."""
    for rule_id in ids:
        has = [check for check in CHECKS if without_check(BY_ID[rule_id], check)]
        for check in has or ["check"]:
            anyway = failed[None].get(rule_id, [])
            tests = [test for test in failed[check].get(rule_id, []) if test not in anyway]
            yield Found(rule_id, check, tuple(f"rules/{own_tests(BY_ID[rule_id]).stem}: {test}" for test in tests))


# --- the tables -------------------------------------------------------------------------------------------


def printed(found: Sequence[Found], blank: str) -> str:
    """A table: rule, fault, the first test that finds it."""
    cells = []
    for one in found:
        more = f" and {len(one.tests) - 1} more" if len(one.tests) > 1 else ""
        cells.append((one.rule, one.fault, f"{one.tests[0]}{more}" if one.tests else blank))
    return tabulate(cells, headers=("rule", "left out", "found by"), disable_numparse=True)


def main(wanted: Sequence[str]) -> int:
    """Prints the tables; 1 when some fault of a whole part or a check is found by nothing."""
    ids = [rule.id for rule in RULES if not wanted or rule.id.startswith(tuple(wanted))]
    with ProcessPoolExecutor(PROCESSES) as pool:
        checks = {check: pool.submit(failing, check, ids) for check in (None, *CHECKS)}
        models = list(pool.map(model_faults, ids))
        failed = {check: done.result() for check, done in checks.items()}
    of_checks = list(check_faults(ids, failed))
    whole = [one for found, _ in models for one in found]
    both = [one for rule_id in ids for one in (*whole, *of_checks) if one.rule == rule_id]
    single = [one for _, found in models for one in found]
    blanks = [one for one in both if not one.tests]
    open_forms = [one for one in single if not one.tests]
    print(printed(both, "BLANK"))
    print(f"\n{len(ids)} rules, {len(both)} faults, {len(blanks)} blanks\n")
    print(printed(single, "no scenario"))
    print(f"\n{len(single)} single forms, {len(open_forms)} that no scenario needs")
    return 1 if blanks or not ids else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
