"""No more plugs of a type than free outlets of it."""

from __future__ import annotations

from typing import Any

from tests.rules.closet_world import shares
from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, part, unit

PS = supply("PS", (100, 240, 500), inlet="C14")


def cord(number: str, plug: str) -> dict[str, Any]:
    """A cord with this plug."""
    return part(number, countries=["DE"], coupler="C13", plug=plug, rating_a=10, length_m=2)


CATALOG = world(powered_type(60, "PS"), PS, cords=[cord("WALL", "CEE 7/7"), cord("STRIP", "C14")])
TWO = build(unit(supplies=fitted("PS", "PS", cord="STRIP")))
RULE = "power.outlets"


def asked(**free: int) -> dict[str, Any]:
    """Free outlets, `wall` and `strip`."""
    names = {"wall": "CEE 7/7", "strip": "C14"}
    return {"outlets": [{"plug": names[name], "count": count} for name, count in free.items()]}


def test_every_plug_has_an_outlet() -> None:
    """Two plugs go into two outlets, one of each type into one of each type."""
    assert found(TWO, make_ask(**asked(strip=2)), CATALOG) == {}
    bays = ({"bay": 1, "supply": "PS", "cord": "WALL"}, {"bay": 2, "supply": "PS", "cord": "STRIP"})
    assert found(build(unit(supplies=bays)), make_ask(**asked(strip=1, wall=1)), CATALOG) == {}


def test_two_plugs_do_not_go_into_one_outlet() -> None:
    """One outlet is free."""
    assert found(TWO, make_ask(**asked(strip=1, wall=9)), CATALOG) == {
        RULE: ["2 plugs C14 need an outlet, 1 are free: short by 1"]
    }


def test_a_type_that_is_not_listed_has_no_outlet() -> None:
    """Nine wall outlets take no strip plug."""
    assert found(TWO, make_ask(**asked(wall=9)), CATALOG) == {
        RULE: ["2 plugs C14 need an outlet, 0 are free: short by 2"]
    }


def test_plugs_of_all_units_count_together() -> None:
    """Two units with two plugs each need four outlets of the rack's three."""
    two = build(*(unit(supplies=fitted("PS", "PS", cord="STRIP"), position=p) for p in (1, 2)))
    assert found(two, make_ask(**asked(strip=3)), CATALOG)[RULE] == [
        "4 plugs C14 need an outlet, 3 are free: short by 1"
    ]


def test_outlets_stated_in_two_lines_add_up() -> None:
    """Two strips with one free outlet each have two."""
    free = [{"plug": "C14", "count": 1}, {"plug": "C14", "count": 1}]
    assert found(TWO, make_ask(outlets=free), CATALOG) == {}


def test_where_nobody_counts_outlets_there_are_enough() -> None:
    """Nothing is said about outlets."""
    assert found(TWO, make_ask(), CATALOG) == {}


def test_stacks_of_one_closet_share_it() -> None:
    """What is enough for one is not for two."""
    shares("power.outlets")
