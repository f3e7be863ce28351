"""What the customer says about the years of ownership, as exact figures."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from configurator.demand import Life
from configurator.life.present_value import uniform

DAYS_A_YEAR = 365
HOURS_A_DAY = 24
W_A_KW = 1000


@dataclass(frozen=True)
class Level:
    """Hours of each day in which devices draw so many percent of what is asked for them."""

    hours_a_day: Fraction
    draw_percent: int

    @property
    def hours_a_year(self) -> Fraction:
        """Of a year of 365 days."""
        return self.hours_a_day * DAYS_A_YEAR


@dataclass(frozen=True)
class Terms:
    """Years, price of energy, profile of the load, cooling and rate."""

    years: int
    minor_per_kwh: Fraction
    levels: tuple[Level, ...]  # all hours of a day, each percentage once, the highest first
    cooling: Fraction  # watts for each watt of heat
    rate: Fraction  # of discount, a year

    @property
    def energy_factor(self) -> Fraction:
        """What one a year for energy is worth today, over all the years."""
        return uniform(self.years, self.rate)

    def minor_per_w(self, level: Level) -> Fraction:
        """What a watt of the mains costs in a level's hours over all the years, as of today."""
        return level.hours_a_year * self.minor_per_kwh * self.energy_factor / W_A_KW


def terms_of(life: Life, decimals: int) -> Terms:
    """The terms that a demand states, in the minor unit of a currency with so many decimals."""
    hours: dict[int, Fraction] = {}
    for said in life.load_profile:
        hours[said.draw_percent] = hours.get(said.draw_percent, Fraction(0)) + Fraction(said.hours_a_day)
    if not hours:
        hours[100] = Fraction(HOURS_A_DAY)
    hours[0] = hours.get(0, Fraction(0)) + HOURS_A_DAY - sum(hours.values())
    return Terms(
        years=life.years,
        minor_per_kwh=Fraction(life.energy_per_kwh) * 10**decimals,
        levels=tuple(Level(hours[percent], percent) for percent in sorted(hours, reverse=True) if hours[percent]),
        cooling=Fraction(life.cooling_percent, 100),
        rate=Fraction(life.discount_rate_percent) / 100,
    )
