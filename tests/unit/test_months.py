"""Calendar months."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from configurator.months import months_on, months_until


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [
        (date(2025, 1, 31), 1, date(2025, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2025, 3, 31), 1, date(2025, 4, 30)),
        (date(2025, 12, 15), 1, date(2026, 1, 15)),
        (date(2025, 6, 2), 36, date(2028, 6, 2)),
        (date(2025, 6, 2), 0, date(2025, 6, 2)),
        (date(9999, 6, 2), 12, date(9999, 12, 31)),
    ],
)
def test_the_same_day_or_the_months_last(day: date, months: int, then: date) -> None:
    """31 January and a month is the last day of February; the calendar's last day is never passed."""
    assert months_on(day, months) == then


@pytest.mark.parametrize(
    ("day", "end", "months"),
    [
        (date(2025, 6, 2), date(2025, 6, 2), 0),
        (date(2025, 6, 2), date(2025, 6, 3), 1),
        (date(2025, 6, 2), date(2026, 6, 2), 12),
        (date(2025, 6, 2), date(2026, 6, 3), 13),
        (date(2025, 1, 31), date(2025, 2, 28), 1),
        (date(2025, 1, 31), date(2025, 3, 1), 2),
        (date(2025, 6, 2), date(2025, 6, 1), 0),
    ],
)
def test_months_begun_are_counted(day: date, end: date, months: int) -> None:
    assert months_until(day, end) == months


def test_so_many_months_reach_the_day_and_one_fewer_do_not() -> None:
    for start in (date(2023, 12, 31), date(2024, 2, 29), date(2025, 1, 30)):
        for days in range(1, 800):
            end = start + timedelta(days)
            months = months_until(start, end)
            assert months_on(start, months) >= end > months_on(start, months - 1)
