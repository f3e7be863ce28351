"""A copper device is plugged into an RJ45 port or a copper optic; anything else needs a plug in a cage.

Why it matters: a link with the wrong connector, or a cage with nothing in it, connects nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, BuiltUnit, PortUse
from configurator.catalog import Catalog
from configurator.demand import Devices
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Optic, PortGroup
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def port_takes(group: PortGroup, plug: Plug | None, catalog: Catalog) -> bool:
    """A cage needs a plug; a fixed port takes none and must be RJ45."""
    return group.cage is not None if plug is not None else group.cage is None and group.connector == "RJ45"


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """Copper: nothing or a copper optic.  Anything else: some plug."""
    copper = isinstance(kind.said, Devices) or kind.said.over == "copper"
    if plug is None or isinstance(plug, SplitPlug):
        return copper or plug is not None
    return not copper or (isinstance(plug, Optic) and plug.connector == "RJ45")


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks at what is in each port that isn't split, and what it has to connect."""
    for unit, use in looking.uses(build):
        group = looking.group_of(unit, use.slot, use.group, catalog)
        if group is None or use.way is not None or looking.split_of(unit, use) is not None:
            continue
        wrong = _port(use, group) or _link(use, looking.said(ask, use.statement), catalog)
        if wrong:
            yield _breach(unit, use, wrong)


def _port(use: PortUse, group: PortGroup) -> str | None:
    """What is wrong between the port and its plug."""
    if group.cage is not None:
        return f"is a cage ({group.connector}) with nothing in it" if use.plug is None else None
    if use.plug is not None:
        return f"has a fixed connector ({group.connector}) and holds {use.plug}"
    if group.connector != "RJ45":
        return f"has a fixed connector ({group.connector}) that serves no device"
    return None


def _link(use: PortUse, said: looking.Said | None, catalog: Catalog) -> str | None:
    """What is wrong between the plug and the link asked for."""
    if said is None:
        return None
    copper = isinstance(said, Devices) or said.over == "copper"
    over = "copper" if isinstance(said, Devices) else said.over
    if use.plug is None:
        return None if copper else f"has no plug for a link over {over}"
    plug = looking.plug_of(use, catalog)
    if copper and plug is not None and not (isinstance(plug, Optic) and plug.connector == "RJ45"):
        ends = plug.connector if isinstance(plug, Optic) else plug.far
        return f"holds {plug.id} ({ends}) for a link over copper (RJ45)"
    return None


def _breach(unit: BuiltUnit, use: PortUse, wrong: str) -> Breach:
    return Breach(f"{looking.port_name(use)} {wrong}: {use.statement}", unit.position)


RULE = Rule(
    id="ports.connector",
    family="ports",
    sentence="A copper device goes to an RJ45 port or a copper optic; anything else needs a plug in a cage.",
    source=COMMON_PRACTICE,
    about=("ports", "devices", "uplinks"),
    port_takes=port_takes,
    plug_serves=plug_serves,
    check=check,
)
