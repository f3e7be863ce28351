"""Where earthing lugs are asked, each unit has one that is made for its type."""

from __future__ import annotations

from configurator.build import Along, BuiltUnit
from configurator_rules.racking.lugs import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, part, unit, unit_type

TYPES = [unit_type(group("access", 24)), unit_type(group("access", 24), id="BARE")]
CATALOG = make_catalog(unit_types=TYPES, lugs=[part("LUG", unit_types=["T"]), part("SMALL", unit_types=["OTHER"])])
ASKED = make_ask(earthing_lugs=True)


def earthed(lug: str, **said: int) -> BuiltUnit:
    """A unit with this lug."""
    return unit(along=[Along(slot="lug", part=lug)], **said)


def test_a_lug_on_each_unit() -> None:
    assert breaches(RULE, build(earthed("LUG"), earthed("LUG", position=2)), ASKED, CATALOG) == []


def test_a_unit_without_one() -> None:
    assert breaches(RULE, build(earthed("LUG"), unit(position=2)), ASKED, CATALOG) == [
        "unit 2: T has no lug, made for it are: LUG"
    ]


def test_a_lug_of_another_type() -> None:
    assert breaches(RULE, build(earthed("SMALL")), ASKED, CATALOG) == ["unit 1: T has no lug, made for it are: LUG"]


def test_a_type_that_no_lug_is_made_for() -> None:
    bare = unit(unit_type="BARE", along=[Along(slot="lug", part="LUG")])
    assert breaches(RULE, build(bare), ASKED, CATALOG) == ["unit 1: BARE can't be earthed: no lug is made for it"]


def test_nobody_who_does_not_ask_gets_one() -> None:
    assert breaches(RULE, build(unit()), make_ask(), CATALOG) == []
    assert breaches(RULE, build(unit()), make_ask(earthing_lugs=False), CATALOG) == []


def test_a_catalog_without_lugs_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=TYPES))
