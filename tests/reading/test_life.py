"""What can't be meant about the years of ownership, and about efficiencies, is refused where it stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reading.small import DEMAND, PARTS, asked_of, catalog_of, changed, only

LIFE = "life: {{years: 5, energy_per_kwh: 0.28{more}}}\n"
SUPPLY = "    inlet: C14\n"


def with_life(more: str = "") -> str:
    return DEMAND + LIFE.format(more=more)


def test_the_years_are_read(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, with_life(", load_profile: [{hours_a_day: 7.5, draw_percent: 60}]"), PARTS)
    life = asked.demand.life
    assert life is not None
    assert (life.years, str(life.energy_per_kwh), life.cooling_percent) == (5, "0.28", 0)
    assert str(life.load_profile[0].hours_a_day) == "7.5"


@pytest.mark.parametrize(
    ("more", "key", "said"),
    [
        (", load_profile: [{hours_a_day: 14, draw_percent: 9}, {hours_a_day: 10.5, draw_percent: 80}]",
         "life.load_profile", "24.5 hours"),
        (", load_profile: [{hours_a_day: 25, draw_percent: 9}]", "life.load_profile[0].hours_a_day", "too large"),
        (", load_profile: [{hours_a_day: 2, draw_percent: 101}]", "life.load_profile[0].draw_percent", "too large"),
        (", discount_rate_percent: -1", "life.discount_rate_percent", "too small"),
        (", coling_percent: 40", "life.coling_percent", "not a key"),
    ],
)  # fmt: skip
def test_slips_are_told_where_they_stand(tmp_path: Path, more: str, key: str, said: str) -> None:
    found = only(lambda: asked_of(tmp_path, with_life(more), PARTS))
    assert found.key == key
    assert said in found.text
    assert found.hint
    assert found.line is not None


@pytest.mark.parametrize(
    ("life", "key"), [("{energy_per_kwh: 1}", "life.years"), ("{years: 5}", "life.energy_per_kwh")]
)
def test_years_and_a_price_of_energy_are_needed(tmp_path: Path, life: str, key: str) -> None:
    found = only(lambda: asked_of(tmp_path, DEMAND + f"life: {life}\n", PARTS))
    assert found.key == key


def test_a_price_has_four_decimals_at_most(tmp_path: Path) -> None:
    demand = DEMAND + "life: {years: 5, energy_per_kwh: 0.28123}\n"
    assert only(lambda: asked_of(tmp_path, demand, PARTS)).key == "life.energy_per_kwh"


def test_a_supply_has_one_efficiency_at_a_load(tmp_path: Path) -> None:
    twice = "    efficiency_at: [{load_percent: 20, efficiency: 0.9}, {load_percent: 20, efficiency: 0.91}]\n"
    found = only(lambda: catalog_of(tmp_path, changed(PARTS, SUPPLY, SUPPLY + twice)))
    assert found.key == "supplies[0].efficiency_at[1].load_percent"
    assert "20 %" in found.text
    assert found.line is not None


def test_efficiencies_are_read(tmp_path: Path) -> None:
    once = "    efficiency_at: [{load_percent: 20, efficiency: 0.9}, {load_percent: 50, efficiency: 0.94}]\n"
    catalog = catalog_of(tmp_path, changed(PARTS, SUPPLY, SUPPLY + once))
    (supply,) = catalog.parts.supplies
    assert [(p.load_percent, str(p.efficiency)) for p in supply.efficiency_at] == [(20, "0.9"), (50, "0.94")]
