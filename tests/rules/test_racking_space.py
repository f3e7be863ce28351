"""The units of a stack together take no more rack units than are free."""

from __future__ import annotations

from configurator_rules.racking.space import RULE
from tests.rules.closet_world import shares
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type

TYPES = [unit_type(group("access", 24)), unit_type(group("access", 48), id="TALL", rack_units=2)]
CATALOG = make_catalog(unit_types=TYPES)
MIXED = build(unit(), unit(position=2, unit_type="TALL"), unit(position=3, unit_type="TALL"))


def test_one_and_twice_two_take_five() -> None:
    assert breaches(RULE, MIXED, make_ask(rack_units_free=5), CATALOG) == []


def test_four_are_too_few() -> None:
    assert breaches(RULE, MIXED, make_ask(rack_units_free=4), CATALOG) == [
        "the units take 5 U together, 4 U are free: short by 1 U"
    ]


def test_one_unit_alone_may_be_too_tall() -> None:
    one = build(unit(unit_type="TALL"))
    assert breaches(RULE, one, make_ask(rack_units_free=1), CATALOG) == [
        "the units take 2 U together, 1 U are free: short by 1 U"
    ]


def test_where_nothing_is_said_there_is_room() -> None:
    assert breaches(RULE, MIXED, make_ask(), CATALOG) == []


def test_stacks_of_one_closet_share_it() -> None:
    """What is enough for one is not for two."""
    shares("racking.space")
