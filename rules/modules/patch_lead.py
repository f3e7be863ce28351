"""An uplink to a patch panel has a lead from each of its optics to the panel.

Why it matters: without the lead the link isn't lit, and an angled end pressed on a flat one reflects and is damaged.
Direct cables and copper need none, and an optic that splits a port has its fan-out lead.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind, Plug
from configurator.parts import FibreCable, Optic
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

from .. import looking
from . import checking, modelling

# the rule's part of the model


def needs(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """A lead for each optic, here and at the far end's panel, which is taken to be alike."""
    said = kind.said
    if isinstance(said, Uplinks) and said.panel_connector is not None:
        for optic in modelling.ends(kind, plug, catalog):
            leads = (lead for lead in catalog.parts.fibre_cables if _suits(lead, optic, said))
            yield Need("patch lead", tuple((lead.id,) for lead in leads))


def _suits(lead: FibreCable, optic: Optic, said: Uplinks) -> bool:
    """One lead of the fibre that lies there, strong and long enough; it may lie either way round."""
    fibres = {row.fibre for row in optic.reaches} if said.fibre is None else {said.fibre}
    enough = lead.ways == 1 and lead.fibres >= optic.fibres and lead.length_m >= said.lead_m
    near, far = (lead.near, lead.near_polish), (lead.far, lead.far_polish)
    return lead.fibre in fibres and enough and (_joins(near, far, optic, said) or _joins(far, near, optic, said))


def _joins(here: tuple[str, str | None], there: tuple[str, str | None], optic: Optic, said: Uplinks) -> bool:
    """One end mates with the optic, the other with the panel."""
    flat = {"UPC": "flat", "PC": "flat", "APC": "angled"}
    mates = None in (here[1], optic.polish) or flat[str(here[1])] == flat[str(optic.polish)]
    ends = (here[0], there[0]) == (optic.connector, said.panel_connector)
    return ends and mates and said.panel_polish in (None, there[1])


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Shares out the leads of each statement among its optics; says why those that are left don't fit."""
    came = checking.there(build, "patch lead")
    needed: dict[str, Counter[str]] = {}
    asked: dict[str, Uplinks] = {}
    for statement, said, optic in checking.lit_ends(build, ask, catalog):
        if isinstance(said, Uplinks) and said.panel_connector is not None:
            asked[statement] = said
            needed.setdefault(statement, Counter())[optic.id] += 1
    for statement, optics in needed.items():
        uplinks, mine = asked[statement], came.get(statement, Counter())

        def fits(number: str, part: str, uplinks: Uplinks = uplinks) -> bool:
            return _fault(part, catalog.get(number, Optic), uplinks, catalog) is None

        for number, short in checking.unmet(optics, mine, fits).items():
            optic = catalog.get(number, Optic)
            faults = "; ".join(fault for part in mine if (fault := _fault(part, optic, uplinks, catalog)))
            lacks = f"{short} of {optics[number]} optics {number} lack a lead to the panel"
            yield Breach(f"{looking.title(statement, uplinks)}: {lacks}" + (f"; {faults}" if faults else ""))


def _fault(part: str, optic: Optic, said: Uplinks, catalog: Catalog) -> str | None:
    """What keeps a part from leading from an optic to the panel."""
    lead = looking.part_of(part, FibreCable, catalog)
    if lead is None:
        return f"{part} is no fibre lead"
    if lead.ways != 1:
        return f"{part} is a fan-out of {lead.ways} ways"
    fibres = [said.fibre] if said.fibre is not None else sorted({row.fibre for row in optic.reaches})
    if lead.fibre not in fibres:
        return f"{part} is {lead.fibre}, the link is over {' or '.join(fibres)}"
    if lead.fibres < optic.fibres:
        return f"{part} has fibres: {lead.fibres}, {optic.id} uses {optic.fibres}"
    if lead.length_m < said.lead_m:
        return f"{part} is {looking.plain(lead.length_m)} m long, {looking.plain(said.lead_m)} m are asked"
    return _wrong_ends(lead, optic, said)


def _wrong_ends(lead: FibreCable, optic: Optic, said: Uplinks) -> str | None:
    """What is wrong with the ends of a lead, whichever way round it lies."""
    polish = {True: (lead.near_polish, lead.far_polish), False: (lead.far_polish, lead.near_polish)}
    ways = {True: (lead.near, lead.far), False: (lead.far, lead.near)}
    straight = [way for way, ends in ways.items() if ends == (optic.connector, said.panel_connector)]
    if not straight:
        return f"{lead.id} joins {lead.near} and {lead.far}, needed are {optic.connector} and {said.panel_connector}"
    for way in straight:
        here, there = polish[way]
        pressed_on = here is not None and optic.polish is not None and (here == "APC") != (optic.polish == "APC")
        if not pressed_on and (said.panel_polish is None or there == said.panel_polish):
            return None
    polished = f"{lead.near_polish or 'not stated'} and {lead.far_polish or 'not stated'}"
    wanted = f"{optic.polish or 'any'} at the optic and {said.panel_polish or 'any'} at the panel"
    return f"{lead.id} is polished {polished}, needed are {wanted}"


RULE = Rule(
    id="modules.patch_lead",
    family="modules",
    sentence="An uplink to a patch panel has a lead from each optic, of the right fibre, ends and length.",
    source=COMMON_PRACTICE,
    about=("uplinks",),
    applies=lambda catalog: any(lead.ways == 1 for lead in catalog.parts.fibre_cables),
    requires=Requires(served=needs),
    check=check,
)
