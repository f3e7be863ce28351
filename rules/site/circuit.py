"""A circuit that carries the whole stack carries no more than its share for continuous loads.

Where two feeds are there, the one that is left when the other fails carries all.  What share of a circuit
a load of three hours and more may use, the local code says: 80 % where the NEC governs.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import floor

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.rule import Breach, Row, Rule, Source
from configurator.setting import Ask, OrderAsk

from ..looking import closets, plain
from ..power.checking import amps
from . import modelling
from .checking import taken

# the rule's part of the model


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """Volt-amperes of the whole stack within amps and share at the site's voltage."""
    setting, circuit = ask.setting, ask.stack.circuit
    if circuit is None or not circuit.shared or setting.circuit_amps is None or setting.input_v is None:
        return
    bound = floor(setting.circuit_amps * setting.circuit_share_percent * setting.input_v)
    yield from modelling.rows(bound, modelling.efficiency_of_va, ask, catalog, poe_stays=True, unit="VA")


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """One feed's circuit carries everything that the stack draws and feeds."""
    yield from _over(ask, [(build, ask)], catalog)


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """All stacks in one closet together."""
    for closet in closets(order, asked):
        for breach in _over(closet.ask, closet.stacks, catalog):
            yield Breach(f"{closet.name}: {breach.text}")


def _over(ask: Ask, stacks: Sequence[tuple[Build, Ask]], catalog: Catalog) -> Iterator[Breach]:
    """What they take against what is allowed."""
    circuit, circuit_a, input_v = ask.stack.circuit, ask.setting.circuit_amps, ask.setting.input_v
    if circuit is None or not circuit.shared or circuit_a is None or input_v is None:
        return
    share = ask.setting.circuit_share_percent
    takes_va = taken(stacks, catalog, lambda supply: supply.efficiency * supply.power_factor, poe_stays=True)
    takes, has = Fraction(takes_va, 100 * input_v), Fraction(circuit_a) * share / 100
    if takes > has:
        yield Breach(
            f"the stack takes {amps(takes)} at {input_v} V, {share} % of a shared {plain(circuit_a)} A circuit is "
            f"{amps(has)}: over by {amps(takes - has)}"
        )


RULE = Rule(
    id="site.circuit",
    family="site",
    sentence="Where one circuit carries the whole stack, its load stays within what the site's code allows.",
    source=Source("NFPA 70 (NEC) 210.20(A), 80 % for continuous loads where the NEC governs"),
    about=("circuit", "input_v", "country", "ports", "devices", "uplinks"),
    limits=limits,
    check=check,
    check_order=check_order,
)
