"""An optic draws no more than its port can feed and cool.

Why it matters: long-reach optics of some watts shut a port down that was built for short-reach ones.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, PortUse, SplitPort
from configurator.catalog import Catalog
from configurator.kinds import Plug, SplitPlug
from configurator.parts import Cable, Optic, PortGroup
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def port_takes(group: PortGroup, plug: Plug | None, catalog: Catalog) -> bool:
    """What is plugged in draws no more than the port allows."""
    if plug is None or group.optic_limit_w is None:
        return True
    head = plug.head if isinstance(plug, SplitPlug) else plug
    return head.draw_w <= group.optic_limit_w


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the draw of each optic or cable end with its port's limit; a split port once."""
    for unit in build.units:
        held: list[tuple[PortUse | SplitPort, Optic | Cable | None]] = [
            (split, looking.head_of(split, catalog)) for split in unit.splits
        ]
        held += [(use, looking.plug_of(use, catalog)) for use in unit.uses if use.way is None]
        for place, plug in held:
            group = looking.group_of(unit, place.slot, place.group, catalog)
            limit_w = group.optic_limit_w if group is not None else None
            if plug is not None and limit_w is not None and plug.draw_w > limit_w:
                draws = f"{plug.id} draws {looking.plain(plug.draw_w)} W"
                text = f"{draws} in {looking.port_name(place)}, which allows {looking.plain(limit_w)} W"
                yield Breach(text, unit.position)


RULE = Rule(
    id="modules.optic_power",
    family="modules",
    sentence="An optic or cable end draws no more than its port allows.",
    source=COMMON_PRACTICE,
    about=("uplinks", "ports", "devices"),
    applies=lambda catalog: any(group.optic_limit_w is not None for group in looking.all_groups(catalog)),
    port_takes=port_takes,
    check=check,
)
