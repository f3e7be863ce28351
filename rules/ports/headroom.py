"""There are spare ports for growth: so many percent more than asked today.

Why it matters: a closet that is full on the day it opens needs a second order within the year.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import kinds_of
from configurator.rule import COMMON_PRACTICE, Breach, Row, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """As many of each kind are served as there will be with growth."""
    for kind in kinds_of(ask):
        if kind.count > kind.asked:
            yield Row(">=", kind.count, kinds=lambda other, mine=kind: int(other == mine))  # type: ignore[misc]


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts the ports of each statement against what it will have grown to, rounded up."""
    if ask.headroom_percent == 0:
        return
    for key, said in looking.statements(ask).items():
        if isinstance(said, Uplinks):
            continue
        grown = _part(said.count, 100 + ask.headroom_percent)
        serving = [use for _, use in looking.uses(build) if use.statement == key]
        growth = f"{said.count} and {ask.headroom_percent} % growth"
        if len(serving) < grown:
            yield Breach(f"{looking.title(key, said)}: {growth} need {grown} ports, {len(serving)} are there for it")
        if not (ask.headroom_draws and looking.draws_power(said)):
            continue
        at_once = _part(grown, said.powered_percent)
        powered = sum(use.powered for use in serving)
        if powered < at_once <= len(serving):
            yield Breach(f"{looking.title(key, said)}: {growth} need {at_once} powered ports, {powered} are powered")


def _part(count: int, percent: int) -> int:
    """So many percent of a count, rounded up."""
    return -(-count * percent // 100)


RULE = Rule(
    id="ports.headroom",
    family="ports",
    sentence="There are spare ports for growth, and growth draws watts unless the demand says otherwise.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "headroom_percent", "headroom_draws"),
    limits=limits,
    check=check,
)
