"""What builds of a tiny world cost over the years, worked out anew, and the least of all of them.

Nothing here is shared with `configurator.life`: a supply's input is interpolated between its published
points directly; watts are spread by trying every choice of break points (where curves only get
steeper, some best choice has all units but one at a break point); of builds all are tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import product

from configurator.build import BuiltUnit
from configurator.catalog import Catalog
from configurator.demand import Life
from configurator.parts import Cable, Module, Optic, Supply
from configurator.rule import Rule
from configurator.setting import Ask
from tests.oracles.brute_force import Links
from tests.oracles.brute_units import Loaded, groups_of
from tests.oracles.every_build import Units, _Every
from tests.oracles.serving import at_port_w

Point = tuple[Fraction, Fraction]  # watts delivered, watts taken


def taken_w(supply: Supply, rated_w: Fraction, out_w: Fraction) -> Fraction:
    """What a supply takes to deliver so much: interpolated, carried on, and never better than the nearest point."""
    points: list[Point] = []
    for one in supply.efficiency_at:
        load_w = rated_w * one.load_percent / 100
        points.append((load_w, load_w / Fraction(one.efficiency)))
    points = sorted(points) or [(rated_w, rated_w / Fraction(supply.efficiency))]
    (low, taken_low), (high, taken_high) = points[0], points[-1]
    if len(points) == 1:
        return out_w * taken_low / low
    if out_w < low:
        flattest = min((y - taken_low) / (x - low) for x, y in points[1:])
        return max(taken_low - flattest * (low - out_w), out_w * taken_low / low)
    if out_w > high:
        steepest = max((taken_high - y) / (high - x) for x, y in points[:-1])
        return max(taken_high + steepest * (out_w - high), out_w * taken_high / high)
    return min(
        a[1] + (b[1] - a[1]) * (out_w - a[0]) / (b[0] - a[0]) if a != b else a[1]
        for a in points
        for b in points
        if a[0] <= out_w <= b[0] and (a[0] < b[0] or a[0] == out_w)
    )


class Unit:
    """One unit of a build: what it draws itself, how much more, and what it takes for that."""

    def __init__(self, unit: BuiltUnit, ask: Ask, catalog: Catalog) -> None:
        unit_type, volts = catalog.unit_types[unit.unit_type], ask.setting.input_v
        self.rated = []
        for fitted in unit.supplies:
            supply = catalog.get(fitted.supply, Supply)
            outputs = [o.output_w for o in supply.outputs if volts is None or o.from_v <= volts <= o.to_v]
            self.rated.append((supply, Fraction(min(outputs))))
        self.total_w = sum((w for _, w in self.rated), Fraction(0))
        own = unit_type.base_draw_w + sum(catalog.get(m.module, Module).draw_w for m in unit.modules)
        feeds = holds = Decimal(0)
        for slot, group in groups_of(catalog, unit):
            if (slot, group.id) == (unit.stack_slot, unit.stack_group):
                own += 2 * catalog.families[unit_type.family].cables_a_link * group.stack_reserve_w
            if group.poe_class is not None:
                feeds += group.count * max(
                    row.port_w for row in catalog.poe_classes.values() if row.poe_class <= (group.poe_class or 3)
                )
            holds += group.count * max((_draw(p, catalog) for p in catalog.matrix.get(group.cage or "", ())), default=0)
        own += sum((_draw(part, catalog) for split in unit.splits for part in split.parts), Decimal(0))
        if unit_type.poe_cap_w is not None:
            feeds = min(feeds, unit_type.poe_cap_w)
        if unit_type.poe_table:
            have = sorted(fitted.supply for fitted in unit.supplies)
            rows = [row.poe_w for row in unit_type.poe_table if sorted(row.supplies) == have]
            feeds = min([feeds, *rows])
        self.own_w = Fraction(own)
        self.room_w = Fraction(feeds + holds)
        if self.rated and not unit_type.poe_table:
            self.room_w = min(self.room_w, self.total_w - self.own_w)

    def mains_w(self, more_w: Fraction) -> Fraction:
        """Watts of the mains with so many spread over it; supplies share by their outputs."""
        load_w = self.own_w + more_w
        if not self.rated:
            return load_w
        return sum((taken_w(s, w, load_w * w / self.total_w) for s, w in self.rated), Fraction(0))

    def breaks_w(self) -> set[Fraction]:
        """Where its curve may bend, its room among it."""
        loads = {p.load_percent for supply, _ in self.rated for p in supply.efficiency_at}
        bends = {self.total_w * percent / 100 - self.own_w for percent in loads}
        return {Fraction(0), self.room_w} | {w for w in bends if 0 < w < self.room_w}


def _draw(part: str, catalog: Catalog) -> Decimal:
    found = catalog.by_id.get(part)
    return found.draw_w if isinstance(found, Optic | Cable) else Decimal(0)


def least_mains_w(units: Sequence[Unit], spread_w: Fraction) -> Fraction:
    """The least of the mains, by every choice of break points for all units but one."""
    found = []
    for free, one in enumerate(units):
        others = [unit for place, unit in enumerate(units) if place != free]
        for chosen in product(*(sorted(unit.breaks_w()) for unit in others)):
            rest_w = spread_w - sum(chosen, Fraction(0))
            if 0 <= rest_w <= one.room_w:
                fixed = sum((u.mains_w(w) for u, w in zip(others, chosen, strict=True)), Fraction(0))
                found.append(fixed + one.mains_w(rest_w))
    return min(found)


def running(units: Iterable[BuiltUnit], ask: Ask, catalog: Catalog, life: Life) -> Fraction:
    """What energy and cooling come to as of today, in the minor unit of a currency with two decimals."""
    built = list(units)
    drawing = [Unit(unit, ask, catalog) for unit in built]
    plugged = sum((_draw(u.plug, catalog) for one in built for u in one.uses if u.plug and u.way is None), Decimal(0))
    fed = sum((_fed_w(u.statement, ask, catalog) for one in built for u in one.uses if u.powered), Decimal(0))
    day: list[tuple[Fraction, int]] = [(Fraction(one.hours_a_day), one.draw_percent) for one in life.load_profile]
    day.append((24 - sum((hours for hours, _ in day), Fraction(0)), 0))
    if not life.load_profile:
        day = [(Fraction(24), 100)]
    a_day_wh = Fraction(0)
    for hours, percent in day:
        out_w = Fraction(fed) * percent / 100
        mains_w = least_mains_w(drawing, Fraction(plugged) + out_w)
        a_day_wh += hours * (mains_w + Fraction(life.cooling_percent, 100) * (mains_w - out_w))
    a_year = a_day_wh * 365 / 1000 * Fraction(life.energy_per_kwh) * 100
    rate = Fraction(life.discount_rate_percent) / 100
    return sum((a_year / (1 + rate) ** year for year in range(1, life.years + 1)), Fraction(0))


def _fed_w(statement: str, ask: Ask, catalog: Catalog) -> Decimal:
    name, _, index = statement.removesuffix("]").partition("[")
    return at_port_w(getattr(ask.stack, name)[int(index)], catalog) or Decimal(0)


def least_life(ask: Ask, catalog: Catalog, rules: Sequence[Rule], life: Life) -> Fraction | None:
    """The least that any build costs over the years; none where there is none.  No part ends and is renewed."""
    return _Owned(ask, catalog, rules, life).least()


class _Owned(_Every):
    """Units with other supplies, modules or plugs are told apart, since they draw otherwise."""

    def __init__(self, ask: Ask, catalog: Catalog, rules: Sequence[Rule], life: Life) -> None:
        super().__init__(ask, catalog, rules, 3)
        self.life = life
        parts = catalog.parts
        self.matter = frozenset(p.id for p in (*parts.supplies, *parts.modules, *parts.optics, *parts.cables))
        self._numbers: dict[object, int] = {}

    def _value(self, one: Loaded) -> int:
        found = tuple(sorted((part, n) for part, n in one.needs.items() if part in self.matter))
        return self._numbers.setdefault(found, len(self._numbers))

    def least(self) -> Fraction | None:
        """All stacks, those first that could cost least."""
        waiting: list[tuple[Fraction, int, Fraction, Units, Links, str | None]] = []
        known: dict[object, Fraction] = {}
        for bound_minor, units, links, topology in self._by_bound():
            key = tuple(sorted((one.unit.unit_type, one.served, self._value(one)) for one in units))
            if key not in known:
                known[key] = running((one.unit for one in units), self.ask, self.catalog, self.life)
            costs = known[key]
            waiting.append((bound_minor + costs, len(waiting), costs, units, links, topology))
        best: Fraction | None = None
        for bound, _, costs, units, links, topology in sorted(waiting, key=lambda item: item[:2]):
            if best is not None and bound >= best:
                break
            price_minor = self._least(units, links, topology, None)
            if price_minor is not None and (best is None or price_minor + costs < best):
                best = price_minor + costs
        return best
