"""No stacking link is longer than its units allow.

Stacking protocols time out over long ways; a ring over several racks may need another lacing.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Arrangement
from configurator.rule import Breach, Rule, Source
from configurator.setting import Ask

from ..looking import plain
from .checking import members, way_m

# the rule's part of the model


def arranges(arrangement: Arrangement, ask: Ask, catalog: Catalog) -> bool:
    """No link longer than the families of the stack allow."""
    if arrangement.mode is None:
        return True
    longest = [catalog.families[name].longest_link_m for name in arrangement.mode.families]
    return not any(limit is not None and link.way_m > limit for limit in longest for link in arrangement.links)


# the check

MILLIMETRE = Decimal("0.001")


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each link's way, worked out anew, is the one stated and within every member family's longest."""
    limits = {f.id: f.longest_link_m for f in members(build, catalog) if f.longest_link_m is not None}
    for link in build.links:
        way = way_m(link.from_unit, link.to_unit, build, ask, catalog)
        if way is None:
            continue
        between = f"between units {link.from_unit} and {link.to_unit}"
        if abs(link.way_m - way) >= MILLIMETRE:
            yield Breach(f"the way {between} is {plain(way)} m, the build says {plain(link.way_m)} m")
        for family, longest in limits.items():
            if way > longest:
                yield Breach(f"the way {between} is {plain(way)} m, {family} stacks over at most {plain(longest)} m")


RULE = Rule(
    id="stacking.distance",
    family="stacking",
    sentence="No stacking link is longer than its units allow.",
    source=Source("EIA-310, rack unit 44.45 mm; routing slack is common practice"),
    about=("rack_positions", "between_units_m"),
    arranges=arranges,
    check=check,
)
