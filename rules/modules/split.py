"""A port is split only for uplinks that allow it, by a cable or an optic and fan-out lead that suit the far end.

Why it matters: a split port's ways run at a part of its speed, and all of them hang on one plug.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build, SplitPort
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Cable, FibreCable, Optic
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """The uplink may be split, and what splits the port suits the way and the far end."""
    if not isinstance(plug, SplitPlug):
        return not (isinstance(plug, Cable) and plug.ways > 1)
    said = kind.said
    if not isinstance(said, Uplinks) or not said.may_split:
        return False
    head, lead = plug.head, plug.fan
    if isinstance(head, Cable):
        reaches = said.over in ("direct", "any") and head.length_m >= said.length_m
        return reaches and head.far == said.far_form and said.speed_mbps in head.speeds_mbps
    if lead is None or said.far_connector not in (None, lead.far) or said.over not in ("fibre", "any"):
        return False
    if said.fibre is None:
        spans = {r.fibre for r in head.reaches if r.min_m <= said.length_m <= r.max_m}
        carried = said.over == "fibre" and lead.fibre in spans and spans == {r.fibre for r in head.reaches}
    else:
        rows = [r for r in head.reaches if r.fibre == said.fibre == lead.fibre]
        carried = any(r.min_m <= said.length_m <= r.max_m for r in rows)
    return carried and lead.near == head.connector and said.speed_mbps * lead.ways in head.speeds_mbps


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks at what splits each port, and whether it suits every uplink on its ways."""
    for unit in build.units:
        for split in unit.splits:
            if not _splits(split, catalog):
                held = " and ".join(split.parts) or "nothing"
                yield Breach(f"{looking.port_name(split)} is split by {held}, which splits no port", unit.position)
        for use in unit.uses:
            found = looking.split_of(unit, use)
            plug = looking.plug_of(use, catalog)
            if found is None and isinstance(plug, Cable) and plug.ways > 1:
                text = f"{looking.port_name(use)} holds {plug.id} of {plug.ways} ways, but isn't split"
                yield Breach(text, unit.position)
            said = looking.said(ask, use.statement)
            if found is None or said is None:
                continue
            for wrong in _unsuited(found, said, use.speed_mbps, catalog):
                yield Breach(f"{looking.link_name(use, said)}: {wrong}", unit.position)


def _splits(split: SplitPort, catalog: Catalog) -> bool:
    """One split cable, or an optic and one split fibre lead."""
    found = [catalog.by_id.get(part) for part in split.parts]
    match found:
        case [Cable(ways=ways)] | [Optic(), FibreCable(ways=ways)]:
            return ways > 1
    return False


def _unsuited(split: SplitPort, said: looking.Said, way_mbps: int, catalog: Catalog) -> Iterator[str]:
    """What keeps the ways of a split port from serving a statement."""
    if not isinstance(said, Uplinks):
        yield "the port is split, only uplinks use split ports"
        return
    if not said.may_split:
        yield "the port is split, which isn't allowed for it"
    match [catalog.by_id.get(part) for part in split.parts]:
        case [Cable() as cable]:
            yield from _cable(cable, said, way_mbps)
        case [Optic() as optic, FibreCable() as fan]:
            yield from _optic(optic, said)
            yield from _fan(optic, fan, said, way_mbps)


def _cable(cable: Cable, said: Uplinks, way_mbps: int) -> Iterator[str]:
    """A split cable is a direct cable to the far end's cages."""
    if said.over not in ("direct", "any"):
        yield f"{cable.id} is a direct cable, the link is over {said.over}"
    if cable.far != said.far_form:
        yield f"the far end is {said.far_form or 'not said'}, {cable.id} ends in {cable.far}"
    if cable.length_m < said.length_m:
        yield f"{cable.id} is {looking.plain(cable.length_m)} m long, the way is {looking.plain(said.length_m)} m"
    if way_mbps not in cable.speeds_mbps:
        yield f"{cable.id} has ways of {looking.rates(cable.speeds_mbps)}, the uplink runs at {looking.rate(way_mbps)}"


def _optic(optic: Optic, said: Uplinks) -> Iterator[str]:
    """The optic carries the way over the fibre that lies there."""
    if said.over not in ("fibre", "any") or (said.over == "any" and said.fibre is None):
        yield f"{optic.id} is an optic, the link is over {said.over} and no fibre"
    elif not looking.carries(optic, said.fibre, said.length_m):
        over = said.fibre or "every fibre it knows"
        yield f"{optic.id} doesn't carry {looking.plain(said.length_m)} m over {over}"


def _fan(optic: Optic, fan: FibreCable, said: Uplinks, way_mbps: int) -> Iterator[str]:
    """The fan-out lead fits the optic, the fibre and the far end, and its ways share the optic's speed."""
    if fan.near != optic.connector:
        yield f"{fan.id} begins in {fan.near}, {optic.id} has {optic.connector}"
    fibres = {said.fibre} if said.fibre is not None else {row.fibre for row in optic.reaches}
    if fan.fibre not in fibres:
        yield f"{fan.id} is {fan.fibre}, the link is over {' or '.join(sorted(fibres))}"
    if said.far_connector is not None and fan.far != said.far_connector:
        yield f"the far end has {said.far_connector}, {fan.id} ends in {fan.far}"
    if way_mbps * fan.ways not in optic.speeds_mbps:
        ways = f"{fan.ways} ways of {looking.rate(way_mbps)}"
        yield f"{optic.id} runs at {looking.rates(optic.speeds_mbps)}, not at {ways}"


RULE = Rule(
    id="modules.split",
    family="modules",
    sentence="A port is split only for uplinks that allow it, by parts that suit the way and the far end.",
    source=COMMON_PRACTICE,
    about=("uplinks",),
    plug_serves=plug_serves,
    explains=("split",),
    check=check,
)
