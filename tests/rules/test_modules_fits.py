"""A module goes only into a slot that takes it; a slot holds one, and some slots must not stay empty."""

from __future__ import annotations

from configurator.build import BuiltUnit
from configurator_rules.modules.fits import RULE
from tests.rules.worlds import breaches, build, cage, group, make_ask, make_catalog, part, unit, unit_type

SLOTS = [{"id": "S", "takes": ["M4", "M8"]}, {"id": "CTRL", "takes": ["C"], "required": True}]
CATALOG = make_catalog(
    unit_types=[unit_type(group("access", 8), module_slots=SLOTS)],
    modules=[part(number, ports=[cage("up", 4)]) for number in ("M4", "M8", "C", "X")],
)
ASK = make_ask(ports=[{"count": 1}])


def holding(**modules: str) -> BuiltUnit:
    """A unit with these modules by slot."""
    return unit(modules=[{"slot": slot, "module": module} for slot, module in modules.items()])


def test_modules_in_slots_that_take_them() -> None:
    """A slot that isn't required may stay empty."""
    assert breaches(RULE, build(holding(S="M8", CTRL="C"), holding(CTRL="C")), ASK, CATALOG) == []


def test_a_module_in_a_slot_that_doesnt_take_it() -> None:
    assert breaches(RULE, build(holding(S="X", CTRL="C")), ASK, CATALOG) == ["unit 1: slot S holds X, it takes M4, M8"]


def test_a_slot_that_isnt_there() -> None:
    assert breaches(RULE, build(holding(S2="M4", CTRL="C")), ASK, CATALOG) == [
        "unit 1: M4 is in slot S2, which T hasn't"
    ]


def test_two_modules_in_one_slot() -> None:
    fitted = [{"slot": "S", "module": "M4"}, {"slot": "S", "module": "M8"}, {"slot": "CTRL", "module": "C"}]
    assert breaches(RULE, build(unit(modules=fitted)), ASK, CATALOG) == [
        "unit 1: slot S holds 2 modules, there is room for 1"
    ]


def test_a_required_slot_is_empty() -> None:
    assert breaches(RULE, build(holding(S="M4")), ASK, CATALOG) == ["unit 1: slot CTRL is empty, it must hold 1 of C"]


def test_a_catalog_without_slots_and_modules_is_free_of_the_rule() -> None:
    assert RULE.applies(make_catalog(unit_types=[unit_type(group("access", 8), module_slots=SLOTS)]))
    assert RULE.applies(make_catalog(modules=[part("M4")]))
    assert not RULE.applies(make_catalog(unit_types=[unit_type(group("access", 8))]))
