"""Calendar months: the day so many months on, and how many months reach a day."""

from __future__ import annotations

from calendar import monthrange
from datetime import MAXYEAR, date


def months_on(day: date, months: int) -> date:
    """The same day of the month so many months later; the last of that month where it is shorter."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > MAXYEAR:
        return date.max
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def months_until(day: date, end: date) -> int:
    """The fewest whole months that reach from one day to another; none where that is no later."""
    months = (end.year - day.year) * 12 + end.month - day.month
    return max(0, months if months_on(day, months) >= end else months + 1)
