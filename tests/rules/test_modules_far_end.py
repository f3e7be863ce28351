"""Both ends of a link agree in interface, connector and speed."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules.modules.far_end import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    make_ask,
    make_catalog,
    optic,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4))],
    optics=[
        optic("SR"),
        optic("DOWN", interface="10GBASE-BR20-D", fibres=1, pairs_with="UP"),
        optic("UP", interface="10GBASE-BR20-U", fibres=1, pairs_with="DOWN"),
    ],
    cables=[twinax("DAC", 3)],
)
HERE = "unit 1: port 1 of up, uplinks[0]: "


def uplinked(plug: str, **said: Any) -> list[str]:
    """What is wrong with one uplink through this plug."""
    ask = make_ask(uplinks=[{"count": 1, "speed_mbps": "10G", **said}])
    return breaches(RULE, build(unit(uplink("up", 1, plug))), ask, CATALOG)


@pytest.mark.parametrize(
    ("plug", "said"),
    [
        ("SR", {}),
        ("SR", {"far_interface": "10GBASE-SR", "far_connector": "LC"}),
        ("DOWN", {"far_interface": "10GBASE-BR20-U"}),
        ("DAC", {"far_form": "SFP+"}),
    ],
)
def test_ends_that_agree(plug: str, said: dict[str, Any]) -> None:
    """Where nothing is said of the far end, an optic may stand there like the one here."""
    assert uplinked(plug, **said) == []


def test_another_interface_at_the_far_end() -> None:
    assert uplinked("SR", far_interface="10GBASE-LR") == [HERE + "the far end is 10GBASE-LR, SR speaks with 10GBASE-SR"]


def test_two_optics_of_the_same_wavelength_on_one_strand() -> None:
    """An optic that pairs with the opposite one doesn't understand its like."""
    assert uplinked("DOWN", far_interface="10GBASE-BR20-D") == [
        HERE + "the far end is 10GBASE-BR20-D, DOWN speaks with 10GBASE-BR20-U"
    ]


def test_another_connector_at_the_far_end() -> None:
    assert uplinked("SR", far_connector="MPO-12") == [HERE + "the far end has MPO-12, SR has LC"]


def test_a_direct_cable_needs_a_cage_that_fits() -> None:
    assert uplinked("DAC", far_form="QSFP28") == [HERE + "the far end is QSFP28, DAC ends in SFP+"]
    assert uplinked("DAC") == [HERE + "the far end's form isn't said, DAC ends in SFP+"]


def test_another_speed_than_the_plugs() -> None:
    """Also where an access port goes over fibre: 1 Gb/s asked, a 10 Gb/s optic."""
    assert uplinked("SR", speed_mbps="25G") == [HERE + "SR runs at 10 Gb/s, asked is 25 Gb/s"]
    ask = make_ask(ports=[{"count": 1, "over": "OM4"}])
    assert breaches(RULE, build(unit(use("up", 1, plug="SR"))), ask, CATALOG) == [
        "unit 1: port 1 of up, ports[0]: SR runs at 10 Gb/s, asked is 1 Gb/s"
    ]
