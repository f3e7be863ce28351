"""Every rule decides something in the demonstration; tests/demo_table.py says which stack shows it."""

from __future__ import annotations

import pytest

from configurator_rules import RULES
from tests import rule_table
from tests.demo_table import EXERCISED_BY, ONLY_IN_SCENARIOS, exercises, orders, with_all, without


def test_every_rule_is_exercised_or_its_absence_is_explained() -> None:
    assert not EXERCISED_BY.keys() & ONLY_IN_SCENARIOS.keys()
    assert EXERCISED_BY.keys() | ONLY_IN_SCENARIOS.keys() == {rule.id for rule in RULES}
    assert set(EXERCISED_BY.values()) <= orders().keys()


def test_a_rule_that_the_demonstration_leaves_out_has_a_scenario() -> None:
    explained = [rule for rule in RULES if rule.id in ONLY_IN_SCENARIOS]
    assert all(rule_table.scenarios(rule) for rule in explained)
    assert all(ONLY_IN_SCENARIOS.values())


@pytest.mark.parametrize(("rule_id", "stack"), EXERCISED_BY.items(), ids=list(EXERCISED_BY))
def test_without_the_rule_its_stack_is_cheaper_or_can_be_met(rule_id: str, stack: str) -> None:
    assert exercises(stack, rule_id), f"{stack}: {with_all(stack)} with it, {without(stack, rule_id)} without it"
