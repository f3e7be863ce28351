"""Neighbouring ports of one block all run at one speed.

Why it matters: a 10 Gb/s optic beside a 25 Gb/s one can leave the whole block dark.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, BuiltUnit, PortUse
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """Ports in blocks whose speed is left open."""
    return any(p.group.block > 1 and p.speed_mbps is None for p in fitout.ports)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Collects the speeds in every block of ports."""
    for unit in build.units:
        blocks: dict[tuple[str | None, str, int, int], set[int]] = {}
        for use in unit.uses:
            group = looking.group_of(unit, use.slot, use.group, catalog)
            if group is not None and group.block > 1:
                first = (use.port - 1) // group.block * group.block + 1
                place = (use.slot, use.group, first, first + group.block - 1)
                blocks.setdefault(place, set()).add(_line_mbps(unit, use, catalog))
        for (_, name, first, last), speeds in blocks.items():
            if len(speeds) > 1:
                yield Breach(f"ports {first} to {last} of {name} run at {looking.rates(speeds)}", unit.position)


def _line_mbps(unit: BuiltUnit, use: PortUse, catalog: Catalog) -> int:
    """The speed of the port itself: of a split port that of all its ways together."""
    split = looking.split_of(unit, use)
    ways = looking.ways_of(split, catalog) if split is not None else None
    return use.speed_mbps * (ways or 1)


RULE = Rule(
    id="ports.block",
    family="ports",
    sentence="Neighbouring ports of one block all run at one speed.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    applies=lambda catalog: any(group.block > 1 for group in looking.all_groups(catalog)),
    forbids={"ports": forbids},
    check=check,
)
