"""Slips in what is said about the years of ownership, and in the efficiency of supplies."""

from __future__ import annotations

from collections.abc import Iterator

from configurator.demand import Demand
from configurator.errors import Problem
from configurator.parts import Parts
from configurator.reading.sheet import Sheet
from configurator.reading.words import Path, figure

HOURS_A_DAY = 24


def slips(sheet: Sheet, demand: Demand) -> Iterator[Problem]:
    """A day has 24 hours."""
    profile = demand.life.load_profile if demand.life is not None else ()
    hours = sum(level.hours_a_day for level in profile)
    if hours > HOURS_A_DAY:
        text = f"the levels take {figure(hours)} hours, and a day has {HOURS_A_DAY}"
        yield sheet.problem(("life", "load_profile"), text, f"let hours_a_day come to {HOURS_A_DAY} or less")


def contradictions(sheet: Sheet, parts: Parts) -> Iterator[Problem]:
    """A supply has one efficiency at each load."""
    for n, supply in enumerate(parts.supplies):
        seen: set[int] = set()
        for place, point in enumerate(supply.efficiency_at):
            if point.load_percent in seen:
                path: Path = ("supplies", n, "efficiency_at", place, "load_percent")
                text = f"the efficiency at {point.load_percent} % of its load is there twice"
                yield sheet.problem(path, text, "take one of the two out")
            seen.add(point.load_percent)
