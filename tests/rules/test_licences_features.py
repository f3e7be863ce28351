"""A feature asked of a stack is licensed on every unit of it, or once for the whole stack."""

from __future__ import annotations

from configurator_rules.licences.features import RULE
from tests.rules.service_world import feature, has, licence, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    typed("OWN", features=["routing"]),
    features=[feature("routing"), feature("sensing"), feature("free", licensed=False)],
    licences=[
        licence("L", "routing"),
        licence("LS", "routing", "sensing"),
        licence("ALL", "routing", scope="stack"),
        licence("P", "routing", scope="port"),
    ],
)
ROUTING = make_ask(features=["routing"])


def test_every_unit_has_a_licence_with_the_feature() -> None:
    assert told(RULE, build(*units(has("L"), has("LS"), has("L"))), ROUTING, CATALOG) == []


def test_one_licence_may_have_several_features() -> None:
    both = make_ask(features=["routing", "sensing"])
    assert told(RULE, build(*units(has("LS"))), both, CATALOG) == []
    assert told(RULE, build(*units(has("L"))), both, CATALOG) == [
        "unit 1: no licence for sensing, which 0 of 1 units have"
    ]


def test_once_for_the_whole_stack() -> None:
    assert told(RULE, build(*units((), (), ()), along=has("ALL")), ROUTING, CATALOG) == []


def test_a_type_that_has_it_needs_no_licence() -> None:
    assert told(RULE, build(*units((), name="OWN")), ROUTING, CATALOG) == []


def test_a_feature_without_licences_needs_none() -> None:
    assert told(RULE, build(*units(())), make_ask(features=["free"]), CATALOG) == []


def test_some_units_are_not_all() -> None:
    assert told(RULE, build(*units(has("L"), (), has("L"))), ROUTING, CATALOG) == [
        "unit 2: no licence for routing, which 2 of 3 units have"
    ]


def test_a_licence_for_ports_or_one_in_the_wrong_place_is_none() -> None:
    """A port's licence covers no unit; a stack's is the stack's, a unit's the unit's."""
    none = "unit 1: no licence for routing, which 0 of 1 units have"
    assert told(RULE, build(*units(has("P"))), ROUTING, CATALOG) == [none]
    assert told(RULE, build(*units(has("ALL"))), ROUTING, CATALOG) == [none]
    assert told(RULE, build(*units(()), along=has("L")), ROUTING, CATALOG) == [none]
    assert told(RULE, build(*units(has(L=0))), ROUTING, CATALOG) == [none]


def test_a_feature_that_nobody_knows_is_nobodys() -> None:
    assert told(RULE, build(*units(has("LS"))), make_ask(features=["flying"]), CATALOG) == [
        "unit 1: no licence for flying, which 0 of 1 units have"
    ]


def test_a_catalog_without_features_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog())
