"""Passive twinax is used only for short ways; from a few metres on active cables are.

Why it matters: copper loses signal with length, and a passive cable does nothing about it.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.fields import Part
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Cable
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """Not passive from the catalog's length on."""
    cable = plug.head if isinstance(plug, SplitPlug) else plug
    if not isinstance(cable, Cable) or not isinstance(kind.said, Uplinks):
        return True
    return not forbids_over(cable, kind.said.length_m, catalog)


def forbids_over(part: Part, way_m: Decimal, catalog: Catalog) -> bool:
    """Passive twinax over a way from the catalog's length on."""
    below_m = catalog.parts.practice.passive_twinax_below_m
    passive = isinstance(part, Cable) and part.kind == "passive twinax"
    return passive and below_m is not None and way_m >= below_m


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks for passive twinax on uplinks, split or not, and between units, on ways that are too long."""
    below_m = catalog.parts.practice.passive_twinax_below_m
    if below_m is None:
        return
    for unit, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        split = looking.split_of(unit, use)
        plug = looking.head_of(split, catalog) if split is not None else looking.plug_of(use, catalog)
        if isinstance(said, Uplinks) and _is_passive(plug) and said.length_m >= below_m:
            where = looking.link_name(use, said)
            yield Breach(f"{where}: {_words(said.length_m, below_m)}", unit.position)
    for link in build.links:
        if any(_is_passive(catalog.by_id.get(part)) for part in link.parts) and link.way_m >= below_m:
            yield Breach(f"link of units {link.from_unit} and {link.to_unit}: {_words(link.way_m, below_m)}")


def _is_passive(plug: object) -> bool:
    return isinstance(plug, Cable) and plug.kind == "passive twinax"


def _words(way_m: Decimal, below_m: Decimal) -> str:
    return f"passive twinax over {looking.plain(way_m)} m, it is used below {looking.plain(below_m)} m"


RULE = Rule(
    id="twinax.passive",
    family="twinax",
    sentence="Passive twinax is used only below the length from which active cables are.",
    source=COMMON_PRACTICE,
    about=("uplinks", "rack_positions", "between_units_m"),
    applies=lambda catalog: catalog.parts.practice.passive_twinax_below_m is not None,
    plug_serves=plug_serves,
    forbids_over=forbids_over,
    check=check,
)
