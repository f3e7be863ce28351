"""Port groups that share their innards are used together only up to the number that works at once."""

from __future__ import annotations

from configurator_rules.ports.shared import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    group,
    make_ask,
    make_catalog,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
    use,
)

SHARED = [{"groups": ["combo", "up"], "at_most": 4}]
CATALOG = make_catalog(
    unit_types=[unit_type(group("combo", 4), cage("up", 4), group("access", 8), shared_ports=SHARED)],
    cables=[twinax("FAN", 3, ways=4)],
)
ASK = make_ask(ports=[{"count": 4}], uplinks=[{"count": 4, "speed_mbps": "10G"}])


def test_four_of_eight_that_share_are_good() -> None:
    """Ways of a split port are one port, and ports that don't share don't count."""
    uses = [use("combo", 1), use("combo", 2), uplink("up", 3), *(uplink("up", 4, way=w) for w in (1, 2, 3, 4))]
    good = unit(*uses, use("access", 1), splits=[split("up", 4, "FAN")])
    assert breaches(RULE, build(good), ASK, CATALOG) == []


def test_a_fifth_of_four_is_one_too_many() -> None:
    bad = unit(*(use("combo", n) for n in (1, 2, 3, 4)), uplink("up", 1))
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: 5 ports of combo and up are used, at most 4 work at once"
    ]


def test_ports_that_stack_are_used() -> None:
    """Two ports stack, so two are left of those that share with them."""
    two = unit(use("combo", 1), use("combo", 2), stack_group="up", stack_ports=[1, 2])
    assert breaches(RULE, build(two), ASK, CATALOG) == []
    bad = unit(use("combo", 1), use("combo", 2), use("combo", 3), stack_group="up", stack_ports=[1, 2])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: 5 ports of combo and up are used, at most 4 work at once"
    ]


def test_units_dont_share_with_each_other() -> None:
    four = [use("combo", n) for n in (1, 2, 3, 4)]
    assert breaches(RULE, build(unit(*four), unit(*four, position=2)), ASK, CATALOG) == []
