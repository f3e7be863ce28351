"""An optic or cable goes only into a port whose cage lists it.

Why it matters: makers support what they tested; an unlisted optic may be refused by the software.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, PortUse, SplitPort
from configurator.catalog import Catalog
from configurator.kinds import Plug, SplitPlug
from configurator.parts import PortGroup
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def port_takes(group: PortGroup, plug: Plug | None, catalog: Catalog) -> bool:
    """The cage's row of the matrix lists what is plugged in."""
    if plug is None or group.cage is None:
        return True
    head = plug.head if isinstance(plug, SplitPlug) else plug
    return head.id in catalog.matrix.get(group.cage, frozenset())


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks up what each port holds in its cage's row; a split port once."""
    for unit in build.units:
        held: list[tuple[PortUse | SplitPort, str]] = [(split, split.parts[0]) for split in unit.splits if split.parts]
        held += [(use, use.plug) for use in unit.uses if use.plug is not None and use.way is None]
        for place, plug in held:
            group = looking.group_of(unit, place.slot, place.group, catalog)
            if group is None or group.cage is None:
                continue
            takes = catalog.matrix.get(group.cage, frozenset())
            if plug not in takes:
                text = f"{looking.port_name(place)} holds {plug}, which is not among the {len(takes)} parts"
                yield Breach(f"{text} that cage {group.cage} takes", unit.position)


RULE = Rule(
    id="modules.matrix",
    family="modules",
    sentence="An optic or cable goes only into a port whose cage lists it.",
    source=COMMON_PRACTICE,
    about=("uplinks", "ports", "devices"),
    applies=lambda catalog: bool(catalog.parts.optics_matrix),
    port_takes=port_takes,
    check=check,
)
