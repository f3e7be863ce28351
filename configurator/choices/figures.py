"""What a build is measured by, and what sets it apart from the cheapest of its stack, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from configurator.answer import BillLine
from configurator.assemble import stack_answer
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.choices.choice import Choice, Figures, PartCount
from configurator.choices.measures import delivery_days, rack_units, support_months
from configurator.choices.spare_ports import spare_ports
from configurator.choices.watts_left import watts_left_dw
from configurator.facilities.facility import facility_of
from configurator.messages import number
from configurator.reasoning.forced import changes
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved

WORDS = (
    ("units", "{} {} unit", "{} {} units", True),
    ("rack_units", "{} {} rack unit", "{} {} rack units", True),
    ("spare_ports", "{} {} spare port", "{} {} spare ports", False),
    ("watts_left_w", "{} W {} left", "{} W {} left", False),
    ("heat_w", "{} W {} heat", "{} W {} heat", True),
    ("delivery_days", "{} {} day to delivery", "{} {} days to delivery", True),
    ("support_months", "{} {} month of support", "{} {} months of support", False),
)
"""Figures with their words for one and for several, and whether fewer is better."""


def figures_of(build: Build, ask: Ask, catalog: Catalog) -> Figures:
    """All figures of a build."""
    left_dw = watts_left_dw(build, ask, catalog)
    return Figures(
        units=len(build.units),
        rack_units=rack_units(build, catalog),
        spare_ports=spare_ports(build, catalog),
        watts_left_w=None if left_dw is None else Decimal(left_dw) / 10,
        heat_w=facility_of(build, ask, catalog).closet_w,
        delivery_days=delivery_days(build, catalog),
        support_months=support_months(build, catalog),
    )


def choice_of(solved: Solved, here: Solved, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...]) -> Choice:
    """A checked build beside the cheapest of its stack, `here`."""
    assert solved.build is not None
    assert here.build is not None
    mine, cheapest = (figures_of(one, ask, catalog) for one in (solved.build, here.build))
    build = solved.build
    lines: tuple[BillLine, ...] = stack_answer(solved, ask, catalog, rules, 1).bill
    return Choice(
        price_minor=solved.price_minor or 0,
        difference_minor=(solved.price_minor or 0) - (here.price_minor or 0),
        units=_counted(Counter(unit.unit_type for unit in build.units)),
        supplies=_counted(Counter(fitted.supply for unit in build.units for fitted in unit.supplies)),
        modules=_counted(Counter(fitted.module for unit in build.units for fitted in unit.modules)),
        figures=mine,
        gains=tuple(_apart(mine, cheapest, better=True)),
        loses=tuple(_apart(mine, cheapest, better=False)),
        changes=changes(here.build, build, catalog),
        bill=lines,
        build=build,
    )


def _counted(found: Counter[str]) -> tuple[PartCount, ...]:
    return tuple(PartCount(part=part, count=count) for part, count in sorted(found.items()))


def _apart(mine: Figures, cheapest: Figures, *, better: bool) -> Iterator[str]:
    """Figures that are better than the cheapest build's, or worse."""
    for name, singular, plural, fewer in WORDS:
        one, other = getattr(mine, name), getattr(cheapest, name)
        if one is None or other is None or one == other or (one < other) != (fewer == better):
            continue
        apart = abs(one - other)
        less = "less" if name.endswith("_w") else "fewer"
        yield (singular if apart == 1 else plural).format(number(Decimal(apart)), "more" if one > other else less)
