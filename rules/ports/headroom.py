"""There are spare ports for growth: so many percent, or so many, more than asked today.

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
    """Counts the ports of each statement against what it will have grown to."""
    for key, said in looking.statements(ask).items():
        uplinks = isinstance(said, Uplinks)
        percent = ask.headroom_uplinks_percent if uplinks else ask.headroom_percent
        more = ask.headroom_uplinks_count if uplinks else ask.headroom_count
        grown = looking.grown(said.count, percent, more)
        if grown == said.count:
            continue
        serving = [use for _, use in looking.uses(build) if use.statement == key]
        growth = f"{said.count} and {_in_words(said.count, percent, more)}"
        if len(serving) < grown:
            yield Breach(f"{looking.title(key, said)}: {growth} need {grown} ports, {len(serving)} are there for it")
        if isinstance(said, Uplinks) or not (ask.headroom_draws and looking.draws_power(said)):
            continue
        at_once = -(-grown * said.powered_percent // 100)
        powered = sum(use.powered for use in serving)
        if powered < at_once <= len(serving):
            yield Breach(f"{looking.title(key, said)}: {growth} need {at_once} powered ports, {powered} are powered")


def _in_words(count: int, percent: int, more: int) -> str:
    """The growth that counts: the larger of the two."""
    return f"{percent} % growth" if looking.grown(count, percent, 0) >= count + more else f"{more} more"


RULE = Rule(
    id="ports.headroom",
    family="ports",
    sentence="There are spare ports and uplinks for growth, and growth draws watts unless the demand says otherwise.",
    source=COMMON_PRACTICE,
    about=(
        "ports",
        "devices",
        "uplinks",
        "headroom_percent",
        "headroom_count",
        "headroom_draws",
        "headroom_uplinks_percent",
        "headroom_uplinks_count",
    ),
    limits=limits,
    check=check,
)
