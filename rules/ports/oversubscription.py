"""Devices together ask no more bandwidth than the uplinks carry, times the ratio asked.

Why it matters: the ratio is the customer's promise about busy hours; 20 to 1 is usual at the edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind, kinds_of
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """Access bandwidth less the ratio times uplink bandwidth is not above nothing."""
    if ask.stack.oversubscription is None:
        return
    up, down = ask.stack.oversubscription.as_integer_ratio()

    def bandwidth(kind: Kind) -> int:
        return -up * kind.said.speed_mbps if kind.is_uplink else down * kind.said.speed_mbps

    def told(amount: int) -> str:
        return f"{amount / down / 1000:g} Gb/s of access beyond what the uplinks allow"

    aside = [kind for kind in kinds_of(replace(ask, dropped=frozenset())) if kind.statement in ask.dropped]
    eased = -sum(min(0, bandwidth(kind) * kind.count) for kind in aside)
    yield Row("<=", 0, kinds=bandwidth, told=told, eased=eased)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Access bandwidth as asked, growth included, against the uplinks that are there, theirs included too."""
    ratio = ask.stack.oversubscription
    if ratio is None:
        return
    asked = looking.statements(ask)
    access_mbps = sum(
        looking.grown(said.count, ask.headroom_percent, ask.headroom_count) * said.speed_mbps
        for said in asked.values()
        if not isinstance(said, Uplinks)
    )
    uplink_mbps = sum(
        said.speed_mbps for _, use in looking.uses(build) if isinstance(said := asked.get(use.statement), Uplinks)
    )
    if access_mbps > ratio * uplink_mbps:
        least = f"{looking.plain(ratio)} to 1 asked"
        yield Breach(f"{looking.rate(access_mbps)} of access over {looking.rate(uplink_mbps)} of uplinks: {least}")


RULE = Rule(
    id="ports.oversubscription",
    family="ports",
    sentence="Access bandwidth, growth included, stays within the ratio asked to the uplinks' bandwidth.",
    source=COMMON_PRACTICE,
    about=(
        "oversubscription",
        "ports",
        "devices",
        "uplinks",
        "headroom_percent",
        "headroom_count",
        "headroom_uplinks_percent",
        "headroom_uplinks_count",
    ),
    limits=limits,
    check=check,
)
