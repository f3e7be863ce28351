"""Where failed parts stay with the customer, every contract says so.

Why it matters: a part that holds data isn't sent back, and one that isn't sent back is charged.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.services import Support
from configurator.setting import Ask, Setting

from .checking import all_held

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A contract under which failed parts go back."""
    return isinstance(part, Support) and setting.failed_parts_kept and not part.keeps_failed_parts


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each contract leaves failed parts with the customer, if that is asked."""
    for held in all_held(build, catalog) if ask.setting.failed_parts_kept else ():
        if not held.contract.keeps_failed_parts:
            yield Breach(f"{held.contract.id} takes failed parts back, they are to be kept", held.position)


RULE = Rule(
    id="support.failed_parts",
    family="support",
    sentence="Where failed parts stay with the customer, every contract says so.",
    source=COMMON_PRACTICE,
    about=("failed_parts_kept",),
    applies=lambda catalog: bool(catalog.parts.support),
    forbids_for=forbids_for,
    check=check,
)
