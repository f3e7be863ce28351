"""The stack takes no more volt-amperes than the UPS still carries."""

from __future__ import annotations

from configurator_rules.site.ups import RULE
from tests.rules.closet_world import shares
from tests.rules.power_world import fed, fitted, phones, powered_type, supply, world
from tests.rules.worlds import breaches, build, make_ask, unit

# 90 W at 90 % are 100 W; at a power factor of 0.8 they are 125 VA
LAGGING = supply("LAGGING", (90, 240, 900), power_factor="0.8")
CATALOG = world(powered_type(90, "PS", "LAGGING"), supply("PS", (90, 240, 900)), LAGGING)
ONE = build(unit(supplies=fitted("LAGGING")))


def test_watts_over_efficiency_and_power_factor() -> None:
    assert breaches(RULE, ONE, make_ask(ups_va=125), CATALOG) == []
    assert breaches(RULE, ONE, make_ask(), CATALOG) == []


def test_a_volt_ampere_too_much() -> None:
    assert breaches(RULE, ONE, make_ask(ups_va=124), CATALOG) == [
        "the stack takes 125.00 VA, the UPS carries 124 VA: over by 1.00 VA"
    ]


def test_all_of_poe_counts_at_the_poorest_supply_of_the_stack() -> None:
    """100 and 125 VA, and twice 36 W at 72 %: 50 VA each."""
    units = (unit(*fed(2), supplies=fitted("PS")), unit(position=2, supplies=fitted("LAGGING")))
    asked = {"devices": [{"kind": "camera", "count": 2, "port_w": 36}]}
    assert breaches(RULE, build(*units), make_ask(**asked, ups_va=325), CATALOG) == []
    assert breaches(RULE, build(*units), make_ask(**asked, ups_va=324), CATALOG) == [
        "the stack takes 325.00 VA, the UPS carries 324 VA: over by 1.00 VA"
    ]


def test_a_port_counts_to_the_next_hundredth() -> None:
    """30 W at 90 % are 33.333… VA."""
    fed_one = build(unit(*fed(1), supplies=fitted("PS")))
    assert breaches(RULE, fed_one, phones(1, ups_va=134), CATALOG) == []
    assert breaches(RULE, fed_one, phones(1, ups_va=133), CATALOG) == [
        "the stack takes 133.34 VA, the UPS carries 133 VA: over by 0.34 VA"
    ]


def test_stacks_of_one_closet_share_it() -> None:
    """What is enough for one is not for two."""
    shares("site.ups")
