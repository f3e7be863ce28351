"""What is a closet's, all stacks that stand in it share: units, weight, noise, heat, volt-amperes, circuit, outlets."""

from __future__ import annotations

from typing import Any

from configurator.build import Build, Copies, Order
from configurator.setting import OrderAsk
from configurator_rules import RULES
from tests.rules.power_world import ACCESS, fitted, powered_type, supply, world
from tests.rules.worlds import build, make_ask, part, unit

# 90 W at 90 % and a power factor of 0.5: 100 W and 200 VA at the plug, 0.87 A at 230 V
PS = supply("PS", (90, 240, 900), inlet="C14", power_factor="0.5")
CORD = part("CORD", countries=["DE"], coupler="C13", plug="CEE 7/7", rating_a=10, length_m=2)
CATALOG = world(powered_type(90, "PS", rack_units=2, weight_kg="7.5", noise_db=50, ports=(ACCESS,)), PS, cords=[CORD])
SITE: dict[str, Any] = {"country": "DE", "input_v": 230}
LIMITS: list[tuple[str, dict[str, Any], dict[str, Any], str]] = [
    ("racking.space", {"rack_units_free": 4}, {"rack_units_free": 3}, "the units take 4 U together"),
    ("racking.weight", {"rack_weight_kg": 15}, {"rack_weight_kg": "14.9"}, "the units weigh 15 kg"),
    # two equal sources are 10 lg 2 = 3.01 dB louder than one
    ("site.noise", {"noise_db": "53.1"}, {"noise_db": 53}, "the units make 53.01 dB together"),
    ("site.heat", {"heat_w": 200}, {"heat_w": "199.9"}, "200.00 W stay in the closet"),
    ("site.ups", {"ups_va": 400}, {"ups_va": 399}, "takes 400.00 VA"),
    (
        "site.circuit",
        {"circuit": {"amps": "1.8", "shared": True}},
        {"circuit": {"amps": "1.7", "shared": True}},
        "takes 1.74 A at 230 V",
    ),
    (
        "power.outlets",
        {"outlets": [{"plug": "CEE 7/7", "count": 2}]},
        {"outlets": [{"plug": "CEE 7/7", "count": 1}]},
        "2 plugs CEE 7/7 need an outlet",
    ),
]


def order(*copies: int) -> Order:
    """Stacks of one unit each, so many copies of each."""
    bays = fitted("PS", cord="CORD")
    builds: list[Build] = [build(unit(supplies=bays), stack=f"S{n}") for n in range(len(copies))]
    return Order(stacks=tuple(Copies(build=one, copies=count) for one, count in zip(builds, copies, strict=True)))


def asked(limit: dict[str, Any], *closets: str | None) -> OrderAsk:
    """Stacks with this limit in these closets."""
    return OrderAsk(tuple(make_ask(name=f"S{n}", closet=closet, **SITE, **limit) for n, closet in enumerate(closets)))


def found(order: Order, ask: OrderAsk) -> dict[str, list[str]]:
    """What every rule finds wrong with the order as a whole, what is ordered apart."""
    out: dict[str, list[str]] = {}
    for rule in RULES:
        if rule.family != "ordering" and rule.applies(CATALOG):
            for breach in rule.check_order(order, ask, CATALOG):
                out.setdefault(rule.id, []).append(breach.text)
    return out


def shares(rule: str) -> None:
    """Two stacks of a closet share what the rule is about; each alone, or in closets of their own, has it whole."""
    for enough, short, text in ((enough, short, text) for name, enough, short, text in LIMITS if name == rule):
        assert found(order(1, 1), asked(enough, "C", "C")) == {}
        for two in (found(order(1, 1), asked(short, "C", "C")), found(order(2), asked(short, "C"))):
            assert list(two) == [rule]
            assert two[rule][0].startswith("C: ")
            assert text in two[rule][0]
        assert found(order(1, 1), asked(short, "C", "D")) == {}
        assert found(order(2, 2), asked(short, None, None)) == {}
