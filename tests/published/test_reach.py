"""How far optics, copper and twinax go, by IEEE 802.3 and the module agreements."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest

from configurator.parts import Cable, Optic
from tests.published.figures import demo_parts, rows, said

DEMO = demo_parts()

# The row of tables/twinax.csv for a passive cable, by the end in the unit, ways and rate of one way.
ASSEMBLIES = {
    ("SFP+", 1, 10_000): "SFP+ direct attach passive",
    ("SFP28", 1, 10_000): "SFP+ direct attach passive",
    ("SFP28", 1, 25_000): "25GBASE-CR CA-L",
    ("QSFP+", 1, 40_000): "40GBASE-CR4",
    ("QSFP28", 1, 40_000): "40GBASE-CR4",
    ("QSFP28", 1, 100_000): "100GBASE-CR4",
    ("QSFP+", 4, 10_000): "QSFP+ to 4x SFP+ breakout",
    ("QSFP28", 4, 25_000): "QSFP28 to 4x SFP28 breakout",
}


def reaches() -> Iterator[tuple[str, str, Decimal, Decimal, dict[str, str]]]:
    """Optic, fibre, its longest way, the standard's, and the standard's row."""
    for optic in DEMO.optics:
        for reach in optic.reaches:
            for row in rows("fibre_reach"):
                if row["pmd"].split(" (")[0] == optic.interface and row["fibre"].split(" (")[0] == reach.fibre:
                    yield optic.id, reach.fibre, reach.max_m, Decimal(row["max_m"]), row


@pytest.mark.parametrize("case", list(reaches()), ids=lambda case: f"{case[0]} over {case[1]}")
def test_an_optic_claims_no_more_than_its_standard(case: tuple[str, str, Decimal, Decimal, dict[str, str]]) -> None:
    _, _, claimed_m, standard_m, row = case
    assert claimed_m <= standard_m, said(row)


def known(optic: Optic) -> bool:
    return any(row["pmd"].split(" (")[0] == optic.interface for row in rows("fibre_reach"))


@pytest.mark.parametrize("optic", [o for o in DEMO.optics if known(o)], ids=lambda optic: optic.id)
def test_an_optics_fibres_and_connector_are_its_standards(optic: Optic) -> None:
    mine = [row for row in rows("fibre_reach") if row["pmd"].split(" (")[0] == optic.interface]
    fibres = {row["fibre"].split(" (")[0] for row in mine}
    assert {reach.fibre for reach in optic.reaches} <= fibres
    assert optic.connector in {name for row in mine for name in row["connector"].split("/")}
    assert {Decimal(row["rate_gbps"]) * 1000 for row in mine} <= set(map(Decimal, optic.speeds_mbps))


def test_most_optics_have_a_standard_in_the_table() -> None:
    fibre = [optic for optic in DEMO.optics if optic.connector != "RJ45"]
    assert sum(map(known, fibre)) * 2 >= len(fibre) > 0


@pytest.mark.parametrize("optic", [o for o in DEMO.optics if o.connector == "RJ45"], ids=lambda optic: optic.id)
def test_a_copper_optic_goes_no_further_than_copper(optic: Optic) -> None:
    longest_m = max(Decimal(row["max_m"]) for row in rows("copper_reach") if row["phy"] == optic.interface)
    assert all(reach.max_m <= longest_m for reach in optic.reaches)


@pytest.mark.parametrize(
    "cable", [c for c in DEMO.cables if c.kind == "passive twinax"], ids=lambda cable: f"{cable.id} {cable.length_m} m"
)
def test_a_passive_cable_is_no_longer_than_its_standard_lets_it(cable: Cable) -> None:
    for speed_mbps in cable.speeds_mbps:
        name = ASSEMBLIES[cable.near, cable.ways, speed_mbps]
        (row,) = [row for row in rows("twinax") if row["assembly"] == name]
        assert cable.length_m <= Decimal(row["max_m"].split(" ")[0]), said(row)


def test_passive_cables_are_there() -> None:
    assert any(cable.kind == "passive twinax" for cable in DEMO.cables)
