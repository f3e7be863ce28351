"""An optic carries the whole way over the fibre that lies there, and isn't too strong for a short one.

Why it matters: a link past its reach works on some days; one below its shortest length blinds the receiver.
Where the catalog states what an attenuator has to take off, a shorter way will do: modules.attenuator sees to it.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Devices, Uplinks
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Cable, Optic
from configurator.rule import Breach, Rule, Source
from configurator.setting import Ask

from .. import looking
from . import checking, modelling

# the rule's part of the model


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """An optic reaches over the link's fibre; a direct cable serves where one may be used."""
    said = kind.said
    if plug is None or isinstance(plug, SplitPlug):
        return True
    if isinstance(said, Devices):
        return not isinstance(plug, Optic) or plug.connector != "RJ45" or modelling.spans(plug, "copper", said.cable_m)
    if said.over == "copper":
        return not isinstance(plug, Optic) or plug.connector != "RJ45" or modelling.spans(plug, "copper", said.length_m)
    if isinstance(plug, Cable):
        return isinstance(said, Uplinks) and said.over in ("direct", "any")
    if plug.connector == "RJ45" or said.over == "direct":
        return False
    if not isinstance(said, Uplinks):
        return modelling.spans(plug, said.over, said.length_m)
    if said.fibre is None:
        return said.over == "fibre" and all(modelling.spans(plug, row.fibre, said.length_m) for row in plug.reaches)
    return modelling.spans(plug, said.fibre, said.length_m)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the way of each plugged port that isn't split with what its optic reaches."""
    for unit, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        plug = looking.plug_of(use, catalog)
        if said is None or plug is None or use.way is not None:
            continue
        wrong = _wrong(said, plug)
        if wrong:
            yield Breach(f"{looking.link_name(use, said)}: {wrong}", unit.position)


def _wrong(said: looking.Said, plug: Optic | Cable) -> str | None:
    """What keeps a plug from carrying the link; that copper needs a copper optic is the connector's matter."""
    over = "copper" if isinstance(said, Devices) else said.over
    way_m = said.cable_m if isinstance(said, Devices) else said.length_m
    fibre = said.fibre if isinstance(said, Uplinks) else over
    if over == "copper":
        return _too_far(plug, over, way_m) if isinstance(plug, Optic) and plug.connector == "RJ45" else None
    if isinstance(plug, Cable):
        direct = isinstance(said, Uplinks) and over in ("direct", "any")
        return None if direct else f"{plug.id} is a direct cable, the link is over {over}"
    if over == "direct" or plug.connector == "RJ45" or (over == "any" and fibre is None):
        return f"{plug.id} is an optic ({plug.connector}), the link is over {over} and {fibre or 'no named fibre'}"
    if not isinstance(said, Devices) and checking.weakened_db(plug, said) is not None:
        return None
    return _too_far(plug, fibre, way_m)


def _too_far(plug: Optic, fibre: str | None, way_m: Decimal) -> str | None:
    """What keeps an optic from carrying a way; with no fibre named, every fibre it knows has to do."""
    if looking.carries(plug, fibre, way_m):
        return None
    rows = [row for row in plug.reaches if fibre is None or row.fibre == fibre]
    if not rows:
        return f"{plug.id} has no reach over {fibre}"
    spans = ", ".join(f"{looking.plain(r.min_m)} to {looking.plain(r.max_m)} m over {r.fibre}" for r in rows)
    return f"{plug.id} carries {spans}, the way is {looking.plain(way_m)} m"


RULE = Rule(
    id="modules.reach",
    family="modules",
    sentence="An optic carries the whole way over the fibre that lies there, neither too far nor too near.",
    source=Source("IEEE 802.3, the clause of each interface: operating ranges"),
    about=("uplinks", "ports", "devices"),
    plug_serves=plug_serves,
    explains=("plug",),
    check=check,
)
