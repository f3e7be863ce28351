"""Where a family says so, all units of a stack share the level and the term of their support."""

from __future__ import annotations

from configurator.build import Along, Build
from configurator_rules.support.alike import RULE
from tests.rules.service_world import contract, has, told, typed, world
from tests.rules.worlds import build, make_ask, make_catalog, unit

CATALOG = world(
    typed("T", family="F"),
    typed("U", family="F"),
    typed("LOOSE", family="G"),
    families=[{"id": "F", "support_alike": True, "largest_stack": 4}, {"id": "G", "largest_stack": 4}],
    support=[
        contract("B1"),
        contract("B1-OTHER"),
        contract("B3", term_months=36),
        contract("G1", level="gold"),
        contract("MONTH", by_month=True, term_months=60),
        contract("PART", level="gold", covers_parts=["SR"]),
    ],
)
ASK = make_ask(support_months=12)


def stack(*units: tuple[str, tuple[Along, ...]]) -> Build:
    """Units of these types with these contracts."""
    return build(*(unit(position=n, unit_type=name, along=along) for n, (name, along) in enumerate(units, start=1)))


def test_one_level_and_term() -> None:
    """By whatever contracts; parts contracts are no matter."""
    alike = stack(("T", has("B1")), ("U", has("B1-OTHER", "PART")), ("T", has(MONTH=12)))
    assert told(RULE, alike, ASK, CATALOG) == []


def test_another_term() -> None:
    assert told(RULE, stack(("T", has("B1")), ("U", has("B3"))), ASK, CATALOG) == [
        "units of F share their support's level and term, here are basic for 12 months; basic for 36 months"
    ]
    assert told(RULE, stack(("T", has("B1")), ("U", has(MONTH=13))), ASK, CATALOG) == [
        "units of F share their support's level and term, here are basic for 12 months; basic for 13 months"
    ]


def test_another_level() -> None:
    assert told(RULE, stack(("T", has("B1")), ("U", has("G1"))), ASK, CATALOG) == [
        "units of F share their support's level and term, here are basic for 12 months; gold for 12 months"
    ]


def test_one_family_that_minds_is_enough() -> None:
    assert told(RULE, stack(("LOOSE", has("B1")), ("T", has("B3"))), ASK, CATALOG) == [
        "units of F share their support's level and term, here are basic for 12 months; basic for 36 months"
    ]


def test_families_that_do_not_mind() -> None:
    assert told(RULE, stack(("LOOSE", has("B1")), ("LOOSE", has("G1"))), ASK, CATALOG) == []


def test_without_such_a_family_a_catalog_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(families=[{"id": "G"}]))
