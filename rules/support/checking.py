"""What the support checks share: the contracts of a build, and how long they run."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.months import months_on, months_until
from configurator.services import Support
from configurator.setting import Ask, Setting

from ..looking import part_of


@dataclass(frozen=True)
class Held:
    """So many of a contract, for a unit or (none) for parts of the stack."""

    unit: BuiltUnit | None
    contract: Support
    count: int

    @property
    def position(self) -> int | None:
        """Of the unit."""
        return self.unit.position if self.unit is not None else None

    @property
    def months(self) -> int:
        """How long it runs; a contract by the month is there once for each."""
        return self.count if self.contract.by_month else self.contract.term_months


def is_asked(ask: Ask) -> bool:
    """Whether the stack is to have support."""
    setting = ask.setting
    return not (setting.support_level is None and setting.support_months is None and setting.support_until is None)


def all_held(build: Build, catalog: Catalog) -> Iterator[Held]:
    """Every contract of the build: of units, of served statements, of links."""
    for unit in build.units:
        yield from _counted(unit, Counter(part for line in unit.along for part in [line.part] * line.count), catalog)
    shared = Counter(part for line in build.along for part in [line.part] * line.count)
    shared.update(part for link in build.links for part in link.parts)
    yield from _counted(None, shared, catalog)


def _counted(unit: BuiltUnit | None, parts: Counter[str], catalog: Catalog) -> Iterator[Held]:
    for part, count in parts.items():
        contract = part_of(part, Support, catalog)
        if contract is not None:
            yield Held(unit, contract, count)


def of_units(build: Build, catalog: Catalog) -> list[Held]:
    """The contracts that cover a unit."""
    held = all_held(build, catalog)
    return [one for one in held if one.unit is not None and not one.contract.covers_parts]


def months_asked(setting: Setting) -> int | None:
    """For how many months support is asked."""
    if setting.support_until is not None:
        return months_until(setting.order_date, setting.support_until)
    return setting.support_months


def ends(held: Held, setting: Setting) -> date:
    """The day on which a unit's contract ends; one by the month, by then or when its months are over."""
    end = months_on(setting.order_date, held.months)
    until = setting.support_until
    return min(end, until) if held.contract.by_month and until is not None else end
