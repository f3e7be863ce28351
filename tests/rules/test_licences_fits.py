"""A licence serves only the unit types that it lists."""

from __future__ import annotations

from configurator_rules.licences.fits import RULE
from tests.rules.service_world import feature, for_statement, has, licence, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    typed("U"),
    features=[feature("routing")],
    licences=[
        licence("ANY", "routing"),
        licence("FOR-T", "routing", unit_types=["T"]),
        licence("STACK-T", "routing", scope="stack", unit_types=["T"]),
        licence("PORT-TU", "routing", scope="port", unit_types=["T", "U"]),
    ],
)
ASK = make_ask(features=["routing"])
T, U = units(has("FOR-T"))[0], units(has("ANY"), name="U")[0].model_copy(update={"position": 2})


def test_licences_that_list_the_type_or_none() -> None:
    assert told(RULE, build(T, U), ASK, CATALOG) == []
    assert told(RULE, build(T, U, along=[for_statement("ports[0]", "PORT-TU", 2)]), ASK, CATALOG) == []
    assert told(RULE, build(T, along=has("STACK-T")), ASK, CATALOG) == []


def test_a_licence_for_another_type() -> None:
    assert told(RULE, build(*units((), has("FOR-T"), name="U")), ASK, CATALOG) == [
        "unit 2: licence FOR-T is for T, the unit is a U"
    ]


def test_a_licence_for_a_stack_lists_the_types_of_all_units() -> None:
    assert told(RULE, build(T, U, along=has("STACK-T")), ASK, CATALOG) == [
        "licence STACK-T is for T, the stack has U too"
    ]


def test_a_licence_for_ports_lists_the_types_of_all_units() -> None:
    one = build(*units((), name="V"), along=[for_statement("ports[0]", "PORT-TU", 2)])
    assert told(RULE, one, ASK, CATALOG) == ["licence PORT-TU is for T, U, the stack has V too"]


def test_licences_without_lists_are_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog(licences=[licence("ANY", "routing")]))
