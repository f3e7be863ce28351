"""What the support rules' parts of the model share: which contract runs how long, and what covers an optic."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import product

from configurator.catalog import Catalog
from configurator.months import months_on, months_until
from configurator.parts import Optic
from configurator.services import Support
from configurator.setting import Setting

OPTICS = "optics covered"
BY_CONTRACT, BY_PARTS = "by contract", "by parts contract"


def asked(setting: Setting) -> bool:
    """Whether support is asked at all."""
    return any(said is not None for said in (setting.support_level, setting.support_months, setting.support_until))


def months(contract: Support, setting: Setting) -> int:
    """How long a contract runs: one by the month as long as asked, or as it can."""
    if not contract.by_month:
        return contract.term_months
    if setting.support_until is not None:
        return months_until(setting.order_date, setting.support_until)
    return setting.support_months if setting.support_months is not None else contract.term_months


def end(contract: Support, setting: Setting) -> date:
    """The day on which a contract ends."""
    if contract.by_month and setting.support_until is not None:
        return setting.support_until
    return months_on(setting.order_date, months(contract, setting))


def recipes(contracts: Iterable[Support], setting: Setting) -> tuple[tuple[str, ...], ...]:
    """How each contract is bought: once, or once for each month, as far as it goes on so long."""
    runs = ((contract, months(contract, setting)) for contract in contracts)
    return tuple((one.id,) * (n if one.by_month else 1) for one, n in runs if 0 < n <= one.term_months)


def unit_contracts(catalog: Catalog) -> tuple[Support, ...]:
    """Contracts that cover a unit."""
    return tuple(contract for contract in catalog.parts.support if not contract.covers_parts)


def covers(part: str, setting: Setting, catalog: Catalog) -> tuple[tuple[str, ...], ...]:
    """The ways to buy a parts contract for this optic."""
    return recipes((one for one in catalog.parts.support if part in one.covers_parts), setting)


def with_covers(links: tuple[tuple[str, ...], ...], setting: Setting, catalog: Catalog) -> tuple[tuple[str, ...], ...]:
    """Recipes of links, each optic of them with its parts contract where optics are covered that way."""
    if setting.agreed_on(OPTICS) != BY_PARTS:
        return links
    found: dict[tuple[str, ...], None] = {}
    for recipe in links:
        optics = [part for part in recipe if isinstance(catalog.by_id.get(part), Optic)]
        for chosen in product(*(covers(part, setting, catalog) for part in optics)):
            found[recipe + tuple(sorted(part for cover in chosen for part in cover))] = None
    return tuple(found)
