"""All links of a stack run at one speed, which every member has and the customer finds enough."""

from __future__ import annotations

from tests.rules.power_world import found
from tests.rules.stacking_world import STACK, alone, cable, catalog, link, member, ring, stack, stacking_type
from tests.rules.worlds import make_ask

RULE = "stacking.rate"
FAST = [cable("C3", 3, speeds_mbps=[40_000, 80_000])]


def test_one_speed_that_all_have() -> None:
    """40 Gb/s on three links of units that run at 40 and 80 Gb/s."""
    assert found(ring(3), make_ask(), catalog()) == {}
    assert found(ring(3), make_ask(stacking_mbps="40G"), catalog()) == {}
    assert found(alone(), make_ask(stacking_mbps="400G"), catalog()) == {}


def test_links_do_not_run_at_two_speeds() -> None:
    """Two links at 40 Gb/s and one at 80 Gb/s."""
    links = [link(1, 2), link(2, 3), link(3, 1, speed_mbps=80_000)]
    assert found(stack(3, "ring", *links), make_ask(), catalog(cables=FAST)) == {
        RULE: ["links run at 2 speeds: 40 Gb/s, 80 Gb/s"]
    }


def test_every_member_has_the_speed() -> None:
    """The third unit runs at 40 Gb/s only, the links at 80 Gb/s."""
    links = [link(a, b, speed_mbps=80_000) for a, b in ((1, 2), (2, 3), (3, 1))]
    slow = stacking_type("SLOW", {**STACK, "speeds_mbps": [40_000]})
    units = [member(1), member(2), member(3, "SLOW")]
    build = stack(units, "ring", *links)
    assert found(build, make_ask(), catalog(stacking_type(), slow, cables=FAST)) == {
        RULE: ["unit 3: links run at 80 Gb/s, ports st of SLOW at 40 Gb/s"]
    }


def test_the_speed_is_at_least_the_one_asked() -> None:
    """80 Gb/s are asked, the links run at 40 Gb/s."""
    assert found(ring(3), make_ask(stacking_mbps="80G"), catalog()) == {
        RULE: ["links run at 40 Gb/s, asked are at least 80 Gb/s"]
    }
