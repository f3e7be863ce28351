"""Each unit has a rack kit for its type and for the posts of the rack."""

from __future__ import annotations

import pytest

from configurator.build import Along, BuiltUnit
from configurator_rules.racking.kit import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, part, unit, unit_type

KITS = [
    part("RAILS", posts=4),
    part("BRACKETS", posts=2, unit_types=["T"]),
    part("WIDE", posts=4, unit_types=["W"]),
]
TYPES = [unit_type(group("access", 24)), unit_type(group("access", 24), id="W")]
CATALOG = make_catalog(unit_types=TYPES, rack_kits=KITS)


def held(*kits: str, position: int = 1) -> BuiltUnit:
    """A unit with these kits."""
    return unit(position=position, along=[Along(slot="rack kit", part=kit) for kit in kits])


def test_a_kit_for_the_posts_and_the_type_holds_a_unit() -> None:
    """Rails that list no type are for all."""
    assert breaches(RULE, build(held("RAILS")), make_ask(rack_posts=4), CATALOG) == []
    assert breaches(RULE, build(held("BRACKETS")), make_ask(rack_posts=2), CATALOG) == []


def test_without_posts_nothing_is_asked() -> None:
    assert breaches(RULE, build(held()), make_ask(), CATALOG) == []


@pytest.mark.parametrize(
    ("kits", "has"),
    [
        ((), "none that holds it"),
        (("BRACKETS",), "BRACKETS for 2 posts"),
        (("WIDE",), "none that holds it"),
        (("T",), "none that holds it"),
    ],
)
def test_no_kit_or_one_for_other_posts_or_another_type(kits: tuple[str, ...], has: str) -> None:
    assert breaches(RULE, build(held(*kits)), make_ask(rack_posts=4), CATALOG) == [
        f"unit 1: T needs a kit for 4 posts, it has {has}"
    ]


def test_each_unit_has_its_own() -> None:
    """Two kits in the first unit hold no second one."""
    two = build(held("RAILS", "RAILS"), held(position=2))
    assert breaches(RULE, two, make_ask(rack_posts=4), CATALOG) == [
        "unit 2: T needs a kit for 4 posts, it has none that holds it"
    ]


def test_a_kit_in_another_slot_counts_for_nothing() -> None:
    one = unit(along=[Along(slot="lug", part="RAILS"), Along(slot="rack kit", part="RAILS", count=0)])
    assert breaches(RULE, build(one), make_ask(rack_posts=4), CATALOG) != []


def test_a_catalog_without_kits_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=TYPES))
