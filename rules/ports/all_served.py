"""Every port, device and uplink asked for has a port of its own.

Why it matters: a camera without a port is found out on the day of the installation.
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
    """As many of each kind are served as were asked for."""
    for kind in kinds_of(ask):
        yield Row(">=", kind.asked, kinds=lambda other, mine=kind: int(other == mine))  # type: ignore[misc]


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts the ports that serve each statement, and of these the powered ones."""
    asked = looking.statements(ask)
    for key, said in asked.items():
        serving = [use for _, use in looking.uses(build) if use.statement == key]
        if len(serving) < said.count:
            yield Breach(f"{looking.title(key, said)}: {said.count} ports asked, {len(serving)} serve it")
        if isinstance(said, Uplinks) or not looking.draws_power(said):
            continue
        powered = sum(use.powered for use in serving)
        at_once = -(-said.count * said.powered_percent // 100)
        if powered < at_once <= len(serving):
            yield Breach(f"{looking.title(key, said)}: {at_once} ports powered at once asked, {powered} are powered")
    for unit, use in looking.uses(build):
        if use.statement not in asked:
            yield Breach(f"{looking.port_name(use)} serves {use.statement}, which nobody asked for", unit.position)


RULE = Rule(
    id="ports.all_served",
    family="ports",
    sentence="Every port, device and uplink asked for has a port of its own.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    limits=limits,
    check=check,
)
