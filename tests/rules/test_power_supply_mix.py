"""All supplies of a unit are the same part unless its type lets them differ."""

from __future__ import annotations

from typing import Any

from configurator.catalog import Catalog
from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, unit

SUPPLIES = [supply(number, (100, 240, 500)) for number in ("PS-A", "PS-B", "PS-C")]
RULE = "power.supply_mix"


def catalog(**said: Any) -> Catalog:
    """A type with three bays that take all three supplies."""
    bays = {"count": 3, "takes": ["PS-A", "PS-B", "PS-C"], **said}
    return world(powered_type(60, supply_bays=bays), *SUPPLIES)


def test_supplies_of_one_part_go_together() -> None:
    """Two of PS-A are alike."""
    assert found(build(unit(supplies=fitted("PS-A", "PS-A"))), make_ask(), catalog()) == {}


def test_two_kinds_do_not_go_together() -> None:
    """PS-A beside PS-B is one kind too many."""
    one = build(unit(supplies=fitted("PS-A", "PS-B")))
    assert found(one, make_ask(), catalog()) == {RULE: ["unit 1: 2 kinds of supply, T takes 1: PS-A, PS-B"]}


def test_three_kinds_do_not_go_together() -> None:
    """Each of three bays holds another part."""
    one = build(unit(supplies=fitted("PS-C", "PS-A", "PS-B")))
    assert found(one, make_ask(), catalog()) == {RULE: ["unit 1: 3 kinds of supply, T takes 1: PS-A, PS-B, PS-C"]}


def test_a_type_that_mixes_takes_both() -> None:
    """The type says that supplies may differ."""
    assert found(build(unit(supplies=fitted("PS-A", "PS-B"))), make_ask(), catalog(mixed=True)) == {}


def test_units_of_a_stack_may_differ() -> None:
    """Supplies need to be alike within a unit only."""
    two = build(unit(supplies=fitted("PS-A")), unit(supplies=fitted("PS-B"), position=2))
    assert RULE not in found(two, make_ask(), catalog())
