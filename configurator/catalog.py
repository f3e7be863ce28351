"""The catalog as the engine uses it: parts by number, prices beside them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import Any, Literal, TypeVar

from configurator.discounts import Discount, Discounts, largest, net_minor
from configurator.fields import Model, Part
from configurator.groups import group_of
from configurator.parts import (
    Attenuator,
    Box,
    Cable,
    CountryRow,
    Family,
    FibreCable,
    Optic,
    Parts,
    PoeClassRow,
    UnitType,
)

P = TypeVar("P", bound=Part)


class PriceRow(Model):
    """One line of a price list."""

    part: str  # part number
    price_minor: int  # of one
    status: Literal["active", "withdrawn"]  # withdrawn parts can't be ordered
    lead_time_days: int  # from order to delivery
    pack_size: int = 1  # ordered in multiples of this many; the price is that of one
    least_quantity: int = 1  # ordered in no smaller number


@dataclass(frozen=True)
class PriceList:
    """Prices of one issue, in one currency.  Amounts are integers in its minor unit."""

    currency: str
    decimals: int  # of the currency, by ISO 4217
    issued: date
    valid_until: date
    rows: dict[str, PriceRow] = field(default_factory=dict)
    name: str = ""  # where it was read
    sha256: str = ""  # of the file
    discounts: Discounts | None = None  # on these prices
    order_minor: int = 0  # value of the order, at list prices, that discounts with a threshold are taken for


@dataclass(frozen=True)
class CatalogFile:
    """A file of a catalog's folder, by its name there."""

    name: str
    sha256: str


class Catalog:
    """Technical catalog and price list together; immutable after construction."""

    def __init__(self, parts: Parts, prices: PriceList, name: str = "", files: tuple[CatalogFile, ...] = ()) -> None:
        self.parts = _in_order(parts)  # the order of declaration decides nothing
        self.prices = prices
        self.name = name
        self.files = files
        self.caches: dict[str, dict[Any, Any]] = {}  # the engine's, for what holds for every demand
        self._others: dict[int, Catalog] = {prices.order_minor: self}

    def cache(self, name: str) -> dict[Any, Any]:
        """A named store that lives as long as the catalog."""
        return self.caches.setdefault(name, {})

    @cached_property
    def by_id(self) -> dict[str, Part]:
        """Every orderable part by number, in the catalog's order."""
        return {part.id: part for name in ORDERABLE for part in getattr(self.parts, name)}

    @cached_property
    def unit_types(self) -> dict[str, UnitType]:
        """Unit types by id."""
        return {unit.id: unit for unit in self.parts.unit_types}

    @cached_property
    def families(self) -> dict[str, Family]:
        """Families by id."""
        return {family.id: family for family in self.parts.families}

    @cached_property
    def boxes_of(self) -> dict[str, tuple[Box, ...]]:
        """The boxes that hold each unit type."""
        return {t: tuple(b for b in self.parts.boxes if b.unit == t) for t in self.unit_types}

    @cached_property
    def matrix(self) -> dict[str, frozenset[str]]:
        """Which optics and cables each cage takes."""
        return {row.cage: frozenset(row.takes) for row in self.parts.optics_matrix}

    @cached_property
    def poe_classes(self) -> dict[int, PoeClassRow]:
        """IEEE 802.3 classes."""
        return {row.poe_class: row for row in self.parts.poe_classes}

    @cached_property
    def countries(self) -> dict[str, CountryRow]:
        """Countries by ISO 3166 code."""
        return {row.code: row for row in self.parts.countries}

    @cached_property
    def inlets_of(self) -> dict[str, frozenset[str]]:
        """Which inlets each IEC 60320 connector mates with."""
        return {row.connector: frozenset(row.inlets) for row in self.parts.couplers}

    def get(self, part: str, kind: type[P]) -> P:
        """The part with this number, of this kind; KeyError where there is none."""
        found = self.by_id[part]
        if not isinstance(found, kind):
            raise KeyError(part)
        return found

    def list_minor(self, part: str) -> int | None:
        """Price on this list, in the currency's minor unit; none where it has none."""
        row = self.prices.rows.get(part)
        return None if row is None else row.price_minor

    def price_minor(self, part: str) -> int | None:
        """What one costs: the price on this list less the discount that counts; none where it has none."""
        row = self.prices.rows.get(part)
        if row is None or self.prices.discounts is None:
            return None if row is None else row.price_minor
        return net_minor(row.price_minor, self.discount_on(part))

    @cached_property
    def discounted(self) -> bool:
        """Whether some discount is in force, whatever an order comes to."""
        return self.prices.discounts is not None and bool(self.prices.discounts.in_force)

    def discount_on(self, part: str) -> Discount | None:
        """The discount that counts for a part; none: it costs its list price."""
        if part not in self._discounts:
            rows = () if self.prices.discounts is None else self.prices.discounts.in_force
            one = self.by_id.get(part)
            group = "" if one is None else group_of(one)
            self._discounts[part] = largest(rows, part, group, self.prices.order_minor)
        return self._discounts[part]

    @cached_property
    def _discounts(self) -> dict[str, Discount | None]:
        return {}

    def for_order_of(self, list_minor: int) -> Catalog:
        """The catalog with the discounts of an order that comes to so much at list prices.

        The same for all orders between two thresholds, so that what is learnt of it serves again.
        """
        every = () if self.prices.discounts is None else self.prices.discounts.thresholds_minor
        reached = max((one for one in every if one <= list_minor), default=0)
        if reached not in self._others:
            prices = replace(self.prices, order_minor=reached)
            other = self._others[reached] = Catalog(self.parts, prices, self.name, self.files)
            other._others = self._others
        return self._others[reached]

    def serves_any_unit(self, part: str) -> bool:
        """Cables, optics and attenuators in a box serve any unit of the stack; other contents only if they say so."""
        return isinstance(self.by_id.get(part), Attenuator | Cable | FibreCable | Optic)


def _in_order(parts: Parts) -> Parts:
    """The same parts, each kind by its ids."""
    names = (*ORDERABLE, "families", "unit_types")
    return parts.model_copy(update={n: tuple(sorted(getattr(parts, n), key=lambda part: part.id)) for n in names})


ORDERABLE = (
    "boxes",
    "kits",
    "supplies",
    "fan_trays",
    "modules",
    "optics",
    "cables",
    "fibre_cables",
    "attenuators",
    "stack_adapters",
    "cords",
    "licences",
    "support",
    "rack_kits",
    "blanks",
    "lugs",
)
