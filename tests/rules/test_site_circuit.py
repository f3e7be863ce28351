"""Where one circuit carries the whole stack, its load stays within what the site's code allows."""

from __future__ import annotations

from typing import Any

from configurator.setting import Ask
from configurator_rules.site.circuit import RULE
from tests.rules.closet_world import shares
from tests.rules.power_world import fed, fitted, phones, powered_type, supply, world
from tests.rules.worlds import breaches, build, make_ask, unit

# without losses, so that two units of 720 W at 120 V are 12 A, 80 % of 15 A (NEC 210.20(A))
LOSSLESS: dict[str, Any] = {"efficiency": 1, "power_factor": 1}
CATALOG = world(powered_type(720, "PS"), supply("PS", (100, 240, 900), **LOSSLESS))
TWO = build(*(unit(position=n, supplies=fitted("PS", "PS")) for n in (1, 2)))
TEXT = "the stack takes 12.00 A at 120 V, 80 % of a shared 14.9 A circuit is 11.92 A: over by 0.08 A"


def asked(amps: str, **said: Any) -> Ask:
    """A shared circuit at 120 V, used to 80 %."""
    circuit = {"amps": amps, "share_percent": 80, "shared": True}
    return make_ask(**{"input_v": 120, "circuit": circuit, **said})


def test_the_whole_stack_is_on_one_circuit() -> None:
    assert breaches(RULE, TWO, asked("15"), CATALOG) == []


def test_a_little_more_than_the_code_allows() -> None:
    assert breaches(RULE, TWO, asked("14.9"), CATALOG) == [TEXT]


def test_one_feed_carries_all_when_the_other_fails() -> None:
    """Each unit hangs on both feeds, and one of them has to carry both units."""
    on_both = build(*(unit(position=n, supplies=fitted("PS", "PS", feeds="AB")) for n in (1, 2)))
    assert breaches(RULE, on_both, asked("15", on_feed_loss="carries_all"), CATALOG) == []
    assert breaches(RULE, on_both, asked("14.9", on_feed_loss="carries_all"), CATALOG) == [TEXT]


def test_losses_and_poe_count() -> None:
    """720 W and 30 W at 80 % and a power factor of 0.95 are 986.85 VA: 8.23 A at 120 V."""
    lossy = supply("PS", (100, 240, 900), efficiency="0.8", power_factor="0.95")
    one = build(unit(*fed(1), supplies=fitted("PS")))
    ask = phones(1, input_v=120, circuit={"amps": 8, "shared": True})
    assert breaches(RULE, one, ask, world(powered_type(720, "PS"), lossy)) == [
        "the stack takes 8.23 A at 120 V, 100 % of a shared 8 A circuit is 8.00 A: over by 0.23 A"
    ]


def test_circuits_of_their_own_are_another_rules_business() -> None:
    assert breaches(RULE, TWO, make_ask(input_v=120, circuit={"amps": 1}), CATALOG) == []
    assert breaches(RULE, TWO, make_ask(input_v=120), CATALOG) == []


def test_without_a_voltage_there_is_no_current() -> None:
    assert breaches(RULE, TWO, make_ask(circuit={"amps": 1, "shared": True}), CATALOG) == []


def test_stacks_of_one_closet_share_it() -> None:
    """What is enough for one is not for two."""
    shares("site.circuit")
