"""There are spare ports for growth, and growth draws watts unless the demand says otherwise."""

from __future__ import annotations

from configurator.build import Build
from configurator_rules.ports.headroom import RULE
from tests.rules.worlds import breaches, build, group, make_ask, make_catalog, unit, unit_type, uplink, use

CATALOG = make_catalog(unit_types=[unit_type(group("access", 48, poe_class=4))])


def served(count: int, powered: int = 0) -> Build:
    """So many ports for the first devices, the first of them powered."""
    return build(unit(*(use("access", n + 1, "devices[0]", powered=n < powered) for n in range(count))))


def test_twenty_percent_of_eleven_is_rounded_up() -> None:
    """11 and 20 % are 13.2: 14 ports."""
    ask = make_ask(devices=[{"kind": "desk", "count": 11}], headroom_percent=20)
    assert breaches(RULE, served(14), ask, CATALOG) == []
    assert breaches(RULE, served(13), ask, CATALOG) == [
        "devices[0] (desk): 11 and 20 % growth need 14 ports, 13 are there for it"
    ]


def test_growth_draws_watts() -> None:
    """10 powered and 30 % growth are 13 powered."""
    ask = make_ask(devices=[{"kind": "phone", "count": 10, "poe_class": 2}], headroom_percent=30)
    assert breaches(RULE, served(13, powered=13), ask, CATALOG) == []
    assert breaches(RULE, served(13, powered=10), ask, CATALOG) == [
        "devices[0] (phone): 10 and 30 % growth need 13 powered ports, 10 are powered"
    ]


def test_growth_draws_nothing_when_the_demand_says_so() -> None:
    """Spare ports are ports, not watts, where growth doesn't draw."""
    ask = make_ask(devices=[{"kind": "phone", "count": 10, "poe_class": 2}], headroom_percent=30, headroom_draws=False)
    assert breaches(RULE, served(13, powered=10), ask, CATALOG) == []


def test_uplinks_dont_grow() -> None:
    """Growth is of devices; and without head-room asked nothing is spare."""
    grown = make_ask(uplinks=[{"count": 2, "speed_mbps": "10G"}], headroom_percent=50)
    assert breaches(RULE, build(unit(uplink("up", 1), uplink("up", 2))), grown, CATALOG) == []
    assert breaches(RULE, served(1), make_ask(devices=[{"kind": "desk", "count": 4}]), CATALOG) == []
