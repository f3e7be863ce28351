"""A stack has no more units than the smallest limit of its members."""

from __future__ import annotations

from tests.rules.power_world import found
from tests.rules.stacking_world import alone, catalog, family, member, ring, stacking_type
from tests.rules.worlds import make_ask

RULE = "stacking.size"
FOUR = [family(largest_stack=4)]


def test_a_stack_of_the_familys_size_is_right() -> None:
    """Four units of a family that stacks four, and a unit alone of one that doesn't stack."""
    assert found(ring(4), make_ask(), catalog(families=FOUR)) == {}
    assert found(alone(), make_ask(), catalog(families=[family(largest_stack=1)])) == {}


def test_a_fifth_unit_is_too_much() -> None:
    """Five units of a family that stacks four."""
    assert found(ring(5), make_ask(), catalog(families=FOUR)) == {RULE: ["5 units, a stack of F has at most 4"]}


def test_a_types_own_limit_replaces_the_familys() -> None:
    """The type stacks six where the family stacks four, or three where it stacks four."""
    assert found(ring(6), make_ask(), catalog(stacking_type(largest_stack=6), families=FOUR)) == {}
    texts = found(ring(4), make_ask(), catalog(stacking_type(largest_stack=3), families=FOUR))
    assert texts == {RULE: ["4 units, a stack with T has at most 3"]}


def test_the_smallest_member_limits_a_mixed_stack() -> None:
    """One unit of a type that stacks three makes a ring of four too large."""
    small = catalog(stacking_type(), stacking_type("SMALL", largest_stack=3))
    units = [member(1), member(2, "SMALL"), member(3), member(4)]
    assert found(ring(units), make_ask(), small) == {RULE: ["4 units, a stack with SMALL has at most 3"]}


def test_the_smallest_family_limits_a_mixed_stack() -> None:
    """A family that stacks four joins one that stacks eight: five are too many."""
    families = [family("F", stacks_with=["G"]), family("G", stacks_with=["F"], largest_stack=4)]
    mixed = catalog(stacking_type(), stacking_type("OLD", family="G"), families=families)
    units = [member(1), member(2), member(3), member(4), member(5, "OLD")]
    assert found(ring(units), make_ask(), mixed) == {RULE: ["5 units, a stack of G has at most 4"]}
