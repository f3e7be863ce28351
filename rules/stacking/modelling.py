"""What can make a stacking link: cables, or optics with a fibre between them."""

from __future__ import annotations

from decimal import Decimal

from configurator.catalog import Catalog
from configurator.fitout import Mode
from configurator.parts import Cable, FibreCable, Optic


def link_recipes(mode: Mode, way_m: Decimal, fibre: str | None, catalog: Catalog) -> tuple[tuple[str, ...], ...]:
    """Every set of parts that makes one connection of a link over this way."""
    cages = mode.cages
    cables = [(c.id,) for c in catalog.parts.cables if _cable_links(c, mode, way_m) and _listed(c, cages, catalog)]
    optics = [
        (one, catalog.by_id[one.pairs_with] if one.pairs_with is not None else one)
        for one in catalog.parts.optics
        if one.form == mode.connector and mode.speed_mbps in one.speeds_mbps and _listed(one, cages, catalog)
    ]
    pairs = [
        (one, other)
        for one, other in optics
        if isinstance(other, Optic) and other.form == mode.connector and _listed(other, cages, catalog)
    ]
    linked: list[tuple[str, ...]] = []
    for one, other in pairs:
        if one.pairs_with is not None and one.id > other.id:
            continue  # the same pair the other way round
        if fibre is not None:
            if _carries(one, fibre, way_m) and _carries(other, fibre, way_m):
                linked.append((one.id, other.id))
            continue
        linked += [
            (one.id, other.id, lead.id) for lead in catalog.parts.fibre_cables if _leads(lead, one, other, way_m)
        ]
    return (*cables, *linked)


def _listed(plug: Cable | Optic, cages: tuple[str, ...], catalog: Catalog) -> bool:
    """Every cage of the mode lists the plug; a fixed stacking port takes cables only."""
    return all(plug.id in catalog.matrix.get(cage, frozenset()) if cage else isinstance(plug, Cable) for cage in cages)


def _cable_links(cable: Cable, mode: Mode, way_m: Decimal) -> bool:
    ends = cable.near == cable.far == mode.connector
    return ends and cable.ways == 1 and cable.length_m >= way_m and mode.speed_mbps in cable.speeds_mbps


def _carries(optic: Optic, fibre: str, length_m: Decimal) -> bool:
    return any(reach.fibre == fibre and reach.min_m <= length_m <= reach.max_m for reach in optic.reaches)


def _leads(lead: FibreCable, one: Optic, other: Optic, way_m: Decimal) -> bool:
    fits = lead.ways == 1 and lead.near == lead.far == one.connector == other.connector
    carried = _carries(one, lead.fibre, lead.length_m) and _carries(other, lead.fibre, lead.length_m)
    return fits and lead.length_m >= way_m and carried
