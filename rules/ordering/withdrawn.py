"""No withdrawn part is ordered.

Why it matters: the maker refuses the whole order for one part that is no longer made.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking
from .checking import on_the_shelf

# the rule's part of the model


def forbids_part(part: Part, setting: Setting, catalog: Catalog) -> bool:
    """A part that the list calls withdrawn."""
    row = catalog.prices.rows.get(part.id)
    return row is not None and row.status == "withdrawn"


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Looks each part's status up on the list."""
    for part, count in looking.ordered(build).items():
        row = catalog.prices.rows.get(part)
        if row is not None and row.status == "withdrawn":
            yield Breach(f"{count} of {part} to order, which is withdrawn")


RULE = Rule(
    id="ordering.withdrawn",
    family="ordering",
    sentence="No withdrawn part is ordered.",
    source=COMMON_PRACTICE,
    forbids_part=forbids_part,
    check=check,
    check_order=on_the_shelf(check),
)
