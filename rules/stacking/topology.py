"""Links join all units into the ring or the chain asked.

A ring survives the loss of one link, a chain doesn't; whichever units are neighbours, a ring goes
once through all of them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Arrangement
from configurator.parts import Family
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .checking import members

# the rule's part of the model


def arranges(arrangement: Arrangement, ask: Ask, catalog: Catalog) -> bool:
    """Ring or chain as asked, else a ring where all families know one; two units linked as asked."""
    if arrangement.mode is None:
        return True
    families_in = [catalog.families[name] for name in arrangement.mode.families]
    rings = all("ring" in family.topologies for family in families_in)
    chains = all("chain" in family.topologies for family in families_in)
    wanted = ask.topology or ("ring" if rings else "chain")
    if arrangement.topology != wanted and "topology" not in ask.dropped:
        return False
    if not (rings if arrangement.topology == "ring" else chains):
        return False
    if arrangement.units > 2:
        return True
    links = len(arrangement.pairs)
    twice = arrangement.topology == "ring" and all(2 in family.two_unit_links for family in families_in)
    known = all(links in family.two_unit_links for family in families_in)
    return known and (links == (ask.two_unit_links or (2 if twice else 1)) or "two_unit_links" in ask.dropped)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """The stack's topology is the right one, it has the links of that, and they reach every unit."""
    units, families = len(build.units), members(build, catalog)
    if units < 2:
        if build.links:
            yield Breach(f"{len(build.links)} links, a unit alone has none")
        return
    if build.topology is None:
        yield Breach(f"{units} units are neither a ring nor a chain")
        return
    yield from _wrong_topology(build.topology, families, ask)
    links = _links(build, families, ask)
    if len(build.links) != links:
        yield Breach(f"{len(build.links)} links, a {build.topology} of {units} units has {links}")
        return
    if units == 2:
        yield from _wrong_pair(links, families, ask)
    yield from _wrong_ends(build)


def _wrong_topology(topology: str, families: tuple[Family, ...], ask: Ask) -> Iterator[Breach]:
    """Where the topology isn't the one asked, or not one that the families have."""
    for family in families:
        if topology not in family.topologies:
            yield Breach(f"the stack is a {topology}, {family.id} has {' or '.join(family.topologies)}")
    if ask.topology is not None and topology != ask.topology:
        yield Breach(f"the stack is a {topology}, asked is a {ask.topology}")
    open_to_any = ask.topology is not None or "topology" in ask.dropped
    if not open_to_any and topology == "chain" and all("ring" in family.topologies for family in families):
        yield Breach("the stack is a chain; where nothing is asked it is a ring, and every member allows one")


def _links(build: Build, families: tuple[Family, ...], ask: Ask) -> int:
    """How many links the stack has; of two units as many as it likes, where what was asked is set aside."""
    units = len(build.units)
    if build.topology == "chain":
        return units - 1
    if units > 2:
        return units
    if "two_unit_links" in ask.dropped:
        return min(2, max(1, len(build.links)))
    return ask.two_unit_links or (2 if all(2 in family.two_unit_links for family in families) else 1)


def _wrong_pair(links: int, families: tuple[Family, ...], ask: Ask) -> Iterator[Breach]:
    """Where two units have another number of links than asked, or than a family joins two units by."""
    if ask.two_unit_links is not None and links != ask.two_unit_links:
        yield Breach(f"{links} links join two units, asked are {ask.two_unit_links}")
    for family in families:
        if links not in family.two_unit_links:
            counts = " or ".join(map(str, family.two_unit_links))
            yield Breach(f"{links} links join two units, {family.id} has {counts}")


def _wrong_ends(build: Build) -> Iterator[Breach]:
    """Where the right number of links doesn't make one ring or one path through all units."""
    degree = Counter({unit.position: 0 for unit in build.units})
    for link in build.links:
        degree.update((link.from_unit, link.to_unit))
    for position in sorted(set(degree) - {unit.position for unit in build.units}):
        yield Breach(f"a link ends at unit {position}, which isn't there")
    for position, ends in sorted(degree.items()):
        if ends > 2:
            yield Breach(f"{ends} links end at this unit, a {build.topology} has at most 2", position)
    reached = _reached(build)
    missed = [unit.position for unit in build.units if unit.position not in reached]
    if missed:
        yield Breach(f"links from unit {build.units[0].position} don't lead to units {missed}")
    if len(degree) < len(build.units):
        yield Breach(f"{len(build.units)} units stand at {len(degree)} positions")


def _reached(build: Build) -> set[int]:
    """The positions that links lead to from the first unit."""
    reached, edge = set(), [build.units[0].position]
    while edge:
        here = edge.pop()
        if here not in reached:
            reached.add(here)
            edge += [link.to_unit for link in build.links if link.from_unit == here]
            edge += [link.from_unit for link in build.links if link.to_unit == here]
    return reached


RULE = Rule(
    id="stacking.topology",
    family="stacking",
    sentence="Links join all units of a stack into one ring or one chain, as asked and as the families allow.",
    source=COMMON_PRACTICE,
    about=("topology", "two_unit_links"),
    arranges=arranges,
    check=check,
)
