"""Patch panels, leads and attenuators in catalogs and demands: what can't be meant, and what is assumed."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from configurator.catalog import Catalog
from configurator.demand import Stack, Uplinks
from configurator.errors import Problem
from configurator.parts import Parts
from configurator.reading.assumptions import Assumed
from configurator.reading.sheet import Sheet
from configurator.reading.vocabulary import COPPER
from configurator.reading.words import Path, did_you_mean, figure, listed, shown

# --- catalogs -------------------------------------------------------------------------------------


def contradictions(sheet: Sheet, parts: Parts) -> Iterator[Problem]:
    """Reaches that state what an attenuator takes off where none could ever be needed."""
    for n, optic in enumerate(parts.optics):
        for r, reach in enumerate(optic.reaches):
            at: Path = ("optics", n, "reaches", r, "short_db")
            if reach.short_db is not None and reach.fibre == COPPER:
                yield sheet.problem(at, "there is no light in copper that could be weakened", "take the line out")
            elif reach.short_db is not None and not reach.min_m:
                text = "short_db is for ways shorter than min_m, and no way is"
                yield sheet.problem(at, text, "add the shortest way as min_m, or take the line out", on_key=True)


# --- demands --------------------------------------------------------------------------------------


def slips(sheet: Sheet, catalog: Catalog, at: Path, stack: Stack, connectors: Collection[str]) -> Iterator[Problem]:
    """What a stack's uplinks say about their panel and can't mean."""
    for n, uplinks in enumerate(stack.uplinks):
        here: Path = (*at, "uplinks", n)
        if uplinks.panel_connector is None:
            for key in ("panel_polish", "lead_m"):
                if key in uplinks.model_fields_set and getattr(uplinks, key) is not None:
                    text = f"{key} is about leads to a panel, and no panel is stated"
                    hint = f"add a line `panel_connector: …`, or leave {key} out"
                    yield sheet.problem((*here, key), text, hint, on_key=True)
        else:
            yield from _panel(sheet, catalog, here, uplinks, connectors)


def _panel(
    sheet: Sheet, catalog: Catalog, here: Path, uplinks: Uplinks, connectors: Collection[str]
) -> Iterator[Problem]:
    path, name = (*here, "panel_connector"), uplinks.panel_connector or ""
    if uplinks.over in ("copper", "direct"):
        text = f"a link over {uplinks.over} takes no fibre lead to a panel"
        yield sheet.problem(path, text, "write `over: fibre`, or leave panel_connector out", on_key=True)
    elif not _has_leads(catalog):
        text = "leads to a panel are asked, and this catalog has none"
        hint = "add leads under fibre_cables, or leave panel_connector out"
        yield sheet.problem(path, text, hint, on_key=True)
    elif name not in connectors:
        hint = did_you_mean(name, connectors, f"known are: {listed(sorted(connectors))}")
        yield sheet.problem(path, f"{shown(name)} is no connector that this catalog knows", hint)


def _has_leads(catalog: Catalog) -> bool:
    return any(lead.ways == 1 for lead in catalog.parts.fibre_cables)


def assumed_panels(stack: Stack, catalog: Catalog) -> Iterator[Assumed]:
    """What uplinks leave open about leads, and that growth of uplinks is more than ports."""
    for uplinks in stack.uplinks:
        lit = uplinks.over == "fibre" or (uplinks.over == "any" and uplinks.fibre is not None)
        if uplinks.panel_connector is None:
            if lit and _has_leads(catalog):
                yield Assumed("uplinks.panel_connector", "none", "no leads from optics to a patch panel are ordered")
            continue
        if "lead_m" not in uplinks.model_fields_set:
            least = figure(uplinks.lead_m)
            yield Assumed("uplinks.lead_m", least, f"leads to a panel are {least} m long or longer")
        if uplinks.panel_polish is None and any(lead.far_polish for lead in catalog.parts.fibre_cables):
            yield Assumed("uplinks.panel_polish", "any", "leads to a panel may have any polish at the panel")
        if uplinks.ends == "both":
            yield Assumed("uplinks.panel_connector", "alike", "the far end's panel is like the one near the stack")
    if stack.uplinks and (stack.headroom_uplinks_percent or stack.headroom_uplinks_count):
        text = "growth of uplinks is ordered with its optics, cables and leads"
        yield Assumed("headroom_uplinks", "complete", text)
