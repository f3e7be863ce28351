"""ISO 3166 countries, ISO 4217 currencies and EIA-310 rack units, as other people's libraries have them."""

from __future__ import annotations

from decimal import Decimal

import pint
import pycountry
import pytest

from configurator.engine.arrange import RACK_UNIT_M as MODEL_RACK_UNIT_M
from configurator.parts import CountryRow
from configurator.reading.prices import minor_decimals
from configurator_rules.stacking.checking import RACK_UNIT_M as CHECK_RACK_UNIT_M
from tests.published.figures import demo_parts, rows, said

DEMO = demo_parts()


@pytest.mark.parametrize("ours", DEMO.countries, ids=lambda row: row.code)
def test_a_country_has_its_code_of_iso_3166(ours: CountryRow) -> None:
    found = pycountry.countries.get(alpha_2=ours.code)
    assert found is not None
    assert ours.name in {found.name, getattr(found, "common_name", found.name)}


def test_every_country_of_a_cord_has_a_code_of_iso_3166() -> None:
    named = {country for cord in DEMO.cords for country in cord.countries}
    assert named
    assert [code for code in sorted(named) if pycountry.countries.get(alpha_2=code) is None] == []


@pytest.mark.parametrize("code", ["EUR", "USD", "CHF", "JPY", "KWD", "SEK", "GBP"])
def test_a_currency_is_iso_4217s(code: str) -> None:
    assert pycountry.currencies.get(alpha_3=code) is not None
    assert minor_decimals(code) is not None


# ISO 4217's minor units, from memory: none, two, three.
@pytest.mark.parametrize(("code", "decimals"), [("JPY", 0), ("KRW", 0), ("EUR", 2), ("USD", 2), ("KWD", 3), ("TND", 3)])
def test_a_currency_has_its_minor_unit(code: str, decimals: int) -> None:
    assert minor_decimals(code) == decimals


def test_every_currency_another_list_knows_is_known_here() -> None:
    """Metals, funds and testing codes have no minor unit and no price list."""
    unknown = [c.alpha_3 for c in pycountry.currencies if minor_decimals(c.alpha_3) is None]
    assert [code for code in unknown if not code.startswith("X")] == []


def test_a_code_that_nobody_has_given_out_is_no_currency() -> None:
    assert pycountry.currencies.get(alpha_3="QQQ") is None
    assert minor_decimals("QQQ") is None


@pytest.mark.parametrize("ours_m", [MODEL_RACK_UNIT_M, CHECK_RACK_UNIT_M], ids=["model", "check"])
def test_a_rack_unit_is_eia_310s(ours_m: Decimal) -> None:
    (row,) = [row for row in rows("heat_rack") if row["quantity"] == "rack unit"]
    assert ours_m * 1000 == Decimal(row["value"]), said(row)
    assert float(ours_m) == pytest.approx(pint.UnitRegistry()("1.75 inch").to("m").magnitude)
