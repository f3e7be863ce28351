"""Every unit of a stack has ports to stack through.

A unit in the middle of the stack has two neighbours, and a link may take more than one cable.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .checking import cables_a_link, members, stacking_group

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A group with fewer ports than two links take."""
    if fitout.stack is None:
        return False
    cables = catalog.families[fitout.unit_type.family].cables_a_link
    return fitout.stack[1].count < 2 * cables


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Two or more units stack through groups for it, of one connector, with ports for two links; one through none."""
    if len(build.units) < 2:
        for unit in build.units:
            if unit.stack_group is not None or unit.stack_ports:
                what = unit.stack_group or f"{len(unit.stack_ports)} ports"
                yield Breach(f"the unit stacks through {what}, alone it stacks with none", unit.position)
        return
    needed = 2 * cables_a_link(members(build, catalog))
    connectors: set[str] = set()
    for unit in build.units:
        if unit.unit_type not in catalog.unit_types:
            continue
        group = stacking_group(unit, catalog)
        if group is None:
            what = f"{unit.stack_group}, which it hasn't" if unit.stack_group is not None else "no ports"
            yield Breach(f"{unit.unit_type} stacks through {what}, two links take {needed}", unit.position)
            continue
        connectors.add(group.connector)
        if "stack" not in group.roles:
            yield Breach(f"ports {group.id} of {unit.unit_type} can't stack", unit.position)
        there = {port for port in unit.stack_ports if 1 <= port <= group.count}
        for port in sorted(set(unit.stack_ports) - there):
            yield Breach(f"port {port} stacks, {unit.unit_type} has {group.count} ports {group.id}", unit.position)
        if len(there) < needed:
            yield Breach(
                f"{unit.unit_type} stacks through {len(there)} ports {group.id}, two links take {needed}",
                unit.position,
            )
    if len(connectors) > 1:
        yield Breach(f"{len(connectors)} connectors in one stack: {', '.join(sorted(connectors))}")


RULE = Rule(
    id="stacking.ports",
    family="stacking",
    sentence="Every unit of a stack has stacking ports for two links, all of one connector.",
    source=COMMON_PRACTICE,
    forbids={"ports": forbids},
    check=check,
)
