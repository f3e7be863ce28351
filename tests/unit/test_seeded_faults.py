"""The command that seeds faults finds those that are there, none where there is none, and leaves rules whole."""

from __future__ import annotations

import pytest

from tests import seeded_faults
from tests.seeded_faults import BY_ID, Fault, Found, check_faults, found_by_scenarios, seeded

SPEED = BY_ID["ports.speed"]


def test_a_rule_is_whole_again_after_a_fault() -> None:
    whole = {name: getattr(SPEED, name) for name in seeded_faults.FORMS}

    def fail() -> None:
        with seeded(seeded_faults.without_model(SPEED)):
            assert SPEED.port_serves is None
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    assert {name: getattr(SPEED, name) for name in seeded_faults.FORMS} == whole


def test_a_rule_without_its_part_of_the_model_is_found_by_its_scenarios() -> None:
    found = set(found_by_scenarios(seeded_faults.without_model(SPEED), [SPEED]))
    assert found == {"scenarios/ports.speed", "scenarios/ports.speed.split"}


def test_each_form_by_itself_is_found_by_the_scenario_that_needs_it() -> None:
    found = {fault.name: tuple(found_by_scenarios(fault, [SPEED])) for fault in seeded_faults.without_one_form(SPEED)}
    assert found == {"port_serves": ("scenarios/ports.speed",), "port_splits": ("scenarios/ports.speed.split",)}


def test_where_nothing_is_left_out_nothing_is_found() -> None:
    assert list(found_by_scenarios(Fault(SPEED.id, "nothing", {}), [SPEED])) == []


def test_stages_budgets_and_parts_of_requires_are_left_out_one_by_one() -> None:
    names = [fault.name for fault in seeded_faults.without_one_form(BY_ID["power.feed_loss"])]
    assert names == [
        "budget: watts with a feed lost",
        "budget: watts with a feed lost, without PoE",
        "budget: watts without PoE, a feed lost",
        "budget: PoE with a feed lost",
        "forbids: supplies",
    ]
    assert seeded_faults.without_one_form(BY_ID["ports.spread"]) == []  # one form: that is its whole part


def test_a_check_that_no_test_misses_is_a_blank() -> None:
    """What fails without the fault too proves nothing."""
    failed = {None: {SPEED.id: ["a"]}, "check": {SPEED.id: ["a"]}, "check_order": {}}
    assert list(check_faults([SPEED.id], failed)) == [Found(SPEED.id, "check", ())]
    failed["check"][SPEED.id].append("b")
    assert list(check_faults([SPEED.id], failed)) == [Found(SPEED.id, "check", ("rules/test_ports_speed: b",))]


def test_every_word_of_a_rule_is_a_form_a_check_or_known_to_be_neither() -> None:
    """A form that is added to `Rule` is left out too."""
    assert {"port_serves", "forbids", "budgets", "requires", "agrees", "sells", "spares"} <= set(seeded_faults.FORMS)
    assert not {"id", "sentence", "check", "check_order"} & set(seeded_faults.FORMS)
    assert all(not seeded_faults.EMPTY[form] for form in seeded_faults.FORMS)


def test_without_any_rule_the_command_fails() -> None:
    assert seeded_faults.main(["no such family."]) == 1
