"""Every part is there by the date asked.

Why it matters: one cable with a long lead time holds up the whole opening.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .. import looking
from .checking import on_the_shelf

# the rule's part of the model


def forbids_part(part: Part, setting: Setting, catalog: Catalog) -> bool:
    """A part that would come too late."""
    row = catalog.prices.rows.get(part.id)
    if row is None or setting.deliver_by is None:
        return False
    return setting.order_date + timedelta(days=row.lead_time_days) > setting.deliver_by


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts each part's lead time from the order date."""
    by = ask.setting.deliver_by
    if by is None:
        return
    days = (by - ask.setting.order_date).days
    for part in looking.ordered(build):
        row = catalog.prices.rows.get(part)
        if row is not None and row.lead_time_days > days:
            yield Breach(f"{part} takes {row.lead_time_days} days, {by} is asked and that is in {days}")


RULE = Rule(
    id="ordering.delivery",
    family="ordering",
    sentence="Every part is there by the date asked.",
    source=COMMON_PRACTICE,
    about=("deliver_by",),
    forbids_part=forbids_part,
    check=check,
    check_order=on_the_shelf(check),
)
