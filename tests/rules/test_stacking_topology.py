"""Links join all units of a stack into one ring or one chain, as asked and as the families allow."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Build
from configurator.conflicts.relax import without
from tests.rules.power_world import found
from tests.rules.stacking_world import alone, catalog, family, link, member, ring, stack
from tests.rules.worlds import make_ask, unit

RULE = "stacking.topology"


def joined(topology: str | None, units: int, *ends: tuple[int, int]) -> Build:
    """So many units with a link for each pair."""
    return stack(units, topology, *(link(a, b) for a, b in ends))


def check(build: Build, asked: dict[str, Any], **of_family: Any) -> list[str]:
    """What this rule finds; nothing else is wrong with these stacks."""
    wrong = found(build, make_ask(**asked), catalog(families=[family(**of_family)]))
    assert set(wrong) <= {RULE}
    return wrong.get(RULE, [])


# --- good ones --------------------------------------------------------------------------------------


def test_a_unit_alone_has_no_links() -> None:
    """A stack of one is no ring, whatever is asked."""
    assert check(alone(), {}) == []
    assert check(alone(), {"topology": "ring"}) == []


@pytest.mark.parametrize("units", [3, 4, 5, 8])
def test_a_ring_goes_once_through_all_units(units: int) -> None:
    """Of n units each has two neighbours, which makes n links."""
    assert check(ring(units), {}) == []
    assert check(ring(units), {"topology": "ring"}) == []


@pytest.mark.parametrize(
    "ends",
    [
        [(1, 2), (2, 4), (4, 3), (3, 1)],  # over every other unit: no return cable
        [(3, 1), (1, 2), (3, 4), (4, 2)],
        [(1, 3), (3, 2), (2, 4), (4, 1)],
    ],
)
def test_the_lacing_of_a_ring_does_not_matter(ends: list[tuple[int, int]]) -> None:
    """Whichever units are neighbours, the ring is one."""
    assert check(joined("ring", 4, *ends), {"topology": "ring"}) == []


def test_a_chain_has_a_link_less() -> None:
    """Three units have two links, in any order."""
    assert check(joined("chain", 3, (1, 2), (2, 3)), {"topology": "chain"}) == []
    assert check(joined("chain", 4, (2, 1), (4, 2), (3, 4)), {"topology": "chain"}) == []


def test_two_units_have_two_links_in_a_ring_and_one_in_a_chain() -> None:
    """Where nothing is said of two units."""
    assert check(joined("ring", 2, (1, 2), (1, 2)), {}) == []
    assert check(joined("ring", 2, (1, 2), (2, 1)), {}) == []
    assert check(joined("chain", 2, (1, 2)), {"topology": "chain"}) == []


def test_two_units_have_the_links_asked_or_allowed() -> None:
    """One link is asked; or the family joins two units by one link only."""
    assert check(joined("ring", 2, (1, 2)), {"two_unit_links": 1}) == []
    assert check(joined("ring", 2, (1, 2), (1, 2)), {"two_unit_links": 2}) == []
    assert check(joined("ring", 2, (1, 2)), {}, two_unit_links=[1]) == []


def test_a_family_that_only_chains_is_chained_unless_asked() -> None:
    """Where nothing is asked a stack is a ring if its family allows one."""
    assert check(joined("chain", 3, (1, 2), (2, 3)), {}, topologies=["chain"]) == []


@pytest.mark.parametrize(("topology", "links"), [("chain", 1), ("ring", 1), ("ring", 2)])
def test_of_what_is_set_aside_anything_will_do(topology: str, links: int) -> None:
    """Without its own wish a conflict's demand leaves topology and number of links open; a default asks for more."""
    pair, asked = joined(topology, 2, *[(1, 2)] * links), make_ask(topology="chain", two_unit_links=1)
    laxer = without(asked, frozenset({"topology", "two_unit_links"}))
    assert found(pair, laxer, catalog(families=[family()])) == {}


# --- bad ones ---------------------------------------------------------------------------------------


def test_a_ring_without_its_last_link_is_none() -> None:
    """Three units and two links."""
    assert check(joined("ring", 3, (1, 2), (2, 3)), {}) == ["2 links, a ring of 3 units has 3"]


def test_a_chain_with_a_link_too_many_is_none() -> None:
    """Three units and three links."""
    assert check(joined("chain", 3, (1, 2), (2, 3), (3, 1)), {"topology": "chain"}) == [
        "3 links, a chain of 3 units has 2"
    ]


def test_two_rings_are_not_one() -> None:
    """Six units in two rings of three: each has two neighbours, but the first ring doesn't know the second."""
    two = joined("ring", 6, (1, 2), (2, 3), (3, 1), (4, 5), (5, 6), (6, 4))
    assert check(two, {}) == ["links from unit 1 don't lead to units [4, 5, 6]"]


def test_a_chain_that_branches_is_none() -> None:
    """Four units around the second."""
    assert check(joined("chain", 4, (2, 1), (2, 3), (2, 4)), {"topology": "chain"}) == [
        "unit 2: 3 links end at this unit, a chain has at most 2"
    ]


def test_a_ring_that_leaves_a_unit_out_is_none() -> None:
    """Four links among three of four units."""
    assert check(joined("ring", 4, (1, 2), (2, 3), (3, 1), (1, 2)), {}) == [
        "unit 1: 3 links end at this unit, a ring has at most 2",
        "unit 2: 3 links end at this unit, a ring has at most 2",
        "links from unit 1 don't lead to units [4]",
    ]


def test_a_link_does_not_lead_back_to_its_own_unit() -> None:
    """A loop at the first unit and one at the second."""
    wrong = found(joined("ring", 2, (1, 1), (2, 2)), make_ask(), catalog())
    assert wrong[RULE] == ["links from unit 1 don't lead to units [2]"]


def test_a_link_to_a_unit_that_is_not_there_is_told() -> None:
    """Three units, and a link to a ninth."""
    wrong = found(joined("chain", 3, (1, 2), (2, 9)), make_ask(topology="chain"), catalog())
    assert wrong[RULE] == [
        "a link ends at unit 9, which isn't there",
        "links from unit 1 don't lead to units [3]",
    ]


def test_two_units_do_not_stand_at_one_position() -> None:
    """Three units at positions 1, 2 and 2."""
    build = stack([member(1), member(2), member(2)], "chain", link(1, 2), link(1, 2))
    assert "3 units stand at 2 positions" in found(build, make_ask(topology="chain"), catalog())[RULE]


@pytest.mark.parametrize(
    ("links", "asked", "text"),
    [
        (1, {}, "1 links, a ring of 2 units has 2"),
        (1, {"two_unit_links": 2}, "1 links, a ring of 2 units has 2"),
        (2, {"two_unit_links": 1}, "2 links, a ring of 2 units has 1"),
        (3, {}, "3 links, a ring of 2 units has 2"),
        (0, {}, "0 links, a ring of 2 units has 2"),
    ],
)
def test_two_units_have_neither_fewer_nor_more_links(links: int, asked: dict[str, Any], text: str) -> None:
    """One or two links, as asked, two where nothing is."""
    assert check(joined("ring", 2, *[(1, 2)] * links), asked) == [text]


def test_two_units_have_no_second_link_where_the_family_has_none() -> None:
    """The family joins two units by one link, two are asked and there."""
    assert check(joined("ring", 2, (1, 2), (1, 2)), {}, two_unit_links=[1]) == ["2 links, a ring of 2 units has 1"]
    assert check(joined("ring", 2, (1, 2), (1, 2)), {"two_unit_links": 2}, two_unit_links=[1]) == [
        "2 links join two units, F has 1"
    ]


def test_a_chain_of_two_has_one_link() -> None:
    """Two links are asked: a chain of two has one, and with two it is no chain."""
    asked = {"topology": "chain", "two_unit_links": 2}
    assert check(joined("chain", 2, (1, 2)), asked) == ["1 links join two units, asked are 2"]
    assert check(joined("chain", 2, (1, 2), (1, 2)), asked) == ["2 links, a chain of 2 units has 1"]


def test_a_unit_alone_with_a_link_is_wrong() -> None:
    """A link from the unit to itself."""
    build = Build(stack="closet", units=(unit(),), links=(link(1, 1),))
    assert found(build, make_ask(), catalog())[RULE] == ["1 links, a unit alone has none"]


def test_the_topology_is_the_one_asked() -> None:
    """A ring is asked, a chain is there; and the other way round."""
    assert check(joined("chain", 3, (1, 2), (2, 3)), {"topology": "ring"}) == ["the stack is a chain, asked is a ring"]
    assert check(ring(3), {"topology": "chain"}) == ["the stack is a ring, asked is a chain"]


def test_where_nothing_is_asked_a_ring_is_made() -> None:
    """A family that allows a ring is not chained by itself."""
    assert check(joined("chain", 3, (1, 2), (2, 3)), {}) == [
        "the stack is a chain; where nothing is asked it is a ring, and every member allows one"
    ]


def test_a_family_has_the_topology() -> None:
    """A family that only chains makes no ring, asked or not."""
    assert check(ring(3), {}, topologies=["chain"]) == ["the stack is a ring, F has chain"]


def test_two_units_without_a_topology_are_no_stack() -> None:
    """The build says neither ring nor chain."""
    assert check(joined(None, 2, (1, 2), (1, 2)), {}) == ["2 units are neither a ring nor a chain"]
