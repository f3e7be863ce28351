"""The units with what is fitted in them weigh no more than the rack still carries."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules.racking.weight import RULE
from tests.rules.closet_world import shares
from tests.rules.power_world import fitted, supply
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, part, unit, unit_type

PARTS: dict[str, Any] = {
    "supplies": [supply("PS", (90, 240, 600), weight_kg="1.1"), supply("LIGHT", (90, 240, 600))],
    "fan_trays": [part("FAN", airflow="front-to-back", weight_kg="0.3")],
    "modules": [part("CARD", weight_kg="0.25")],
}
CATALOG = make_catalog(unit_types=[unit_type(group("access", 24), weight_kg="5.2")], **PARTS)
# 5.2 + 2 * 1.1 + 2 * 0.3 + 0.25 kg
FULL = unit(supplies=fitted("PS", "PS"), fan_trays=["FAN", "FAN"], modules=[{"slot": "S", "module": "CARD"}])


def test_a_unit_weighs_what_is_in_it() -> None:
    assert breaches(RULE, build(FULL), make_ask(rack_weight_kg="8.25"), CATALOG) == []
    assert breaches(RULE, build(FULL), make_ask(), CATALOG) == []


def test_a_gram_too_much() -> None:
    assert breaches(RULE, build(FULL), make_ask(rack_weight_kg="8.249"), CATALOG) == [
        "the units weigh 8.25 kg, the rack carries 8.249 kg: over by 0.001 kg"
    ]


@pytest.mark.parametrize(
    ("bare", "most"),
    [({"supplies": fitted("PS")}, "6.2"), ({"fan_trays": ["FAN"]}, "5.4"), ({"modules": FULL.modules}, "5.4")],
)
def test_each_part_counts(bare: dict[str, Any], most: str) -> None:
    assert len(breaches(RULE, build(unit(**bare)), make_ask(rack_weight_kg=most), CATALOG)) == 1


def test_all_units_count() -> None:
    two = build(unit(), unit(position=2))
    assert breaches(RULE, two, make_ask(rack_weight_kg="10.4"), CATALOG) == []
    assert breaches(RULE, two, make_ask(rack_weight_kg="10.3"), CATALOG) == [
        "the units weigh 10.4 kg, the rack carries 10.3 kg: over by 0.1 kg"
    ]


def test_what_is_unknown_counts_nothing_and_what_is_built_in_is_the_units() -> None:
    one = unit(supplies=(*fitted("LIGHT"), {"bay": 0, "supply": "PS"}))
    assert breaches(RULE, build(one), make_ask(rack_weight_kg="5.2"), CATALOG) == []


def test_less_than_a_gram_is_a_gram() -> None:
    catalog = make_catalog(unit_types=[unit_type(group("access", 24), weight_kg="5.0001")])
    assert breaches(RULE, build(unit()), make_ask(rack_weight_kg="5.001"), catalog) == []
    assert breaches(RULE, build(unit()), make_ask(rack_weight_kg="5.0005"), catalog) == [
        "the units weigh 5.001 kg, the rack carries 5.0005 kg: over by 0.0005 kg"
    ]


def test_a_catalog_without_weights_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=[unit_type(group("access", 24))]))


def test_stacks_of_one_closet_share_it() -> None:
    """What is enough for one is not for two."""
    shares("racking.weight")
