"""A port runs at the speed of its device.

Why it matters: a multirate port may lack the low speeds, and old equipment at 10 or 100 Mb/s stays dark.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.kinds import Kind, SplitPlug
from configurator.parts import PortGroup
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def port_serves(group: PortGroup, kind: Kind, catalog: Catalog) -> bool:
    """The device's speed is one of the port's."""
    return kind.said.speed_mbps in group.speeds_mbps


def port_splits(group: PortGroup, plug: SplitPlug, kind: Kind, catalog: Catalog) -> bool:
    """All ways at the device's speed make up one of the port's speeds."""
    return kind.said.speed_mbps * plug.ways in group.speeds_mbps


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the speed of each use with the statement and with what the port can do."""
    for unit, use in looking.uses(build):
        name = looking.port_name(use)
        said = looking.said(ask, use.statement)
        if said is not None and use.speed_mbps != said.speed_mbps:
            asked = f"{looking.title(use.statement, said)} asks {looking.rate(said.speed_mbps)}"
            yield Breach(f"{asked}, {name} runs at {looking.rate(use.speed_mbps)}", unit.position)
        group = looking.group_of(unit, use.slot, use.group, catalog)
        split = looking.split_of(unit, use)
        ways = (looking.ways_of(split, catalog) or 1) if split is not None else 1
        if group is not None and use.speed_mbps * ways not in group.speeds_mbps:
            runs = f"runs at {looking.rate(use.speed_mbps * ways)}"
            if ways > 1:
                runs += f" ({ways} ways of {looking.rate(use.speed_mbps)})"
            yield Breach(f"{name} {runs}, its speeds are {looking.rates(group.speeds_mbps)}", unit.position)


RULE = Rule(
    id="ports.speed",
    family="ports",
    sentence="A port runs at the speed of its device.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    port_serves=port_serves,
    port_splits=port_splits,
    check=check,
)
