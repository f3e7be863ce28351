"""A direct cable is at least as long as the way.

Why it matters: a cable's ends are fixed to it; nobody can add a metre in the closet.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind, Plug
from configurator.parts import Cable
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """The cable covers the way."""
    if not isinstance(plug, Cable) or not isinstance(kind.said, Uplinks):
        return True
    return plug.length_m >= kind.said.length_m


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the cable in each uplink's port that isn't split with the uplink's way."""
    for unit, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        cable = looking.plug_of(use, catalog)
        if not isinstance(said, Uplinks) or not isinstance(cable, Cable) or use.way is not None:
            continue
        if cable.length_m < said.length_m:
            where = looking.link_name(use, said)
            long = f"{cable.id} is {looking.plain(cable.length_m)} m long"
            yield Breach(f"{where}: {long}, the way is {looking.plain(said.length_m)} m", unit.position)


RULE = Rule(
    id="twinax.length",
    family="twinax",
    sentence="A direct cable is at least as long as the way.",
    source=COMMON_PRACTICE,
    about=("uplinks",),
    applies=lambda catalog: bool(catalog.parts.cables),
    plug_serves=plug_serves,
    check=check,
)
