"""A unit that stacks has the adapters its type needs."""

from __future__ import annotations

from tests.rules.power_world import found
from tests.rules.stacking_world import alone, catalog, link, member, ring, stack, stacking_type
from tests.rules.worlds import make_ask, part

RULE = "stacking.adapter"
ADAPTERS = [part("CARD", unit_types=["T"]), part("PLUG", unit_types=["OLD"], count=2)]
CATALOG = catalog(stacking_type(), stacking_type("OLD"), stacking_type("NEW"), stack_adapters=ADAPTERS)
READY = [member(1, adapters=("CARD",)), member(2, "OLD", adapters=("PLUG", "PLUG")), member(3, "NEW")]


def test_each_unit_has_what_its_type_needs() -> None:
    """Type T needs one card, type OLD two plugs, type NEW nothing."""
    assert found(ring(READY), make_ask(), CATALOG) == {}


def test_two_units_are_a_stack() -> None:
    """Neither of two has its card."""
    ends = (link(1, 2), link(2, 1))
    texts = found(stack(2, "ring", *ends), make_ask(), CATALOG)
    assert texts == {RULE: [f"unit {position}: T stacks with 1 CARD, it has 0: short by 1" for position in (1, 2)]}


def test_a_card_is_missing() -> None:
    """The first unit has no card."""
    units = [member(1), *READY[1:]]
    assert found(ring(units), make_ask(), CATALOG) == {RULE: ["unit 1: T stacks with 1 CARD, it has 0: short by 1"]}


def test_one_plug_of_two_is_missing() -> None:
    """The second unit has one plug, and a card that is of no use to it."""
    units = [READY[0], member(2, "OLD", adapters=("PLUG", "CARD")), READY[2]]
    assert found(ring(units), make_ask(), CATALOG) == {RULE: ["unit 2: OLD stacks with 2 PLUG, it has 1: short by 1"]}


def test_a_unit_alone_needs_no_adapter() -> None:
    """It stacks with none."""
    assert found(alone(), make_ask(), CATALOG) == {}
