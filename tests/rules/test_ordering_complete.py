"""Everything in the build is ordered, or is in the box of something ordered."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules.ordering.complete import RULE
from tests.rules.order_world import order, order_ask, order_breaches, spare
from tests.rules.worlds import (
    bought,
    breaches,
    build,
    cage,
    group,
    make_ask,
    make_catalog,
    optic,
    part,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
)

OUTPUTS = [{"from_v": 100, "to_v": 240, "output_w": 500}]
CORD = {"countries": ["DE"], "coupler": "C13", "plug": "CEE 7-7", "rating_a": 10, "length_m": 2}
TYPE = unit_type(group("access", 8), cage("up", 4))
CATALOG = make_catalog(
    unit_types=[TYPE, {**TYPE, "id": "T2"}],
    boxes=[
        part("BOX", unit="T"),
        part("BOX2", unit="T2"),
        part(
            "FULL", unit="T", contents=[{"part": "PS", "count": 2}, {"part": "CORD"}, {"part": "FAN", "movable": True}]
        ),
        part("RICH", unit="T", contents=[{"part": "DAC", "count": 3}]),
    ],
    kits=[
        part("KIT", contents=[{"part": "CORD", "count": 2, "movable": True}]),
        part("FIXED", contents=[{"part": "CORD", "count": 2}]),
    ],
    supplies=[part("PS", outputs=OUTPUTS, inlet="C14"), part("PSB", outputs=OUTPUTS)],
    fan_trays=[part("FAN", airflow="front-to-back")],
    modules=[part("M", ports=[cage("up", 4)])],
    cords=[part("CORD", **CORD)],
    optics=[optic("SR")],
    cables=[twinax("DAC", 1), twinax("FANOUT", 1, ways=4)],
    stack_adapters=[part("AD", unit_types=["T"])],
)
ASK = make_ask(ports=[{"count": 1}])
PS_WITH_CORD = {"bay": 1, "supply": "PS", "cord": "CORD"}
LINK = {"from_unit": 1, "to_unit": 2, "way_m": "0.4", "speed_mbps": 10_000, "parts": ["DAC"]}


def found(*units: Any, **said: Any) -> list[str]:
    """What is missing from a build."""
    return breaches(RULE, build(*units, **said), ASK, CATALOG)


def test_a_base_unit_and_loose_parts() -> None:
    """Every part that a unit can hold, each ordered."""
    fitted = {
        "supplies": [PS_WITH_CORD, {"bay": 2, "supply": "PS", "cord": "CORD"}],
        "fan_trays": ["FAN"],
        "modules": [{"slot": "S", "module": "M"}],
        "adapters": ["AD"],
        "splits": [split("up", 2, "FANOUT")],
    }
    uses = [uplink("up", 1, "SR"), *(uplink("up", 2, "FANOUT", way=w) for w in (1, 2, 3, 4))]
    lines = {"BOX": 1, "PS": 2, "CORD": 2, "FAN": 1, "M": 1, "AD": 1, "FANOUT": 1, "SR": 1}
    assert found(unit(*uses, **fitted, bought=bought(**lines))) == []
    for number in set(lines) - {"BOX"}:
        fewer = bought(**{n: count - (n == number) for n, count in lines.items() if count - (n == number)})
        missing = f"unit 1: {number}: 1 more needed by unit 1, 0 to be had for it"
        assert found(unit(*uses, **fitted, bought=fewer)) == [missing]


def test_what_is_in_the_box_isnt_ordered_again() -> None:
    """A bundle with two supplies and one cord: only the second cord is ordered."""
    supplies = [PS_WITH_CORD, {"bay": 2, "supply": "PS", "cord": "CORD"}]
    one = unit(box="FULL", supplies=supplies, fan_trays=["FAN"], bought=bought(FULL=1, CORD=1))
    assert found(one) == []
    kit = unit(box="FULL", supplies=supplies, bought=bought(FULL=1, KIT=1))
    assert found(kit) == []


def test_a_built_in_supply_isnt_ordered() -> None:
    """Bay 0 is the unit's own; its cord is still a part."""
    own = unit(supplies=[{"bay": 0, "supply": "PSB", "cord": "CORD"}], bought=bought(BOX=1))
    assert found(own) == ["unit 1: CORD: 1 more needed by unit 1, 0 to be had for it"]


def test_contents_stay_with_their_unit() -> None:
    """A box's spare supply doesn't serve the next unit; a fan tray that may be moved does."""
    full = unit(box="FULL", bought=bought(FULL=1))
    bare = unit(supplies=[{"bay": 1, "supply": "PS"}], fan_trays=["FAN"], position=2, bought=bought(BOX=1))
    assert found(full, bare) == ["unit 2: PS: 1 more needed by unit 2, 0 to be had for it"]


def test_a_spare_serves_once() -> None:
    """One movable fan tray for two units that lack one; and none when its own unit uses it."""
    full = unit(box="FULL", bought=bought(FULL=1))
    bare = unit(fan_trays=["FAN"], position=2, bought=bought(BOX=1))
    third = bare.model_copy(update={"position": 3})
    assert found(full, bare) == []
    assert found(full, bare, third) == ["FAN: 2 more needed by unit 2, 3, 1 to be had for it"]
    using = full.model_copy(update={"fan_trays": ("FAN",)})
    assert found(using, bare) == ["unit 2: FAN: 1 more needed by unit 2, 0 to be had for it"]


def test_cables_in_a_box_serve_any_unit_and_any_link() -> None:
    """Three cables in one box: one for its own uplink, one for the other unit's, one for the link."""
    rich = unit(uplink("up", 1, "DAC"), box="RICH", bought=bought(RICH=1))
    other = unit(uplink("up", 1, "DAC"), position=2, bought=bought(BOX=1))
    assert found(rich, other, links=[LINK]) == []
    assert found(rich, other, links=[LINK, LINK]) == [
        "DAC: 3 more needed by unit 2 and links and far ends, 2 to be had for it"
    ]


def test_what_is_ordered_for_the_stack_serves_any() -> None:
    one = unit(uplink("up", 1, "SR"), supplies=[PS_WITH_CORD], bought=bought(BOX=1, PS=1))
    far = [{"statement": "uplinks[0]", "part": "SR", "count": 2}]
    assert found(one, far_ends=far, bought=bought(SR=3, KIT=1)) == []
    assert found(one, far_ends=far, bought=bought(SR=2, KIT=1)) == [
        "SR: 3 more needed by unit 1 and links and far ends, 2 to be had for it"
    ]


def test_what_lies_in_a_box_ordered_for_the_stack_serves_a_unit_only_if_it_may_move() -> None:
    one = unit(uplink("up", 1, "SR"), supplies=[PS_WITH_CORD], bought=bought(BOX=1, PS=1))
    assert found(one, bought=bought(SR=1, FIXED=1)) == ["unit 1: CORD: 1 more needed by unit 1, 0 to be had for it"]


def test_a_unit_comes_in_one_box_of_its_type() -> None:
    assert found(unit()) == ["unit 1: 1 of BOX is to be ordered for the unit, boxes ordered: none"]
    assert found(unit(bought=bought(BOX=2))) == [
        "unit 1: 1 of BOX is to be ordered for the unit, boxes ordered: 2 of BOX"
    ]
    assert found(unit(bought=bought(BOX=1, FULL=1))) == [
        "unit 1: 1 of BOX is to be ordered for the unit, boxes ordered: 1 of BOX, 1 of FULL"
    ]
    assert found(unit(box="BOX2", bought=bought(BOX2=1))) == ["unit 1: BOX2 isn't a box that holds the unit T"]
    assert found(unit(bought=bought(BOX=1)), bought=bought(BOX=1)) == ["1 of BOX, a unit's box, is ordered for no unit"]


@pytest.mark.parametrize(("number", "count"), [("NONE", 1), ("PS", 0), ("PS", -1)])
def test_lines_that_order_nothing(number: str, count: int) -> None:
    assert found(unit(bought=bought(BOX=1, **{number: count}))) == [f"unit 1: {count} of {number} can't be ordered"]
    assert found(unit(bought=bought(BOX=1)), bought=bought(**{number: count})) == [
        f"{count} of {number} can't be ordered"
    ]


def test_a_link_without_a_cable_is_no_units_fault() -> None:
    one, two = unit(bought=bought(BOX=1)), unit(position=2, bought=bought(BOX=1))
    assert found(one, two, links=[LINK], bought=bought(DAC=1)) == []
    assert found(one, two, links=[LINK]) == ["DAC: 1 more needed by links and far ends, 0 to be had for it"]


@pytest.mark.parametrize("said", [{"box": "PS"}, {"box": "NONE"}, {"unit_type": "NONE"}])
def test_a_box_that_is_none(said: dict[str, str]) -> None:
    """A supply isn't a box, nor is a part nobody knows; and no box holds a type nobody knows."""
    one = unit(bought=bought(BOX=1), **said)
    box, held = said.get("box", "BOX"), said.get("unit_type", "T")
    assert f"unit 1: {box} isn't a box that holds the unit {held}" in found(one)


# --- the order as a whole ---------------------------------------------------------------------------

STACK = build(unit(bought=bought(BOX=1, PS=2)), bought=bought(DAC=1))


def test_the_order_covers_every_copy_and_the_spares() -> None:
    """Three copies need 6 of PS, and one more lies on the shelf; more than that does no harm."""
    good = order((3, STACK), spares=[spare("PS", 1)], BOX=3, PS=7, DAC=4)
    assert order_breaches(RULE, good, order_ask(copies=3), CATALOG) == []


def test_an_order_that_is_short_of_a_part() -> None:
    short = order((3, STACK), spares=[spare("PS", 1)], BOX=3, PS=6, CORD=1)
    assert order_breaches(RULE, short, order_ask(copies=3), CATALOG) == [
        "3 of DAC needed by stacks and spares, 0 on the order",
        "7 of PS needed by stacks and spares, 6 on the order",
    ]


def test_copies_may_be_built_differently_but_none_is_left_out() -> None:
    other = build(unit(bought=bought(FULL=1)))
    both = order((2, STACK), (1, other), BOX=2, PS=4, DAC=2, FULL=1)
    assert order_breaches(RULE, both, order_ask(copies=3), CATALOG) == []
    assert order_breaches(RULE, both, order_ask(copies=4), CATALOG) == ["closet: 4 stacks asked, 3 on the order"]


def test_a_stack_that_cant_be_met_is_not_on_the_order() -> None:
    assert order_breaches(RULE, order(), order_ask(copies=4), CATALOG) == []


def test_lines_that_cant_be_ordered() -> None:
    assert order_breaches(RULE, order(PS=0, NONE=2), order_ask(), CATALOG) == [
        "0 of PS can't be ordered",
        "2 of NONE can't be ordered",
    ]
