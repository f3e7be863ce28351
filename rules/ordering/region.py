"""Every part to order is sold in the customer's region.

Why it matters: approvals end at borders, and the distributor there can't get the part.
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
    """A part that is sold elsewhere only."""
    if not part.regions or (setting.region is None and setting.country is None):
        return False
    row = catalog.countries.get(setting.country or "")
    customer = {setting.region, setting.country, *(row.regions if row else ())}
    return customer.isdisjoint(part.regions)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares where each part is sold with the customer's region, country and its regions, if any is said."""
    setting = ask.setting
    country = catalog.countries.get(setting.country) if setting.country is not None else None
    said = (setting.region, setting.country, *(country.regions if country is not None else ()))
    customer = [place for place in said if place is not None]
    if not customer:
        return
    for number, count in looking.ordered(build).items():
        part = catalog.by_id.get(number)
        if part is not None and part.regions and not set(part.regions) & set(customer):
            sold, where = ", ".join(part.regions), ", ".join(customer)
            yield Breach(f"{count} of {number} to order, which is sold in {sold}, the customer is in {where}")


RULE = Rule(
    id="ordering.region",
    family="ordering",
    sentence="Every part to order is sold in the customer's region.",
    source=COMMON_PRACTICE,
    about=("region", "country"),
    applies=lambda catalog: any(part.regions for part in catalog.by_id.values()),
    forbids_part=forbids_part,
    check=check,
    check_order=on_the_shelf(check),
)
