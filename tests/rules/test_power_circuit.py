"""A supply at rated output takes no more current than the site's code lets its circuit carry."""

from __future__ import annotations

from typing import Any

from tests.rules.power_world import fitted, found, powered_type, supply, world
from tests.rules.worlds import build, make_ask, unit

# without losses, so that 1440 W at 120 V are 12 A
PLAIN: dict[str, Any] = {"efficiency": 1, "power_factor": 1}
ONE = build(unit(supplies=fitted("PS")))
RULE = "power.circuit"
US: dict[str, Any] = {"input_v": 120, "circuit": {"amps": 15, "share_percent": 80}}


def test_a_continuous_load_uses_80_percent_of_a_circuit() -> None:
    """1440 W at 120 V are 12 A, 80 % of 15 A (NEC 210.20(A))."""
    catalog = world(powered_type(60, "PS"), supply("PS", (100, 240, 1440), **PLAIN))
    assert found(ONE, make_ask(**US), catalog) == {}


def test_one_watt_more_is_too_much() -> None:
    """1441 W at 120 V are a little more than 12 A."""
    catalog = world(powered_type(60, "PS"), supply("PS", (100, 240, 1441), **PLAIN))
    text = "unit 1: PS takes 12.01 A at 120 V, 80 % of a 15 A circuit is 12.00 A: short by 0.01 A"
    assert found(ONE, make_ask(**US), catalog) == {RULE: [text]}


def test_where_the_code_has_no_share_the_whole_circuit_counts() -> None:
    """1441 W at 120 V are within 15 A where the NEC doesn't govern."""
    catalog = world(powered_type(60, "PS"), supply("PS", (100, 240, 1441), **PLAIN))
    assert found(ONE, make_ask(input_v=120, circuit={"amps": 15}), catalog) == {}
    assert found(ONE, make_ask(input_v=120), catalog) == {}


def test_losses_count() -> None:
    """1440 W at 90 % and a power factor of 0.95 take 1684.2 VA: 14.04 A at 120 V."""
    lossy = supply("PS", (100, 240, 1440), efficiency="0.9", power_factor="0.95")
    text = "unit 1: PS takes 14.04 A at 120 V, 80 % of a 15 A circuit is 12.00 A: short by 2.04 A"
    assert found(ONE, make_ask(**US), world(powered_type(60, "PS"), lossy)) == {RULE: [text]}


def test_output_at_the_sites_voltage_counts() -> None:
    """A supply of 2000 W at 230 V gives 1400 W at 120 V, which are 11.67 A."""
    catalog = world(powered_type(60, "PS"), supply("PS", (100, 127, 1400), (200, 240, 2000), **PLAIN))
    assert found(ONE, make_ask(**US), catalog) == {}


def test_every_inlet_has_a_circuit_of_its_own() -> None:
    """Two supplies of 12 A are on two circuits."""
    catalog = world(powered_type(60, "PS"), supply("PS", (100, 240, 1440), **PLAIN))
    assert found(build(unit(supplies=fitted("PS", "PS"))), make_ask(**US), catalog) == {}


def test_a_shared_circuit_carries_the_load_and_not_what_supplies_could_give() -> None:
    """1441 W are too much for a circuit of one inlet; what one circuit carries for the stack is another rule's."""
    catalog = world(powered_type(60, "PS"), supply("PS", (100, 240, 1441), **PLAIN))
    shared = {**US["circuit"], "shared": True}
    assert found(ONE, make_ask(input_v=120, circuit=shared), catalog) == {}
