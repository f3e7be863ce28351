"""Every empty supply bay and module slot has a panel where there is one for the type."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Along, Build
from configurator_rules.racking.blanks import RULE
from tests.rules.power_world import fitted, supply
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, part, unit, unit_type

BAYS: dict[str, Any] = {
    "supply_bays": {"count": 2, "takes": ["PS"]},
    "module_slots": [{"id": "S1", "takes": ["CARD"]}, {"id": "S2", "takes": ["CARD"]}],
}
TYPES = [
    unit_type(group("access", 24), **BAYS),
    unit_type(group("access", 24), id="OTHER", **BAYS),
    unit_type(group("access", 24), id="CLOSED", built_in_supply="PS"),
]
BLANKS = [
    part("BAY", fills="supply bay", unit_types=["T"]),
    part("SLOT", fills="module slot", unit_types=["T"]),
    part("OTHER-SLOT", fills="module slot", unit_types=["OTHER"]),
]
CATALOG = make_catalog(unit_types=TYPES, blanks=BLANKS, supplies=[supply("PS", (90, 240, 600))], modules=[part("CARD")])
IN_S1 = [{"slot": "S1", "module": "CARD"}]


def half_full(panels: dict[str, int], of: str = "T") -> Build:
    """A unit with one supply and one module, and so many panels by part and slot of the need."""
    slots = {"BAY": "blank supply bay", "SLOT": "blank module slot", "OTHER-SLOT": "blank module slot"}
    along = [Along(slot=slots[name], part=name, count=n) for name, n in panels.items()]
    return build(unit(unit_type=of, supplies=fitted("PS"), modules=IN_S1, along=along))


def test_a_panel_in_each_empty_bay_and_slot() -> None:
    assert breaches(RULE, half_full({"BAY": 1, "SLOT": 1}), make_ask(), CATALOG) == []


def test_a_full_unit_needs_none() -> None:
    modules = [*IN_S1, {"slot": "S2", "module": "CARD"}]
    full = build(unit(supplies=fitted("PS", "PS"), modules=modules))
    assert breaches(RULE, full, make_ask(), CATALOG) == []


@pytest.mark.parametrize(
    ("panels", "text"),
    [
        ({"SLOT": 1}, "empty supply bays: 1, panels for them: 0, short by 1"),
        ({"BAY": 1}, "empty module slots: 1, panels for them: 0, short by 1"),
        ({"BAY": 1, "OTHER-SLOT": 1}, "empty module slots: 1, panels for them: 0, short by 1"),
    ],
)
def test_a_panel_is_missing_or_is_for_another_type(panels: dict[str, int], text: str) -> None:
    assert breaches(RULE, half_full(panels), make_ask(), CATALOG) == [f"unit 1: {text}"]


def test_two_empty_slots_need_two() -> None:
    empty = build(unit(supplies=fitted("PS", "PS"), along=[Along(slot="blank module slot", part="SLOT")]))
    assert breaches(RULE, empty, make_ask(), CATALOG) == [
        "unit 1: empty module slots: 2, panels for them: 1, short by 1"
    ]


def test_what_has_no_panel_in_the_catalog_stays_open() -> None:
    """No panel is made for the other type's bays, and a built-in supply has no bay."""
    assert breaches(RULE, half_full({"OTHER-SLOT": 1}, "OTHER"), make_ask(), CATALOG) == []
    closed = build(unit(unit_type="CLOSED", supplies=[{"bay": 0, "supply": "PS"}]))
    assert breaches(RULE, closed, make_ask(), CATALOG) == []


def test_who_wants_no_panels_gets_none() -> None:
    assert breaches(RULE, half_full({}), make_ask(blank_panels=False), CATALOG) == []


def test_a_catalog_without_panels_is_free_of_the_rule() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(unit_types=TYPES))
