"""Which stacks stand in which closet; the figures of one hand-made stack are in test_facility."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from configurator import cautions
from configurator.answer_facility import Closet
from configurator.demand import Outlets
from configurator.facilities.closets import closets_of
from configurator.render import facility as sheet
from configurator.render.sections import as_text
from configurator.setting import Ask
from tests.unit import hand_made

CATALOG = hand_made.catalog()
BUILD = hand_made.build()


def closets(*asks: Ask) -> tuple[Closet, ...]:
    return closets_of([(ask, BUILD) for ask in asks], CATALOG)


def test_a_stack_that_names_no_closet_has_a_room_of_its_own_and_so_has_each_copy() -> None:
    first, second = closets(hand_made.ask("Library"), hand_made.ask("Annexe", copies=3))
    assert (first.name, first.own, first.rooms, [(one.name, one.copies) for one in first.stacks]) == (
        "Library",
        True,
        1,
        [("Library", 1)],
    )
    assert (second.name, second.own, second.rooms, [(one.name, one.copies) for one in second.stacks]) == (
        "Annexe",
        True,
        3,
        [("Annexe", 1)],
    )
    assert second.facility is not None
    assert (second.facility.rack_units, second.facility.plug_w) == (2, Decimal("229.7"))


def test_all_copies_stand_in_the_closet_that_is_named() -> None:
    """Library once and Loft twice: three times 206.7 W of load, 689 W at the plugs, exactly."""
    east, other = closets(
        hand_made.ask("Library", closet="East"), hand_made.ask("Annexe"), hand_made.ask("Loft", copies=2, closet="East")
    )
    assert (east.name, east.own, east.rooms) == ("East", False, 1)
    assert [(one.name, one.copies, one.built) for one in east.stacks] == [("Library", 1, True), ("Loft", 2, True)]
    assert other.name == "Annexe"
    one = east.facility
    assert one is not None
    assert (one.rack_units, one.weight_kg, one.heaviest_kg, one.load_w) == (
        6,
        Decimal(36),
        Decimal("6.5"),
        Decimal("620.1"),
    )
    assert (one.poe_w, one.plug_w, one.volt_amperes) == (Decimal("352.8"), Decimal(689), Decimal("725.3"))
    assert (one.closet_w, one.heat_btu_h) == (Decimal("336.2"), Decimal("2351.0"))  # 689 - 352.8; 689 x 3.412142
    assert [(inlets.count, inlets.feed) for inlets in one.inlets] == [(6, "A"), (3, "B")]
    assert [(outlets.plug, outlets.count) for outlets in one.outlets] == [("CEE 7/7", 9)]
    assert [(feed.feed, feed.amps, feed.lost_amps) for feed in one.feeds] == [
        ("A", Decimal("2.3"), Decimal("3.2")),  # 3 x 0.7587, 3 x 1.0511
        ("B", Decimal("0.9"), Decimal("1.8")),  # 3 x 0.2924, 3 x 0.5848
    ]


def test_each_stack_has_its_own_shared_circuit() -> None:
    ask = hand_made.ask("Loft", copies=2, closet="East", circuit={"amps": 2, "shared": True})
    (east,) = closets(replace(ask, setting=replace(ask.setting, circuit_amps=Decimal(2))))
    assert east.facility is not None
    told = [(one.feed, one.count, one.expected_a, one.within) for one in east.facility.circuits]
    assert told == [("A", 2, Decimal("0.8"), True), ("B", 2, Decimal("0.3"), True)]


def test_what_stacks_keep_within_one_by_one_they_may_exceed_together() -> None:
    """112.1 W stay of each, 224.2 W of both."""
    apart = closets(hand_made.ask("A", heat_w=150), hand_made.ask("B", heat_w=150))
    assert [one.facility and one.facility.limits[0].within for one in apart] == [True, True]
    (both,) = closets(hand_made.ask("A", heat_w=150, closet="East"), hand_made.ask("B", closet="East"))
    assert both.facility is not None
    (limit,) = both.facility.limits
    assert (limit.figure, limit.limit, limit.within) == (Decimal("224.2"), Decimal(150), False)
    over = as_text(one for one in sheet.overview([both]) if one.heading == "Over what the demand says")
    assert "East: heat that stays: 224.2 of 150 W allowed: 74.2 W TOO MUCH; stacks are proved one by one" in over


def test_a_limit_that_stacks_state_differently_is_not_the_rooms() -> None:
    (both,) = closets(hand_made.ask("A", heat_w=150, closet="East"), hand_made.ask("B", heat_w=140, closet="East"))
    assert both.facility is not None
    assert both.facility.limits == ()


def test_free_outlets_are_the_rooms_where_all_stacks_state_the_same() -> None:
    five, four = ((Outlets(plug="CEE 7/7", count=count),) for count in (5, 4))
    a, b = hand_made.ask("A", closet="East"), hand_made.ask("B", closet="East")
    for said, told in (((five, five), (6, 5, False)), ((five, four), (6, None, None)), ((five, None), (6, None, None))):
        (one,) = closets(replace(a, outlets=said[0]), replace(b, outlets=said[1]))
        assert one.facility is not None
        (outlets,) = one.facility.outlets
        assert (outlets.count, outlets.free, outlets.within) == told


def test_a_stack_without_a_build_is_left_out_and_told() -> None:
    a, b = hand_made.ask("A", closet="East"), hand_made.ask("B", closet="East")
    (both,) = closets_of([(a, BUILD), (b, None)], CATALOG)
    assert [(one.name, one.built) for one in both.stacks] == [("A", True), ("B", False)]
    assert both.facility is not None
    assert both.facility.rack_units == 2
    assert "B (has no build, left out of the figures)" in sheet.holds(both)
    (none,) = closets_of([(b, None)], CATALOG)
    assert none.facility is None


def test_a_room_of_one_stack_needs_no_table_of_closets() -> None:
    assert list(sheet.overview(closets(hand_made.ask()))) == []
    assert list(sheet.overview(closets(hand_made.ask(copies=2)))) != []


@pytest.mark.parametrize(
    ("weight_kg", "people", "words"),
    [
        ("23", 1, "1 person"),
        ("23.1", 2, "2 people"),
        ("30.6", 2, "2 people"),
        ("30.7", 3, "3 people"),
        ("34.5", 3, "3 people"),
        ("34.6", None, "lifting gear"),
    ],
)
def test_people_to_lift(weight_kg: str, people: int | None, words: str) -> None:
    assert cautions.lifters(Decimal(weight_kg)) == people
    assert cautions.lifting(Decimal(weight_kg)) == words


def test_cautions_tell_of_magnifiers_and_of_air_that_blows_both_ways() -> None:
    def text(*laser_classes: str, airflow: tuple[str, ...] = ()) -> str:
        return " ".join(
            cautions.cautions(feeds_poe=False, heaviest_kg=None, laser_classes=laser_classes, airflow=airflow)
        )

    assert "magnifier" in text("1", "1M")
    assert "magnifier" not in text("1")
    both = ("back-to-front", "front-to-back")
    assert "others back-to-front" in text(airflow=both)
    assert "Air:" not in text(airflow=both[:1])
