"""Every stacking link has the cables it takes, each long enough and with ends that fit."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Build
from configurator.catalog import Catalog
from tests.rules.power_world import found
from tests.rules.stacking_world import STACK, cable, catalog, family, link, member, ring, stack, stacking_type
from tests.rules.worlds import cage, make_ask, optic, part

RULE = "stacking.cables"


# --- cables -----------------------------------------------------------------------------------------


def pair(*parts: str, way_m: str | None = None, speed_mbps: int = 40_000, ports: tuple[int, ...] = (1, 2)) -> Build:
    """Two units joined by one link of these parts."""
    joint = link(1, 2, *parts, way_m=way_m, speed_mbps=speed_mbps).model_copy(update={"parts": parts})
    return stack([member(position, stack_ports=ports) for position in (1, 2)], "chain", joint)


def chained(*types: dict[str, Any], cables_a_link: int = 1, **parts: Any) -> Catalog:
    """A family that chains."""
    return catalog(*types, families=[family(topologies=["chain"], cables_a_link=cables_a_link)], **parts)


def test_each_link_has_a_cable_of_its_length() -> None:
    """0.34445 m are within 1 m, and 0.3889 m from the third unit back to the first too."""
    assert found(ring(3), make_ask(), catalog()) == {}
    assert found(pair("C1"), make_ask(), chained()) == {}


def test_a_link_without_a_cable_is_none() -> None:
    """Nothing, or a part that nobody knows, joins nothing."""
    text = "link between units 1 and 2: 0 cables and 0 pairs of optics, it takes 1 of either"
    assert found(pair(), make_ask(), chained()) == {RULE: [text]}
    assert found(pair("NOBODY KNOWS"), make_ask(), chained()) == {RULE: [text]}


def test_a_cable_is_as_long_as_the_way() -> None:
    """17 rack units and 0.3 m are 1.05565 m, which 1 m of cable doesn't reach; 3 m does."""
    ask = make_ask(rack_positions=[1, 18])
    assert found(pair("C3", way_m="1.05565"), ask, chained()) == {}
    assert found(pair("C1", way_m="1.05565"), ask, chained()) == {
        RULE: ["link between units 1 and 2: C1 is 1 m long, the way is 1.05565 m"]
    }


def test_the_true_way_counts() -> None:
    """The build says 0.9 m where the way is 1.05565 m."""
    ask = make_ask(rack_positions=[1, 18])
    assert RULE in found(pair("C1", way_m="0.9"), ask, chained())


def test_a_link_of_two_cables_has_two() -> None:
    """One cable is too few, three are too many."""
    four = chained(stacking_type("T", {**STACK, "count": 4}), cables_a_link=2)
    ports = (1, 2, 3, 4)
    assert found(pair("C1", "C1", ports=ports), make_ask(), four) == {}
    assert found(pair("C1", ports=ports), make_ask(), four) == {
        RULE: ["link between units 1 and 2: 1 cables and 0 pairs of optics, it takes 2 of either"]
    }
    assert list(found(pair("C1", "C1", "C1", ports=ports), make_ask(), four)) == [RULE]


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ({"far": "QSFP+"}, "ODD has an end QSFP+, ports st take ST"),
        ({"near": "QSFP+"}, "ODD has an end QSFP+, ports st take ST"),
        ({"ways": 2}, "ODD has 2 other ends"),
        ({"speeds_mbps": [10_000]}, "ODD doesn't run at 40 Gb/s"),
    ],
)
def test_a_cable_fits_at_both_ends(said: dict[str, Any], text: str) -> None:
    """Another connector, more than one other end, another speed."""
    odd = chained(cables=[cable("ODD", 1, **said)])
    assert found(pair("ODD"), make_ask(), odd) == {RULE: [f"link between units 1 and 2: {text}"]}


# --- cages ------------------------------------------------------------------------------------------

CAGES = stacking_type("T", cage("st", 2, speeds_mbps=[10_000], roles=["stack"]))
SINGLE = {"fibre": "OS2", "max_m": 10_000, "min_m": 2}
OPTICS = [
    optic("SR"),
    optic("LR", interface="10GBASE-LR", reaches=[SINGLE]),
    optic("BX-U", interface="BX upstream", fibres=1, pairs_with="BX-D", reaches=[SINGLE]),
    optic("BX-D", interface="BX downstream", fibres=1, pairs_with="BX-U", reaches=[SINGLE]),
    optic("BX-X", interface="BX upstream", fibres=1, reaches=[SINGLE]),
    optic("BX-Y", interface="BX other", fibres=1, pairs_with="BX-X", reaches=[SINGLE]),
    optic("MPO", connector="MPO-12"),
    optic("SLOW", speeds_mbps=[1000]),
    optic("BIG", form="QSFP+"),
    optic("UNLISTED"),
]
TWINAX = [
    cable("DAC", 5, near="SFP+", far="SFP+", speeds_mbps=[10_000]),
    cable("DAC-UNLISTED", 5, near="SFP+", far="SFP+", speeds_mbps=[10_000]),
]
LEADS = [
    part("LEAD", fibre="OM4", length_m=30, near="LC", far="LC"),
    part("LEAD-MPO", fibre="OM4", length_m=30, near="LC", far="MPO-12"),
    part("LEAD-LONG", fibre="OM3", length_m=350, near="LC", far="LC"),
    part("FAN", fibre="OM4", length_m=30, near="LC", far="LC", ways=4),
]
LISTED = ["SR", "LR", "BX-U", "BX-D", "BX-X", "BX-Y", "MPO", "SLOW", "BIG", "DAC"]
MATRIX = [{"cage": "C-SFP+", "takes": LISTED}]
PLUGGED = chained(CAGES, optics=OPTICS, cables=TWINAX, fibre_cables=LEADS, optics_matrix=MATRIX)


def over(*parts: str, way_m: str = "20", **wishes: Any) -> dict[str, list[str]]:
    """What is wrong with two units joined by these parts over this way."""
    ask = make_ask(between_units_m=[way_m], **wishes)
    return found(pair(*parts, way_m=way_m, speed_mbps=10_000), ask, PLUGGED)


@pytest.mark.parametrize(
    ("parts", "wishes"),
    [
        (["DAC"], {"way_m": "5"}),
        (["SR", "SR"], {"stack_fibre": "OM4", "way_m": "400"}),
        (["BX-D", "BX-U"], {"stack_fibre": "OS2", "way_m": "2000"}),
        (["LR", "LR"], {"stack_fibre": "OS2", "way_m": "2"}),
        (["BX-X", "BX-Y"], {"stack_fibre": "OS2"}),  # one of them names the other
        (["SR", "SR", "LEAD"], {}),
        (["SR", "SR", "LEAD"], {"way_m": "30"}),
        (["SR", "LEAD", "SR"], {"stack_fibre": "OS2"}),
    ],
)
def test_optics_carry_a_link_over_fibre(parts: list[str], wishes: dict[str, Any]) -> None:
    """A listed cable; two optics over fibre that lies there; two optics and an ordered lead."""
    assert over(*parts, **wishes) == {}


@pytest.mark.parametrize(
    ("parts", "wishes", "text"),
    [
        (["DAC-UNLISTED"], {"way_m": "5"}, "DAC-UNLISTED isn't listed for cage C-SFP+"),
        (["UNLISTED", "UNLISTED"], {"stack_fibre": "OM4"}, "UNLISTED isn't listed for cage C-SFP+"),
        (["BIG", "BIG"], {"stack_fibre": "OM4"}, "BIG has an end QSFP+, ports st take SFP+"),
        (["SLOW", "SLOW"], {"stack_fibre": "OM4"}, "SLOW doesn't run at 10 Gb/s"),
        (["SR", "SR"], {"stack_fibre": "OM4", "way_m": "401"}, "SR doesn't carry 401 m of OM4"),
        (["SR", "SR"], {"stack_fibre": "OS2"}, "SR doesn't carry 20 m of OS2"),
        (["LR", "LR"], {"stack_fibre": "OS2", "way_m": "1.5"}, "LR doesn't carry 1.5 m of OS2"),
        (["SR"], {"stack_fibre": "OM4"}, "1 optics, each needs another at its other end"),
        (["SR", "SR"], {}, "0 fibre leads for 1 pairs of optics"),
        (["SR", "SR", "LEAD", "LEAD"], {}, "2 fibre leads for 1 pairs of optics"),
        (["BX-U", "BX-U"], {"stack_fibre": "OS2"}, "BX-U has no optic of BX-D at its other end"),
        (["BX-U", "BX-X"], {"stack_fibre": "OS2"}, "BX-U has no optic of BX-D at its other end"),
        (["LR", "BX-U"], {"stack_fibre": "OS2"}, "LR has no optic of 10GBASE-LR at its other end"),
        (["SR", "SR", "LEAD"], {"way_m": "31"}, "LEAD is 30 m long, the way is 31 m"),
        (["SR", "SR", "LEAD-MPO"], {}, "LEAD-MPO has a MPO-12 connector, SR takes LC"),
        (["MPO", "MPO", "LEAD-MPO"], {}, "LEAD-MPO has a LC connector, MPO takes MPO-12"),
        (["SR", "SR", "LEAD-LONG"], {}, "SR doesn't carry 350 m of OM3"),
        (["SR", "SR", "FAN"], {}, "FAN has 4 other ends"),
        (["DAC", "DAC"], {"way_m": "5"}, "2 cables and 0 pairs of optics, it takes 1 of either"),
        (["DAC", "SR", "SR", "LEAD"], {"way_m": "5"}, "1 cables and 1 pairs of optics, it takes 1 of either"),
    ],
)
def test_a_link_that_fails_in_one_way_is_told(parts: list[str], wishes: dict[str, Any], text: str) -> None:
    """Not listed, wrong form, speed or reach, an optic or lead missing or too many, wavelengths, connectors."""
    assert over(*parts, **wishes) == {RULE: [f"link between units 1 and 2: {text}"]}


def test_a_port_without_a_cage_takes_no_optic() -> None:
    """A fixed connector takes a cable only."""
    fixed = chained(optics=[optic("SR", form="ST", speeds_mbps=[40_000])])
    ask = make_ask(between_units_m=[20], stack_fibre="OM4")
    assert found(pair("SR", "SR", way_m="20"), ask, fixed) == {
        RULE: ["link between units 1 and 2: ports st have no cage for SR"]
    }
