"""Units are bought in the style asked: in bundles, or as base units with loose parts.

Some customers have a frame contract for bundles, some stock base units and want supplies and modules on lines of
their own; where nobody says so, whichever is cheaper will do.
A bundle is a box that holds a unit and other parts, a base unit one that holds the unit alone, unless the catalog
says otherwise of a box.  Loose parts and kits may be bought in any style.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import Box
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking
from .checking import on_the_shelf

# the rule's part of the model


def forbids_part(part: Part, setting: Setting, catalog: Catalog) -> bool:
    """A box of the other style."""
    if not isinstance(part, Box):
        return False
    style = setting.bought_as
    for said in setting.bought_as_by_type:
        if said.unit == part.unit:
            style = said.bought_as
    if style == "either":
        return False
    bundle = len(part.contents) > 0 if part.bundle is None else part.bundle
    return bundle != (style == "bundles")


# the check

STYLES = {"bundles": "in bundles", "base_units": "as base units"}


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks at each box on the bill, for the unit type in it: what else it holds, and what is asked of that type."""
    of_types = {one.unit: one.bought_as for one in ask.setting.bought_as_by_type}
    for number, count in looking.ordered(build).items():
        box = looking.part_of(number, Box, catalog)
        if box is None:
            continue
        asked = of_types.get(box.unit, ask.setting.bought_as)
        if box.bundle is not None:
            own = "bundles" if box.bundle else "base_units"
        else:
            own = "bundles" if sum(content.count for content in box.contents) else "base_units"
        if asked in STYLES and own != asked:
            what = "bundle" if own == "bundles" else "base unit"
            yield Breach(f"{count} of {number} to order, a {what}; {box.unit} is to be bought {STYLES[asked]}")


RULE = Rule(
    id="ordering.bought_as",
    family="ordering",
    sentence="Units are bought in the style asked: in bundles, or as base units with loose parts.",
    source=COMMON_PRACTICE,
    about=("bought_as", "bought_as_by_type"),
    forbids_part=forbids_part,
    check=check,
    check_order=on_the_shelf(check),
)
