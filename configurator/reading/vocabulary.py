"""The names that a demand may use, as far as the catalog knows any of their sort."""

from __future__ import annotations

from dataclasses import dataclass

from configurator.catalog import ORDERABLE, Catalog
from configurator.parts import Cable, Module, Optic, PortGroup, UnitType

COPPER = "copper"

# Rates of IEEE 802.3 in Mb/s: a speed that is neither one of them nor in the catalog is a slip.
ETHERNET_MBPS = frozenset(
    {10, 100, 1000, 2500, 5000, 10_000, 25_000, 40_000, 50_000, 100_000, 200_000, 400_000, 800_000}
)


@dataclass(frozen=True)
class Vocabulary:
    """Names by sort; an empty set knows nothing and refuses nothing."""

    fibres: frozenset[str]
    forms: frozenset[str]
    connectors: frozenset[str]
    interfaces: frozenset[str]
    plugs: frozenset[str]
    regions: frozenset[str]
    countries: dict[str, str]  # name by code
    speeds_mbps: frozenset[int]


def port_groups(catalog: Catalog) -> list[PortGroup]:
    """Every port group, of chassis and of modules."""
    owners: list[UnitType | Module] = [*catalog.parts.unit_types, *catalog.parts.modules]
    return [group for owner in owners for group in owner.ports]


def vocabulary(catalog: Catalog) -> Vocabulary:
    """The names that this catalog knows."""
    parts = catalog.parts
    links = [cable for cable in parts.cables if cable.kind != "stacking"]
    sold = {region for kind in ORDERABLE for part in getattr(parts, kind) for region in part.regions}
    named = {region for row in parts.countries for region in (row.code, *row.regions)}
    fibres = {reach.fibre for optic in parts.optics for reach in optic.reaches} | {f.fibre for f in parts.fibre_cables}
    fast: list[PortGroup | Optic | Cable] = [*port_groups(catalog), *parts.optics, *parts.cables]
    return Vocabulary(
        fibres=frozenset(fibres - {COPPER}),
        forms=frozenset(
            {group.connector for group in port_groups(catalog) if group.cage is not None}
            | {optic.form for optic in parts.optics}
            | {end for cable in links for end in (cable.near, cable.far)}
        ),
        connectors=frozenset(
            {optic.connector for optic in parts.optics} | {end for f in parts.fibre_cables for end in (f.near, f.far)}
        ),
        interfaces=frozenset(optic.interface for optic in parts.optics),
        plugs=frozenset(cord.plug for cord in parts.cords),
        regions=frozenset(sold | named),
        countries={row.code: row.name for row in parts.countries},
        speeds_mbps=ETHERNET_MBPS | {speed for entry in fast for speed in entry.speeds_mbps},
    )
