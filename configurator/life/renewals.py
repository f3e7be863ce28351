"""What ends before the years of ownership do is bought again, at today's price.

Contracts, and licences that run for a term, count wherever they are bought; those in the boxes of
other parts where the customer asks for what they give.  A contract by the month is bought again for
as long as it ran at first, the last time for the months that are left.  What one piece costs later is
rounded once, to the minor unit, and then goes with the piece as its price does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.life.present_value import half_up, renewed_in, single
from configurator.life.terms import Terms
from configurator.months import months_until
from configurator.services import Licence, Support
from configurator.setting import Ask, Setting


@dataclass(frozen=True)
class Renewal:
    """A piece that is bought again."""

    part: str  # that is bought again
    price_minor: int  # each time
    years: tuple[tuple[int, Fraction], ...]  # into which it falls, and how much of it is bought


def renewals_of(part: Part, ask: Ask, terms: Terms, catalog: Catalog) -> tuple[Renewal, ...]:
    """What is bought again for one piece of a part: itself, or what lies in its box."""
    return tuple(_renewals(part, ask, terms, catalog))


def _renewals(part: Part, ask: Ask, terms: Terms, catalog: Catalog) -> Iterator[Renewal]:
    held = Counter({part.id: 1} if isinstance(part, Licence | Support) else {})
    for content in part.contents:
        inside = catalog.by_id.get(content.part)
        if isinstance(inside, Licence | Support) and _asked(inside, ask.setting, catalog):
            held[content.part] += content.count
    for name, count in held.items():
        months, price_minor = term_months(catalog.by_id[name], ask.setting), catalog.price_minor(name)
        if months and price_minor is not None:
            years = renewed_in(months, terms.years, in_part=by_month(catalog.by_id[name]))
            yield from (Renewal(name, price_minor, years) for _ in range(count if years else 0))


def term_months(part: Part, setting: Setting) -> int | None:
    """After how many months a piece has to be bought again; none: never."""
    if isinstance(part, Licence):
        return part.term_months
    if not isinstance(part, Support):
        return None
    if part.by_month:
        asked = setting.support_months
        if setting.support_until is not None:
            asked = months_until(setting.order_date, setting.support_until)
        return min(asked or part.term_months, part.term_months)
    return part.term_months


def by_month(part: Part) -> bool:
    """Whether it is bought for just as many months as are needed."""
    return isinstance(part, Support) and part.by_month


def _asked(part: Licence | Support, setting: Setting, catalog: Catalog) -> bool:
    """Whether the customer asks for what a contract or licence gives."""
    if isinstance(part, Support):
        return any(s is not None for s in (setting.support_level, setting.support_months, setting.support_until))
    wanted = {*setting.features, *setting.port_features}
    return not wanted.isdisjoint(part.features) or any(part.id in t.subscriptions for t in catalog.parts.unit_types)


def worth_minor(renewals: tuple[Renewal, ...], terms: Terms) -> int:
    """What they cost as of today, rounded once."""
    every = (single(year, terms.rate) * share * one.price_minor for one in renewals for year, share in one.years)
    return half_up(sum(every, Fraction(0)))


def renewed_minor(ask: Ask, terms: Terms, catalog: Catalog) -> dict[str, int]:
    """What one piece of each part costs later, of those that cost anything."""
    found = {
        name: worth_minor(renewals_of(part, ask, terms, catalog), terms)
        for name, part in catalog.by_id.items()
        if catalog.price_minor(name) is not None
    }
    return {name: minor for name, minor in found.items() if minor}


def with_renewals(catalog: Catalog, renewed: Mapping[str, int]) -> Catalog:
    """The catalog in which a part costs what it costs over the years; itself where nothing is renewed."""
    if not renewed:
        return catalog
    kept = catalog.cache("with renewals")
    key = frozenset(renewed.items())
    if key not in kept:
        rows = {
            name: row.model_copy(update={"price_minor": (catalog.price_minor(name) or 0) + renewed.get(name, 0)})
            for name, row in catalog.prices.rows.items()
        }
        prices = replace(catalog.prices, rows=rows, discounts=None)  # they are in what each part costs already
        kept[key] = Catalog(catalog.parts, prices, catalog.name, catalog.files)
    found: Catalog = kept[key]
    return found
