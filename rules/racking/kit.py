"""Each unit has what holds it in a rack of so many posts.

Brackets for two posts don't carry a deep unit in four, and rails for four have nothing to hold on to in two.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.services import RackKit
from configurator.setting import Ask, Setting

from ..looking import part_of
from . import modelling
from .checking import fits

# the rule's part of the model


def needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """One kit for the posts and the type, whatever is in the unit."""
    if setting.rack_posts is not None:
        kits = (kit for kit in catalog.parts.rack_kits if kit.posts == setting.rack_posts)
        yield Need("rack kit", modelling.recipes(kits, fitout.unit_type))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """With posts stated, one kit or more of each unit is for them and for its type."""
    posts = ask.setting.rack_posts
    if posts is None:
        return
    for unit in build.units:
        parts = [along.part for along in unit.along if along.slot == "rack kit" and along.count > 0]
        kits = [kit for part in parts if (kit := part_of(part, RackKit, catalog)) and fits(kit, unit.unit_type)]
        if not any(kit.posts == posts for kit in kits):
            has = ", ".join(f"{kit.id} for {kit.posts} posts" for kit in kits) or "none that holds it"
            yield Breach(f"{unit.unit_type} needs a kit for {posts} posts, it has {has}", unit.position)


RULE = Rule(
    id="racking.kit",
    family="racking",
    sentence="Each unit has a rack kit for its type and for the posts of the rack.",
    source=COMMON_PRACTICE,
    about=("rack_posts",),
    explains=("rack kit",),
    applies=lambda catalog: bool(catalog.parts.rack_kits),
    requires=Requires(unit=needs),
    check=check,
)
