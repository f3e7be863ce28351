"""What is paid later is worth less today: factors of present value, exact.

A year's costs count as paid at its end, so those of year t are worth (1 + rate)^-t of their amount
today; a renewal counts with the year that it falls into.
"""

from __future__ import annotations

from fractions import Fraction

MONTHS = 12


def single(year: int, rate: Fraction) -> Fraction:
    """What one paid at the end of a year is worth today."""
    return 1 / (1 + rate) ** year


def uniform(years: int, rate: Fraction) -> Fraction:
    """What one paid at the end of each of so many years is worth today."""
    return sum((single(year, rate) for year in range(1, years + 1)), Fraction(0))


def renewed_in(term_months: int, years: int, *, in_part: bool = False) -> tuple[tuple[int, Fraction], ...]:
    """The years into which renewals fall, of what ends every so many months and is needed to the end.

    With each how much of it is bought: all, or `in_part` no more than is left of the time.
    """
    end = years * MONTHS
    return tuple(
        (-(-month // MONTHS), Fraction(min(term_months, end - month), term_months) if in_part else Fraction(1))
        for month in range(term_months, end, term_months)
    )


def half_up(amount: Fraction) -> int:
    """To the nearest whole, of halves the larger."""
    return (2 * amount + 1) // 2
