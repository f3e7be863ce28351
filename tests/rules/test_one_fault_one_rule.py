"""A build wrong in one way is rejected by the rule that is about it; the other rules keep silent, and none raises."""

from __future__ import annotations

from typing import Any

import pytest

from configurator_rules import RULES
from tests.rules.worlds import (
    bought,
    breaches,
    build,
    cage,
    copper_optic,
    group,
    make_ask,
    make_catalog,
    optic,
    part,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

FAMILIES = ("ports", "modules", "twinax", "ordering")
LISTED = ["SR", "SX", "T", "DAC", "FAN"]
UP = cage("up", 4, speeds_mbps=[1000, 10_000, 40_000], roles=["network", "split"], optic_limit_w=2)
CATALOG = make_catalog(
    unit_types=[unit_type(group("access", 8), UP, module_slots=[{"id": "S", "takes": ["M"]}])],
    boxes=[part("BOX", unit="T")],
    modules=[part("M", ports=[cage("more", 4)])],
    optics=[optic("SR"), copper_optic("T"), optic("SX", speeds_mbps=[1000], interface="1000BASE-SX")],
    cables=[twinax("DAC", 3), twinax("FAN", 3, ways=4)],
    optics_matrix=[{"cage": "C-SFP+", "takes": LISTED}],
)
DIRECT = {"count": 1, "speed_mbps": "10G", "over": "any", "fibre": "OM4", "length_m": 2, "far_form": "SFP+"}
ASK = make_ask(ports=[{"count": 1}], uplinks=[DIRECT])
LINK = uplink("up", 1, "SR")


def judged(*uses: Any, lines: dict[str, int], ask: Any = ASK, **said: Any) -> set[str]:
    """The rules that reject one unit with these port uses and these lines to order besides its box."""
    one = build(unit(*uses, bought=bought(BOX=1, **lines), **said))
    return {rule.id for rule in RULES if rule.family in FAMILIES and breaches(rule, one, ask, CATALOG)}


@pytest.mark.parametrize("plug", ["SR", "DAC"])
def test_a_good_build_is_nobodys(plug: str) -> None:
    assert judged(use("access", 1), uplink("up", 1, plug), lines={plug: 1}) == set()


def test_a_good_split_is_nobodys() -> None:
    """What is in a split port is the split's, though its uses name it."""
    splits = [split("up", 1, "FAN")]
    assert judged(use("access", 1), uplink("up", 1, "FAN", way=2), splits=splits, lines={"FAN": 1}) == set()


@pytest.mark.parametrize(
    ("wrong", "lines", "rule"),
    [
        (use("access", 9), {}, "ports.once"),
        (use("nowhere", 1), {}, "ports.once"),
        (use("access", 1, plug="T"), {"T": 1}, "ports.connector"),
        (use("up", 2), {}, "ports.connector"),
        (use("up", 2, plug="SX"), {"SX": 1}, "ports.connector"),
        (use("up", 2, plug="T"), {}, "ordering.complete"),
        (use("access", 1, speed_mbps=2500), {}, "ports.speed"),
        (use("access", 1), {"SR": 1, "NONE": 1}, "ordering.priced"),
    ],
)
def test_a_port_in_the_wrong(wrong: Any, lines: dict[str, int], rule: str) -> None:
    """What can't be ordered because no catalog has it is also without a price."""
    also = {"ordering.complete"} if rule == "ordering.priced" else set()
    assert judged(wrong, LINK, lines={"SR": 1, **lines}) == {rule} | also


@pytest.mark.parametrize(
    ("wrong", "lines", "rule"),
    [
        (uplink("up", 1, "T"), {"T": 1}, {"modules.reach", "modules.far_end"}),
        (uplink("up", 1, "FAN"), {"FAN": 1}, {"modules.split"}),
        (uplink("access", 1, way=1), {}, {"ports.once", "ports.speed"}),
        (uplink("up", 1, "NONE"), {}, {"modules.matrix", "ordering.complete"}),
        (uplink("up", 1, "SR", statement="uplinks[3]"), {"SR": 1}, {"ports.all_served"}),
        (uplink("more", 1, "SR", slot="S"), {"SR": 1}, {"ports.once"}),
    ],
)
def test_an_uplink_in_the_wrong(wrong: Any, lines: dict[str, int], rule: set[str]) -> None:
    assert judged(use("access", 2), wrong, lines=lines) == rule


def test_a_unit_of_no_known_type() -> None:
    """No group of its ports is known, and no box holds it."""
    found = judged(use("access", 1), LINK, unit_type="NONE", lines={"SR": 1})
    assert found == {"ports.once", "ordering.complete"}


def test_a_module_that_nobody_knows() -> None:
    found = judged(use("access", 1), LINK, modules=[{"slot": "S", "module": "NONE"}], lines={"SR": 1})
    assert found == {"modules.fits", "ordering.complete"}


def test_ports_over_fibre_are_no_matter_of_copper() -> None:
    """A direct cable in place of an optic is the reach's, not the connector's."""
    ask = make_ask(ports=[{"count": 1, "over": "OM4", "speed_mbps": "10G"}])
    sr, dac = (uplink("up", 1, plug, statement="ports[0]") for plug in ("SR", "DAC"))
    assert judged(sr, lines={"SR": 1}, ask=ask) == set()
    assert judged(dac, lines={"DAC": 1}, ask=ask) == {"modules.reach"}
