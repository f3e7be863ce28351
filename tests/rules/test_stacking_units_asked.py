"""A stack has as many units as asked, and no more than the rack has positions for."""

from __future__ import annotations

import pytest

from tests.rules.power_world import found
from tests.rules.stacking_world import alone, catalog, ring
from tests.rules.worlds import make_ask

RULE = "stacking.units_asked"


@pytest.mark.parametrize("units", [3, 4, 5])
def test_three_to_five_are_three_to_five(units: int) -> None:
    """At least three and at most five units are asked."""
    assert found(ring(units), make_ask(units_at_least=3, units_at_most=5), catalog()) == {}


def test_too_few_units() -> None:
    """Three units where four are wanted, one where two are."""
    assert found(ring(3), make_ask(units_at_least=4), catalog()) == {RULE: ["3 units, asked are at least 4"]}
    assert found(alone(), make_ask(units_at_least=2), catalog()) == {RULE: ["1 units, asked are at least 2"]}


def test_too_many_units() -> None:
    """Four units where three are wanted."""
    assert found(ring(4), make_ask(units_at_most=3), catalog()) == {RULE: ["4 units, asked are at most 3"]}


def test_each_unit_has_a_position_in_the_rack() -> None:
    """Four units don't go into three places; three go into four."""
    ask = make_ask(rack_positions=[10, 11, 12])
    assert found(ring(3), ask, catalog()) == {}
    assert found(ring(3), make_ask(rack_positions=[10, 11, 12, 13]), catalog()) == {}
    assert found(ring(4), ask, catalog())[RULE] == ["4 units, the rack has 3 positions for them"]
