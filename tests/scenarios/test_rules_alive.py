"""Each rule's scenarios, one by one; tests/rule_table.py tells what they are about."""

from __future__ import annotations

import pytest

from configurator.rule import Rule
from configurator_rules import RULES
from tests import rule_table

CASES = [pytest.param(rule, scenario, id=scenario.name) for rule in RULES for scenario in rule_table.scenarios(rule)]


def test_every_rule_has_a_scenario_and_every_scenario_a_rule() -> None:
    in_use = {scenario.name for rule in RULES for scenario in rule_table.scenarios(rule)}
    assert {rule.id for rule in RULES} <= in_use
    assert in_use == {path.stem for path in rule_table.FOLDER.glob("*.yaml")} - {"base"}


@pytest.mark.parametrize(("rule", "scenario"), CASES)
def test_without_the_rule_only_its_check_rejects(rule: Rule, scenario: rule_table.Scenario) -> None:
    row = rule_table.row_of(rule, scenario)
    assert row.rejected_by == (rule.id,), scenario.why
    assert row.with_it != row.without_it  # with the rule it is dearer, or cannot be met
    assert row.rejected_with_it == ()
