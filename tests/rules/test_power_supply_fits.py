"""A unit has as many supplies as it may, each in a bay of its own that takes it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, unit

PS, OTHER = supply("PS", (100, 240, 500)), supply("OTHER", (100, 240, 500))
BAYED = world(powered_type(60, supply_bays={"count": 2, "takes": ["PS"], "at_least": 1}), PS, OTHER)
FIXED = world(powered_type(60, supply_bays=None, built_in_supply="PS"), PS, OTHER)
RULE = "power.supply_fits"


def test_bays_take_what_they_list() -> None:
    """One or two supplies that the type lists are in bays 1 and 2."""
    assert found(build(unit(supplies=fitted("PS"))), make_ask(), BAYED) == {}
    assert found(build(unit(supplies=fitted("PS", "PS"))), make_ask(), BAYED) == {}


def test_a_supply_of_another_line_up_does_not_fit() -> None:
    """The bays take PS only."""
    one = build(unit(supplies=fitted("OTHER")))
    assert found(one, make_ask(), BAYED) == {RULE: ["unit 1: OTHER is in bay 1, which takes PS"]}


def test_a_bay_holds_one_supply() -> None:
    """Two supplies in bay 1 are one too many."""
    bays = ({"bay": 1, "supply": "PS"}, {"bay": 1, "supply": "PS"})
    assert found(build(unit(supplies=bays)), make_ask(), BAYED) == {
        RULE: ["unit 1: bay 1 holds 2 supplies, it takes 1"]
    }


def test_a_third_supply_has_no_bay() -> None:
    """Three supplies don't go into two bays."""
    one = build(unit(supplies=fitted("PS", "PS", "PS")))
    assert found(one, make_ask(), BAYED) == {
        RULE: ["unit 1: PS is in bay 3, T has 2 supply bays", "unit 1: 3 supplies in bays, T has 1 to 2"]
    }


def test_a_unit_has_at_least_the_supplies_its_type_needs() -> None:
    """A type that needs two supplies doesn't start with one."""
    catalog = world(powered_type(60, supply_bays={"count": 3, "takes": ["PS"], "at_least": 2}), PS)
    one = build(unit(supplies=fitted("PS")))
    assert found(one, make_ask(), catalog) == {RULE: ["unit 1: 1 supplies in bays, T has 2 to 3"]}


def test_a_built_in_supply_stands_in_bay_0() -> None:
    """A type without bays has its built-in supply and no other."""
    assert found(build(unit(supplies=({"bay": 0, "supply": "PS"},))), make_ask(), FIXED) == {}


@pytest.mark.parametrize(
    ("supplies", "text"),
    [
        (({"bay": 0, "supply": "OTHER"},), "unit 1: built in: OTHER, T has PS"),
        (({"bay": 0, "supply": "PS"}, {"bay": 1, "supply": "PS"}), "unit 1: PS is in bay 1, T has no supply bays"),
        (({"bay": 0, "supply": "PS"}, {"bay": 0, "supply": "PS"}), "unit 1: built in: PS, PS, T has PS"),
    ],
)
def test_a_built_in_supply_is_neither_changed_nor_joined(supplies: tuple[dict[str, Any], ...], text: str) -> None:
    """Another part, a second one, and one in a bay that isn't there are wrong."""
    assert found(build(unit(supplies=supplies)), make_ask(), FIXED) == {RULE: [text]}


def test_a_built_in_supply_is_not_left_out() -> None:
    """A unit whose built-in supply is missing is no unit of this type."""
    assert "unit 1: built in: none, T has PS" in found(build(unit()), make_ask(), FIXED)[RULE]
