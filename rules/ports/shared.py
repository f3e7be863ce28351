"""Port groups that share their innards are used together only up to the number that works at once.

Why it matters: of a copper port and a cage with the same number only one passes traffic.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """More ports in use than groups with shared innards have together."""
    for some in fitout.unit_type.shared_ports:
        used = sum(p.count for p in fitout.ports if p.group.id in some.groups)
        if fitout.stack is not None and fitout.stack[1].id in some.groups:
            used += 2 * catalog.families[fitout.unit_type.family].cables_a_link
        if used > some.at_most:
            return True
    return False


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts the ports in use of all groups that share."""
    for unit in build.units:
        unit_type = looking.type_of(unit, catalog)
        for shared in unit_type.shared_ports if unit_type else ():
            used = sum(group in shared.groups for group in _used(unit))
            if used > shared.at_most:
                text = f"{used} ports of {' and '.join(shared.groups)} are used"
                yield Breach(f"{text}, at most {shared.at_most} work at once", unit.position)


def _used(unit: BuiltUnit) -> list[str]:
    """The group of every port in use, once a port, in chassis and modules; ports that stack are in use too."""
    ports = {(place.slot, place.group, place.port) for place in looking.places(unit)}
    if unit.stack_group is not None:
        ports |= {(unit.stack_slot, unit.stack_group, port) for port in unit.stack_ports}
    return [group for _, group, _ in ports]


RULE = Rule(
    id="ports.shared",
    family="ports",
    sentence="Port groups that share their innards are used together only up to the number that works at once.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    applies=lambda catalog: any(unit.shared_ports for unit in catalog.parts.unit_types),
    forbids={"ports": forbids},
    check=check,
)
