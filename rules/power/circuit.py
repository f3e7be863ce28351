"""A supply at full output takes no more than its circuit's share for continuous loads.

A breaker that trips on a warm day takes the closet down; where the NEC governs, a load of three
hours and more may use 80 % of the circuit.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import Breach, Rule, Source
from configurator.setting import Ask, Setting

from ..looking import plain
from . import modelling
from .checking import amps, input_amps, powered_units

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A supply that takes more than its circuit's share; what a shared circuit carries is the stack's load."""
    if setting.circuit_amps is None or setting.circuit_shared:
        return False
    allowed_a = setting.circuit_amps * setting.circuit_share_percent / 100
    currents = (modelling.input_a(supply, setting) for supply in fitout.supplies)
    return any(current is not None and current > allowed_a for current in currents)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each inlet has a circuit of its own; the supply's input current at rated output is within the share."""
    circuit_a, share = ask.setting.circuit_amps, ask.setting.circuit_share_percent
    if circuit_a is None or ask.setting.circuit_shared:
        return
    has = Fraction(circuit_a) * share / 100
    for one in powered_units(build, ask, catalog):
        for supply in dict.fromkeys(one.supplies):
            takes = input_amps(supply, ask.setting.input_v)
            if takes is not None and takes > has:
                yield Breach(
                    f"{supply.id} takes {amps(takes)} at {ask.setting.input_v} V, {share} % of a "
                    f"{plain(circuit_a)} A circuit is {amps(has)}: short by {amps(takes - has)}",
                    one.position,
                )


RULE = Rule(
    id="power.circuit",
    family="power",
    sentence="A supply at rated output takes no more current than the site's code lets its circuit carry.",
    source=Source("NFPA 70 (NEC) 210.20(A), 80 % for continuous loads where the NEC governs"),
    about=("circuit", "input_v", "country"),
    forbids={"supplies": forbids},
    check=check,
)
