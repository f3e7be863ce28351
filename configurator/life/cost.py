"""What one build costs over the years it is owned, from the build alone: no model, no solver."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from configurator import bill
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.life.present_value import half_up, single
from configurator.life.renewals import renewals_of, renewed_minor
from configurator.life.spreading import asked_of, drawing_of, mains_w
from configurator.life.terms import W_A_KW, Level, Terms
from configurator.setting import Ask


@dataclass(frozen=True)
class AtLevel:
    """What is drawn in the hours of one level."""

    level: Level
    fed_w: Fraction  # to the devices
    mains_w: Fraction

    @property
    def heat_w(self) -> Fraction:
        """What stays in the room."""
        return self.mains_w - self.fed_w


@dataclass(frozen=True)
class Cost:
    """What one stack costs over the years, as of today.  Energy and cooling are rounded together, once."""

    terms: Terms
    levels: tuple[AtLevel, ...]
    purchase_minor: int
    renewals_minor: int
    energy: Fraction  # in the minor unit, exact
    cooling: Fraction

    @property
    def exact(self) -> Fraction:
        """All of it, in the minor unit."""
        return self.purchase_minor + self.renewals_minor + self.energy + self.cooling

    @property
    def total_minor(self) -> int:
        """All of it, rounded once: of two costs the lesser is never more when it is rounded."""
        return half_up(self.exact)

    @property
    def energy_minor(self) -> int:
        """Energy, rounded."""
        return half_up(self.energy)

    @property
    def cooling_minor(self) -> int:
        """What energy leaves of both."""
        return half_up(self.energy + self.cooling) - self.energy_minor

    @property
    def kwh_a_year(self) -> Fraction:
        """Energy that the mains give, without cooling."""
        return sum((one.mains_w * one.level.hours_a_year for one in self.levels), Fraction(0)) / W_A_KW

    @property
    def cooling_kwh_a_year(self) -> Fraction:
        """Energy that cooling takes."""
        heat = sum((one.heat_w * one.level.hours_a_year for one in self.levels), Fraction(0))
        return heat * self.terms.cooling / W_A_KW


def energy_of(terms: Terms, levels: tuple[AtLevel, ...]) -> tuple[Fraction, Fraction]:
    """What energy and cooling cost as of today, exact."""
    energy = cooling = Fraction(0)
    for one in levels:
        each = terms.minor_per_w(one.level)
        energy += each * one.mains_w
        cooling += each * one.heat_w * terms.cooling
    return energy, cooling


def cost_of(build: Build, ask: Ask, catalog: Catalog, terms: Terms) -> Cost:
    """What a build costs over the years."""
    units = [drawing_of(unit, ask, catalog) for unit in build.units]
    plugged_w, asked_w = asked_of(build.units, ask, catalog)
    levels = []
    for level in terms.levels:
        fed_w = asked_w * level.draw_percent / 100
        levels.append(AtLevel(level, fed_w, mains_w(units, plugged_w + fed_w)))
    energy, cooling = energy_of(terms, tuple(levels))
    bought = bill.bought(build)
    renewed = renewed_minor(ask, terms, catalog)
    return Cost(
        terms,
        tuple(levels),
        sum((catalog.price_minor(part) or 0) * count for part, count in bought.items()),
        sum(renewed.get(part, 0) * count for part, count in bought.items()),
        energy,
        cooling,
    )


def yearly(build: Build, cost: Cost, ask: Ask, catalog: Catalog) -> Iterator[Fraction]:
    """What is paid in each year, as of today."""
    terms = cost.terms
    paid: dict[int, Fraction] = {}
    for part, count in bill.bought(build).items():
        for renewal in renewals_of(catalog.by_id[part], ask, terms, catalog):
            for year, share in renewal.years:
                paid[year] = paid.get(year, Fraction(0)) + renewal.price_minor * count * share
    running = (cost.energy + cost.cooling) / terms.energy_factor
    for year in range(1, terms.years + 1):
        yield (running + paid.get(year, 0)) * single(year, terms.rate)
