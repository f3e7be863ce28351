"""When both ends are asked, each uplink's optic has its partner for the far end."""

from __future__ import annotations

from configurator.build import BuiltUnit
from configurator_rules.modules.both_ends import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    make_ask,
    make_catalog,
    optic,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
)

CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4))],
    optics=[optic("SR"), optic("DOWN", fibres=1, pairs_with="UP"), optic("UP", fibres=1, pairs_with="DOWN")],
    cables=[twinax("DAC", 3), twinax("FAN", 3, ways=4)],
    fibre_cables=[
        {"id": "LEADS", "description": "-", "fibre": "OM4", "length_m": 5, "near": "MPO-12", "far": "LC", "ways": 4}
    ],
)
ASK = make_ask(uplinks=[{"count": 2, "speed_mbps": "10G", "ends": "both"}])


def holding(*plugs: str) -> BuiltUnit:
    """A unit with these plugs in its uplinks' ports."""
    return unit(*(uplink("up", n + 1, plug) for n, plug in enumerate(plugs)))


def far(part: str, count: int, statement: str = "uplinks[0]") -> dict[str, object]:
    """Optics ordered for the far end."""
    return {"statement": statement, "part": part, "count": count}


def test_two_optics_here_and_two_there() -> None:
    assert breaches(RULE, build(holding("SR", "SR"), far_ends=[far("SR", 2)]), ASK, CATALOG) == []


def test_a_direct_cable_brings_its_far_end() -> None:
    splits = [split("up", 2, "FAN")]
    good = unit(uplink("up", 1, "DAC"), uplink("up", 2, "FAN", way=1), splits=splits)
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_one_optic_there_for_two_here() -> None:
    assert breaches(RULE, build(holding("SR", "SR"), far_ends=[far("SR", 1)]), ASK, CATALOG) == [
        "uplinks[0]: 2 of SR needed at the far end, 1 there"
    ]


def test_the_far_end_of_another_statement_doesnt_count() -> None:
    bad = build(holding("SR", "SR"), far_ends=[far("SR", 2, "uplinks[1]")])
    assert breaches(RULE, bad, ASK, CATALOG) == ["uplinks[0]: 2 of SR needed at the far end, 0 there"]


def test_opposite_wavelengths_go_together() -> None:
    """Where one end sends down, the other sends up."""
    good = build(holding("DOWN", "DOWN"), far_ends=[far("UP", 2)])
    assert breaches(RULE, good, ASK, CATALOG) == []
    bad = build(holding("DOWN", "DOWN"), far_ends=[far("DOWN", 2)])
    assert breaches(RULE, bad, ASK, CATALOG) == ["uplinks[0]: 2 of UP needed at the far end, 0 there"]


def test_nobody_knows_the_far_ends_of_a_split_optic() -> None:
    bad = unit(uplink("up", 1, "SR", way=1), splits=[split("up", 1, "SR", "LEADS")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: port 1 of up, uplinks[0]: a split optic's far ends can't be ordered, both ends are asked"
    ]


def test_only_the_near_end_is_asked() -> None:
    near = make_ask(uplinks=[{"count": 2, "speed_mbps": "10G"}])
    assert breaches(RULE, build(holding("SR", "SR")), near, CATALOG) == []
