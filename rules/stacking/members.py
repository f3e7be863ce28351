"""Only units that know each other stack together.

Families differ in software and in the protocol on their stacking ports.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from . import checking

# the rule's part of the model


def together(one: str, other: str, catalog: Catalog) -> bool:
    """Both families name each other, or are the same."""
    first, second = catalog.families[one], catalog.families[other]
    return one == other or (other in first.stacks_with and one in second.stacks_with)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Of every two families in a stack each lists the other."""
    for one, other in combinations(checking.members(build, catalog), 2):
        for family, stranger in ((one, other), (other, one)):
            if stranger.id not in family.stacks_with:
                listed = ", ".join(family.stacks_with) or "no other family"
                yield Breach(f"{family.id} stacks with {listed}, the stack also has {stranger.id}")


RULE = Rule(
    id="stacking.members",
    family="stacking",
    sentence="Units of a stack are of one family, or of families that list each other.",
    source=COMMON_PRACTICE,
    together=together,
    check=check,
)
