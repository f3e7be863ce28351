"""Oracles' reading of the ordering rules: what may be ordered, and what a stack's needs cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import Protocol

from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import Box
from configurator.setting import Ask
from tests.oracles.linear import Linear, Term


class Needy(Protocol):
    """A unit's block, as far as orders look at it."""

    types: dict[str, int]
    needs: dict[str, list[Term]]
    plugs: list[tuple[str, Term]]
    far_ends: list[tuple[str, Term]]


def in_order(ask: Ask, catalog: Catalog) -> bool:
    """Whether the list is valid on the order date and in the currency asked."""
    prices, setting = catalog.prices, ask.setting
    valid = prices.issued <= setting.order_date <= prices.valid_until
    return valid and setting.currency in (None, prices.currency)


def orderable(part: Part, ask: Ask, catalog: Catalog) -> bool:
    """Whether a part has a price, isn't withdrawn, is sold at the site and there in time."""
    row, setting = catalog.prices.rows.get(part.id), ask.setting
    if row is None or row.status == "withdrawn":
        return False
    here = {setting.region, setting.country} - {None}
    if setting.country is not None and setting.country in catalog.countries:
        here |= set(catalog.countries[setting.country].regions)
    if part.regions and here and not here & set(part.regions):
        return False
    return setting.deliver_by is None or row.lead_time_days <= (setting.deliver_by - setting.order_date).days


def in_box(part: Part) -> Iterator[tuple[str, int, bool]]:
    """Contents: part, count and whether they may serve another unit."""
    return ((content.part, content.count, content.movable) for content in part.contents)


class Orders:
    """Boxes and loose parts that cover what units and stack need."""

    def __init__(
        self, model: Linear, ask: Ask, catalog: Catalog, units: Sequence[Needy], links: Iterable[tuple[str, Term]]
    ) -> None:
        self.model, self.ask, self.catalog, self.units = model, ask, catalog, units
        self.shared: dict[str, list[Term]] = defaultdict(list)  # needed by the stack, whoever brings it
        self.bought: dict[str, list[Term]] = defaultdict(list)  # boxes and loose parts
        for part, term in (*links, *(one for unit in units for one in (*unit.plugs, *unit.far_ends))):
            self.shared[part].append(term)

    def post(self) -> None:
        """Adds boxes, loose parts and the rows that make them enough."""
        spare: dict[str, list[Term]] = defaultdict(list)  # what may serve any unit
        fixed: list[dict[str, list[Term]]] = [defaultdict(list) for _ in self.units]
        for unit, own in zip(self.units, fixed, strict=True):
            for name, chosen in unit.types.items():
                boxes = [(1, v) for v in self._boxes(name, own, spare)]
                self.model.row([*boxes, (-1, chosen)], 0, 0)
        parts = set(self.shared) | {p for unit in self.units for p, terms in unit.needs.items() if terms}
        for part in self._loose(parts):
            most = sum(self._most(p) for p in {part.id, *(c for c, _, _ in in_box(part))})
            v = self._buy(most, part.id)
            spare[part.id].append((1, v))
            for content, count, movable in in_box(part):
                if self._serves_any(content, movable):
                    spare[content].append((count, v))
            if all(self._serves_any(content, movable) for content, _, movable in in_box(part)):
                continue
            for own in fixed:  # what may not move serves the unit that it is ordered for
                v = self._buy(most, part.id)
                (spare if self._serves_any(part.id, movable=False) else own)[part.id].append((1, v))
                for content, count, movable in in_box(part):
                    (spare if self._serves_any(content, movable) else own)[content].append((count, v))
        for name in sorted(parts):
            missing = list(self.shared[name])
            for unit, own in zip(self.units, fixed, strict=True):
                needed = unit.needs.get(name, [])
                missing += needed
                if needed and own[name]:
                    used = self.model.variable(max(0, self.model.most(needed)))
                    self.model.row([(1, used), *((-c, v) for c, v in own[name])], high=0)
                    self.model.row([(1, used), *((-c, v) for c, v in needed)], high=0)
                    missing.append((-1, used))
            self.model.row([*missing, *((-c, v) for c, v in spare[name])], high=0)

    def _buy(self, most: int, part: str) -> int:
        """So many of a part, at its price."""
        v = self.model.variable(most, self.catalog.price_minor(part) or 0, part)
        self.bought[part].append((1, v))
        return v

    def _boxes(self, unit_type: str, own: dict[str, list[Term]], spare: dict[str, list[Term]]) -> Iterator[int]:
        """The boxes of a type, their contents noted."""
        for box in self.catalog.boxes_of[unit_type]:
            if not orderable(box, self.ask, self.catalog):
                continue
            v = self._buy(1, box.id)
            for part, count, movable in in_box(box):
                (spare if self._serves_any(part, movable) else own)[part].append((count, v))
            yield v

    def _serves_any(self, part: str, movable: bool) -> bool:
        """Whether contents may serve a unit that they didn't come with."""
        return movable or self.catalog.serves_any_unit(part)

    def _loose(self, needed: set[str]) -> Iterator[Part]:
        """Parts and kits worth buying."""
        for part in self.catalog.by_id.values():
            useful = part.id in needed or any(p in needed for p, _, _ in in_box(part))
            if useful and not isinstance(part, Box) and orderable(part, self.ask, self.catalog):
                yield part

    def _most(self, part: str) -> int:
        """The most of a part that the stack can need."""
        terms = self.shared.get(part, []) + [t for unit in self.units for t in unit.needs.get(part, [])]
        return max(0, self.model.most(terms))
