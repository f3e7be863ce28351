"""The room's figures, as published and as another library has them: sound, circuits, volt-amperes, rack units."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pint
import pytest

from configurator.build import Build
from configurator.catalog import Catalog
from configurator_rules.racking.space import RULE as SPACE
from configurator_rules.site.circuit import RULE as CIRCUIT
from configurator_rules.site.noise import RULE as NOISE
from configurator_rules.site.ups import RULE as UPS
from tests.published.figures import rows, said
from tests.rules.power_world import fitted, powered_type, supply, world
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type

UNITS: Any = pint.UnitRegistry()


def standing(levels: list[str]) -> tuple[Build, Catalog]:
    """Units with these levels, each of a type of its own."""
    names = [f"T{n}" for n in range(len(levels))]
    types = [unit_type(group("access", 8), id=name, noise_db=level) for name, level in zip(names, levels, strict=True)]
    units = (unit(position=n, unit_type=name) for n, name in enumerate(names, start=1))
    return build(*units), make_catalog(unit_types=types)


@pytest.mark.parametrize("row", rows("sound_levels"), ids=lambda row: row["levels_db"].replace(" ", "+")[:24])
def test_sound_levels_add_up_to_what_is_published(row: dict[str, str]) -> None:
    """A published total is rounded: a little above it all is quiet enough, a little below it is too loud."""
    stack, catalog = standing(row["levels_db"].split())
    total_db, within_db = Decimal(row["total_db"]), Decimal(row["within_db"])
    assert breaches(NOISE, stack, make_ask(noise_db=total_db + within_db), catalog) == [], said(row)
    assert breaches(NOISE, stack, make_ask(noise_db=total_db - within_db), catalog) != [], said(row)


@pytest.mark.parametrize("amps", [15, 16, 20, 30])
def test_a_continuous_load_with_a_quarter_more_is_the_shared_circuit(amps: int) -> None:
    """NEC 210.20(A) asks for a breaker of 125 % of a continuous load: 80 % of the breaker is the load."""
    (row,) = [row for row in rows("electrical_rules") if row["rule"] == "NEC 210.20(A)"]
    load_w = Decimal(amps) * 100 / Decimal(row["value"])  # at 100 V, without losses
    circuit = {"amps": amps, "share_percent": 80, "shared": True}
    ask = make_ask(input_v=100, circuit=circuit)
    for more_w, rejected in ((Decimal(0), False), (Decimal("0.1"), True)):
        catalog = world(powered_type(str(load_w + more_w), "PS"), supply("PS", (90, 240, 4000), efficiency=1))
        found = breaches(CIRCUIT, build(unit(supplies=fitted("PS"))), ask, catalog)
        assert bool(found) is rejected, said(row)


def test_watts_over_the_power_factor_are_volt_amperes() -> None:
    """Volts times amps, in units of another library: 4 A at 230 V are 920 VA, 782 W at a power factor of 0.85."""
    apparent = (230 * UNITS.volt * 4 * UNITS.ampere).to("volt_ampere").magnitude
    watts = (apparent * UNITS.volt_ampere * 0.85).to("watt").magnitude
    assert watts == pytest.approx(782)
    catalog = world(powered_type("782", "PS"), supply("PS", (90, 240, 4000), efficiency=1, power_factor="0.85"))
    one = build(unit(supplies=fitted("PS")))
    assert breaches(UPS, one, make_ask(ups_va=round(apparent)), catalog) == []
    assert breaches(UPS, one, make_ask(ups_va=round(apparent) - 1), catalog) != []


def test_a_rack_of_42_units_holds_42_units() -> None:
    """EIA-310: 42 rack units of 44.45 mm are 1866.9 mm."""
    (row,) = [row for row in rows("heat_rack") if row["quantity"] == "42U rack"]
    free = (float(row["value"]) * UNITS.millimeter / (1.75 * UNITS.inch)).to("").magnitude
    assert free == pytest.approx(42), said(row)
    catalog = make_catalog(unit_types=[unit_type(group("access", 8), rack_units=21)])
    two, three = (build(*(unit(position=n) for n in range(1, count + 1))) for count in (2, 3))
    assert breaches(SPACE, two, make_ask(rack_units_free=round(free)), catalog) == []
    assert breaches(SPACE, three, make_ask(rack_units_free=round(free)), catalog) != []
