"""Every way to make one stack of so many units of given families, and the cables that it takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from itertools import combinations, pairwise, permutations

from configurator.catalog import Catalog
from configurator.parts import Family, PortGroup
from configurator.setting import Ask

RACK_UNIT_M = Decimal("0.04445")  # EIA-310
Links = tuple[tuple[int, int], ...]  # pairs of positions, from 1


@dataclass(frozen=True)
class Arranged:
    """A stack's shape: `cables` tells how many of each set of admissible cables it takes."""

    units: int
    families: frozenset[str]  # of two and more units: exactly these; of one: any
    connector: str = ""
    cage: str | None = None
    speed_mbps: int = 0
    ports: int = 0  # stacking ports that each unit needs
    cables: tuple[tuple[frozenset[str], int], ...] = ()

    def stacks_through(self, group: PortGroup) -> bool:
        """Whether a unit may stack through this group."""
        fits = (group.connector, group.cage) == (self.connector, self.cage) and "stack" in group.roles
        return fits and self.speed_mbps in group.speeds_mbps and group.count >= self.ports


def arrangements(ask: Ask, catalog: Catalog, most: int) -> Iterator[Arranged]:
    """All of them, of up to `most` units."""
    low, high = ask.stack.units_at_least or 1, min(most, ask.stack.units_at_most or most)
    if ask.stack.rack_positions is not None:
        high = min(high, len(ask.stack.rack_positions))
    if low <= 1 <= high:
        yield Arranged(1, frozenset())
    for families in _teams(catalog):
        for units in range(max(2, low, len(families)), high + 1):
            yield from _of(ask, catalog, families, units)


def _teams(catalog: Catalog) -> Iterator[tuple[Family, ...]]:
    """Sets of families of which every two list each other."""
    families = [f for f in catalog.parts.families if any(t.family == f.id for t in catalog.parts.unit_types)]
    for size in range(1, len(families) + 1):
        for team in combinations(families, size):
            if all(b.id in a.stacks_with and a.id in b.stacks_with for a, b in combinations(team, 2)):
                yield team


def _of(ask: Ask, catalog: Catalog, families: Sequence[Family], units: int) -> Iterator[Arranged]:
    names = frozenset(f.id for f in families)
    members = [t for t in catalog.parts.unit_types if t.family in names]
    groups = [g for t in members for g in t.ports if "stack" in g.roles]
    modes = sorted({(g.connector, g.cage or "", s) for g in groups for s in g.speeds_mbps})
    a_link, seen = max(f.cables_a_link for f in families), set()
    for connector, cage, speed in modes:
        if ask.stack.stacking_mbps is not None and speed < ask.stack.stacking_mbps:
            continue
        for ways in _ways(ask, catalog, families, units):
            needs: Counter[frozenset[str]] = Counter()
            for way in ways:
                needs[admissible(catalog, connector, cage or None, speed, way)] += a_link
            found = Arranged(
                units, names, connector, cage or None, speed, 2 * a_link,
                tuple(sorted(needs.items(), key=lambda item: sorted(item[0]))),
            )  # fmt: skip
            if frozenset() not in needs and found not in seen:
                seen.add(found)
                yield found


def topology_of(ask: Ask, families: Sequence[Family]) -> str | None:
    """Ring or chain; none where the one asked is not had."""
    if ask.topology is not None:
        return ask.topology if all(ask.topology in f.topologies for f in families) else None
    for topology in ("ring", "chain"):
        if all(topology in f.topologies for f in families):
            return topology
    return None


def shapes(topology: str, units: int, links: int) -> tuple[Links, ...]:
    """Every ring or chain through all units."""
    return _rings(units) if topology == "ring" and units > 2 else _chains(units, links)


def links_of(ask: Ask, families: Sequence[Family], topology: str, units: int) -> int | None:
    """How many links there are; none where two units can't be joined as asked."""
    if units > 2:
        return units if topology == "ring" else units - 1
    links = ask.two_unit_links or (2 if all(2 in f.two_unit_links for f in families) else 1)
    if topology == "chain":
        links = 1
    asked = ask.two_unit_links in (None, links)
    return links if asked and all(links in f.two_unit_links for f in families) else None


@cache
def _rings(units: int) -> tuple[Links, ...]:
    """Rings through all units; each once, without regard to direction."""
    out = []
    for order in permutations(range(2, units + 1)):
        if order[0] < order[-1]:
            around = (1, *order, 1)
            out.append(tuple(pairwise(around)))
    return tuple(out)


@cache
def _chains(units: int, links: int) -> tuple[Links, ...]:
    """Chains through all units; two units may have two links."""
    if units == 2:
        return (((1, 2),) * links,)
    orders = (order for order in permutations(range(1, units + 1)) if order[0] < order[-1])
    return tuple(tuple(pairwise(order)) for order in orders)


def _ways(ask: Ask, catalog: Catalog, families: Sequence[Family], units: int) -> set[tuple[Decimal, ...]]:
    """The ways of the links of every shape, each collection once and only if no link is too long."""
    topology = topology_of(ask, families)
    if topology is None:
        return set()
    way = {pair: way_m(ask, catalog, families, *pair) for pair in permutations(range(1, units + 1), 2)}
    limits = [f.longest_link_m for f in families if f.longest_link_m is not None]
    out = set()
    count = links_of(ask, families, topology, units)
    for links in shapes(topology, units, count) if count is not None else ():
        ways = tuple(sorted(way[pair] for pair in links))
        if not limits or ways[-1] <= min(limits):
            out.add(ways)
    return out


def way_m(ask: Ask, catalog: Catalog, families: Sequence[Family], one: int, other: int) -> Decimal:
    """Way of a cable between two positions."""
    first, last = sorted((one, other))
    between = ask.stack.between_units_m
    if between:
        gaps = between * last if len(between) == 1 else between
        return sum(gaps[first - 1 : last - 1], Decimal(0))
    slack = max(f.routing_slack_m for f in families)
    places = ask.stack.rack_positions
    if places:
        return abs(places[last - 1] - places[first - 1]) * RACK_UNIT_M + slack
    names = {f.id for f in families}
    height = max(t.rack_units for t in catalog.parts.unit_types if t.family in names)
    return (last - first) * height * RACK_UNIT_M + slack


def admissible(catalog: Catalog, connector: str, cage: str | None, speed: int, way: Decimal) -> frozenset[str]:
    """Cables that a link of this way may have."""
    below = catalog.parts.practice.passive_twinax_below_m
    return frozenset(
        cable.id
        for cable in catalog.parts.cables
        if cable.near == cable.far == connector
        and cable.ways == 1
        and speed in cable.speeds_mbps
        and cable.length_m >= way
        and (cage is None or cable.id in catalog.matrix.get(cage, ()))
        and not (cable.kind == "passive twinax" and below is not None and way >= below)
    )
