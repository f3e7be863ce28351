"""Every inlet has a cord that fits the wall, the inlet, the current and the way to the outlet.

A switch without a cord for its country can't be switched on the day it arrives.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.parts import Cord, Supply
from configurator.rule import Breach, Need, Requires, Rule, Source
from configurator.setting import Ask, Setting, once

from ..looking import part_of, plain
from . import modelling
from .checking import amps, input_amps

# the rule's part of the model


def needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """A cord for each inlet; for the outlet chosen, where the site states its outlets."""
    for index, supply in enumerate(fitout.supplies):
        if supply.inlet is not None:
            plug = fitout.plugs[index] if fitout.plugs else None
            yield Need(f"cord {index}", _suiting(supply, plug, setting, catalog))


def _suiting(supply: Supply, plug: str | None, setting: Setting, catalog: Catalog) -> tuple[tuple[str, ...], ...]:
    """The cords that suit an inlet; kept, since they are the same for every unit."""

    def make(setting: Setting) -> tuple[tuple[str, ...], ...]:
        return tuple((c.id,) for c in catalog.parts.cords if _suits(c, supply, plug, setting, catalog))

    return once(catalog.cache("cords of an inlet"), (supply.id, plug), setting, make)


def _suits(cord: Cord, supply: Supply, plug: str | None, setting: Setting, catalog: Catalog) -> bool:
    current = modelling.input_a(supply, setting)
    return (
        (setting.country is None or setting.country in cord.countries)
        and (not catalog.inlets_of or supply.inlet in catalog.inlets_of.get(cord.coupler, ()))
        and (current is None or current <= cord.rating_a)
        and cord.length_m >= setting.cord_m
        and (plug is None or cord.plug == plug)
    )


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each supply with an inlet has a cord without fault."""
    for unit in build.units:
        for fitted in unit.supplies:
            supply = part_of(fitted.supply, Supply, catalog)
            if supply is None or supply.inlet is None:
                continue
            cord = part_of(fitted.cord, Cord, catalog)
            faults = _faults(cord, supply, ask, catalog) if cord else [f"inlet {supply.inlet} has no cord"]
            for fault in faults:
                yield Breach(f"bay {fitted.bay}: {fault}", unit.position)


def _faults(cord: Cord, supply: Supply, ask: Ask, catalog: Catalog) -> Iterator[str]:
    """What is wrong with this cord at this supply."""
    country, takes = ask.setting.country, input_amps(supply, ask.setting.input_v)
    if country is not None and country not in cord.countries:
        yield f"{cord.id} is for {', '.join(cord.countries)}, the site is in {country}"
    if catalog.inlets_of and supply.inlet not in catalog.inlets_of.get(cord.coupler, frozenset()):
        yield f"{cord.id} has a {cord.coupler} connector, which doesn't mate with inlet {supply.inlet}"
    if takes is not None and takes > cord.rating_a:
        yield f"{cord.id} is rated {plain(cord.rating_a)} A, {supply.id} takes {amps(takes)}"
    if cord.length_m < ask.setting.cord_m:
        yield f"{cord.id} is {plain(cord.length_m)} m long, the outlet needs {plain(ask.setting.cord_m)} m"


RULE = Rule(
    id="power.cord",
    family="power",
    sentence="Every inlet has a cord for the country, of the right connector, rating and length.",
    source=Source("IEC 60320, connectors and inlets that mate and their ratings"),
    about=("country", "input_v", "cord_m"),
    applies=lambda catalog: bool(catalog.parts.cords),
    requires=Requires(unit=needs),
    check=check,
)
