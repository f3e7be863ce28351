"""Couplers, plugs, circuits and units of power, against their standards and against other people's libraries."""

from __future__ import annotations

from decimal import Decimal

import pint
import pytest
from fluids.pump import residential_power

from configurator.facilities.facility import BTU_H_PER_W
from configurator.parts import Cord, CountryRow, Coupler
from tests.published.figures import demo_parts, rows, said

DEMO = demo_parts()

# The letters of IEC TR 60083's world plug types for each national plug; from memory.
LETTERS = {
    "AS/NZS 3112": {"I"},
    "BS 1363": {"G"},
    "CEE 7/7": {"E", "F"},
    "CEI 23-50": {"L"},
    "GB 2099.1": {"I"},
    "IRAM 2073": {"I"},
    "IS 1293": {"D", "M"},
    "JIS C 8303": {"A", "B"},
    "NBR 14136": {"N"},
    "NEMA 5-15": {"B"},
    "SANS 164-1": {"M"},
    "SANS 164-2": {"N"},
    "SEV 1011 T12": {"J"},
    "SEV 1011 T23": {"J"},
    "SI 32": {"H"},
}
# Plugs of strips in racks and of dedicated circuits, not of households.
NOT_NATIONAL = {"C14", "C20", "NEMA 5-20", "NEMA 6-15", "NEMA 6-20", "NEMA L6-20", "NEMA L5-20", "IEC 60309"}


def couplers() -> list[dict[str, str]]:
    return rows("iec60320_couplers")


def mates(connector: str) -> set[str]:
    """The inlet that goes with a connector, and others whose row says so (from memory)."""
    others = {row["inlet"] for row in couplers() if f"{connector} connector fits" in row["mates_also_with"]}
    return others | {row["inlet"] for row in couplers() if row["connector"] == connector}


@pytest.mark.parametrize("ours", DEMO.couplers, ids=lambda row: row.connector)
def test_a_coupler_is_iec_60320s(ours: Coupler) -> None:
    (row,) = [row for row in couplers() if row["connector"] == ours.connector]
    assert ours.rating_a == Decimal(row["iec_a"]), said(row)
    assert set(ours.inlets) == mates(ours.connector), said(row)


def test_every_coupler_of_the_table_is_there() -> None:
    assert {row.connector for row in DEMO.couplers} == {row["connector"] for row in couplers()}


@pytest.mark.parametrize("cord", DEMO.cords, ids=lambda cord: cord.id)
def test_a_cord_carries_no_more_than_its_coupler(cord: Cord) -> None:
    """North America allows more than the international rating, and so does Japan (from memory)."""
    (row,) = [row for row in couplers() if row["connector"] == cord.coupler]
    north_american = row["north_america_a"] if set(cord.countries) <= {"CA", "JP", "US"} else ""
    assert cord.rating_a <= Decimal(north_american or row["iec_a"]), said(row)


@pytest.mark.parametrize("cord", DEMO.cords, ids=lambda cord: cord.id)
def test_a_national_plug_is_used_in_its_countries(cord: Cord) -> None:
    """A second list of plugs by country agrees."""
    if cord.plug in NOT_NATIONAL:
        return
    assert cord.plug in LETTERS
    for country in cord.countries:
        assert LETTERS[cord.plug] & set(residential_power[country.lower()].plugs or ()), country


def test_some_national_plugs_are_there() -> None:
    assert len({cord.plug for cord in DEMO.cords} & set(LETTERS)) >= 2


@pytest.mark.parametrize("ours", DEMO.countries, ids=lambda row: row.code)
def test_a_countrys_mains_are_what_another_list_has(ours: CountryRow) -> None:
    assert ours.mains_v == residential_power[ours.code.lower()].voltage


def test_continuous_loads_take_four_fifths_of_a_circuit_where_the_nec_governs() -> None:
    (row,) = [row for row in rows("electrical_rules") if row["rule"] == "NEC 210.20(A)"]
    share = {country.code: country.circuit_share_percent for country in DEMO.countries}
    assert share["US"] == 100 / Decimal(row["value"]), said(row)


def test_watts_to_btu_an_hour_agree_with_another_library() -> None:
    """BTU is the International Table's; the library's own default is another one, a little smaller."""
    international = Decimal(str(pint.UnitRegistry()("1 W").to("Btu_it / hour").magnitude))
    (row,) = [row for row in rows("heat_rack") if row["quantity"] == "1 W in BTU_IT/h"]
    assert abs(BTU_H_PER_W - international) < Decimal("0.000001")
    assert abs(BTU_H_PER_W - Decimal(row["value"])) < Decimal("0.000001"), said(row)
