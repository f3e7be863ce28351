"""All builds of a tiny world that the checks accept, by substance or by a measure, each at its least price.

As `part_forced`: a fuller unit and one that serves nothing may be worth having here.  There are no
more units than things asked for, or than are asked.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations_with_replacement, product

from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.rule import Rule
from configurator.setting import Ask
from configurator_rules.power.checking import outputs_dw, table_dw, tenths, units_with_supplies
from tests.oracles.brute_force import LINKED, Links, _bare, _packed, price_of
from tests.oracles.brute_units import LOADED, Loaded, _fill, _placed, _servings, bodies, groups_of, loads
from tests.oracles.part_forced import _Tried

Units = tuple[Loaded, ...]
Parts = tuple[tuple[str, int], ...]  # part or unit type, and how many


def substance(units: Units) -> Parts:
    """Unit types, supplies and modules of some units, and how many of each."""
    found = Counter(f"unit {one.unit.unit_type}" for one in units)
    found.update(fitted.supply for one in units for fitted in one.unit.supplies)
    found.update(fitted.module for one in units for fitted in one.unit.modules)
    return tuple(sorted(found.items()))


def least_by_substance(
    ask: Ask, catalog: Catalog, rules: Sequence[Rule], enough: int, most_units: int = 3
) -> dict[Parts, int]:
    """The least price of each substance, of at least the `enough` cheapest and all that cost as much as the last."""
    return _Every(ask, catalog, rules, most_units).by_substance(enough)


def frontier(
    ask: Ask, catalog: Catalog, rules: Sequence[Rule], measure: Measure, most_units: int = 3
) -> list[tuple[int, int]]:
    """Price and measure of the builds that no other beats: none costs no more and measures more."""
    return _Every(ask, catalog, rules, most_units, measure).undominated(measure)


class Measure:
    """What is measured of one unit; a build's is the sum."""

    def __init__(self, ask: Ask, catalog: Catalog, name: str) -> None:
        self.ask, self.catalog = ask, catalog
        self.of: Callable[[BuiltUnit], int] = {
            "spare-ports": self.spare_ports,
            "watts-left": self.watts_left_dw,
            "rack-units": self.rack_units,
        }[name]

    def rack_units(self, unit: BuiltUnit) -> int:
        """Less is better, so less than nothing."""
        return -self.catalog.unit_types[unit.unit_type].rack_units

    def spare_ports(self, unit: BuiltUnit) -> int:
        """The most ports that could be in use besides: every number of more ports of each group is tried."""
        unit_type = self.catalog.unit_types[unit.unit_type]
        used = Counter((use.slot, use.group, use.port) for use in unit.uses)
        busy = Counter((slot, name) for slot, name, _ in used)
        split = {(one.slot, one.group, one.port) for one in unit.splits}
        roles = {(name, "split" if (slot, name, port) in split else "network") for slot, name, port in used}
        if unit.stack_group is not None:
            busy[unit.stack_slot, unit.stack_group] += len(unit.stack_ports)
            roles.add((unit.stack_group, "stack"))
        groups = [(slot, g) for slot, g in groups_of(self.catalog, unit) if "network" in g.roles]
        best = 0
        for more in product(*(range(g.count - busy[slot, g.id] + 1) for slot, g in groups)):
            taken = roles | {(g.id, "network") for (_, g), count in zip(groups, more, strict=True) if count}
            if any({(one.group, one.role), (two.group, two.role)} <= taken for one, two in unit_type.excludes):
                continue
            together = busy + Counter({(slot, g.id): n for (slot, g), n in zip(groups, more, strict=True)})
            if all(
                sum(n for (_, name), n in together.items() if name in shared.groups) <= shared.at_most
                for shared in unit_type.shared_ports
            ):
                best = max(best, sum(more))
        return best

    def watts_left_dw(self, unit: BuiltUnit) -> int:
        """What can be fed at the unit's ports, less what is drawn there, with the figures of the rules' checks."""
        (powered,) = units_with_supplies(Build(stack="-", units=(unit,)), self.ask, self.catalog)
        empty = unit.model_copy(update={"uses": ()})
        (bare,) = units_with_supplies(Build(stack="-", units=(empty,)), self.ask, self.catalog)
        unit_type, volts = powered.unit_type, self.ask.setting.input_v
        feeds_dw = outputs_dw(powered.supplies, volts) - bare.own_dw
        if unit_type.poe_table:
            feeds_dw = table_dw(unit_type, powered.supplies, volts)
        if unit_type.poe_cap_w is not None:
            feeds_dw = min(feeds_dw, tenths(unit_type.poe_cap_w))
        return feeds_dw - (powered.own_dw - bare.own_dw) - powered.poe_dw


class _Every(_Tried):
    """Units with other supplies, modules or plugs, or that measure otherwise, are told apart."""

    def __init__(
        self, ask: Ask, catalog: Catalog, rules: Sequence[Rule], most_units: int, measure: Measure | None = None
    ) -> None:
        super().__init__(ask, catalog, rules, most_units)
        self.measure = measure
        parts = catalog.parts
        some = (*parts.supplies, *parts.modules, *((*parts.optics, *parts.cables) if measure is not None else ()))
        self.matter = frozenset(part.id for part in some)
        self.most_units = min(most_units, max(self.asked.total(), ask.stack.units_at_least or 1))

    def _value(self, one: Loaded) -> int:
        return 0 if self.measure is None else self.measure.of(one.unit)

    def _loads(self, body: BuiltUnit) -> Iterator[Loaded]:
        """Every filling of a body's ports; of those alike only one, unless they measure otherwise."""
        if self.measure is None:
            yield from loads(self.judge, body, self.asked)
            return
        places = [
            (slot, group, _servings(self.judge, body, slot, group, self.asked))
            for slot, group in groups_of(self.catalog, body)
            if (slot, group.id) != (body.stack_slot, body.stack_group)
        ]
        seen: set[object] = set()
        for filled in _fill(places, self.asked):
            unit, far_ends = _placed(self.ask, body, filled)
            found = Loaded(unit, tuple(sorted(key for *_, one in filled for key in one.serves)), far_ends)
            mark = (found.served, tuple(sorted(found.needs.items())), far_ends, self._value(found))
            if mark not in seen and self.judge.accepts_unit(unit, LOADED):
                seen.add(mark)
                yield found

    def _leanest(self, units: list[Loaded]) -> list[Loaded]:
        by_value: dict[int, list[Loaded]] = defaultdict(list)
        for one in units:
            by_value[self._value(one)].append(one)
        return [one for alike in by_value.values() for one in super(_Every, self)._leanest(alike)]

    def _stacks(self) -> Iterator[tuple[Units, Links, str | None]]:
        alone: list[Loaded] = []
        together: list[Loaded] = []
        for body in filter(self._fitted, bodies(self.judge)):
            (alone if body.stack_group is None else together).extend(self._loads(body))
        for one in self._leanest(alone):
            if Counter(one.served) == self.asked and self.judge.accepts(_bare((one,), (), None), LINKED):
                yield (one,), (), None
        together = self._leanest(together)
        served = [_packed(Counter(one.served), list(self.asked)) for one in together]
        by_served: dict[int, list[int]] = defaultdict(list)
        for index, packed in enumerate(served):
            by_served[packed].append(index)
        whole = _packed(self.asked, list(self.asked))
        names = sorted({part for one in together for part in one.needs})
        needs = [_packed(one.needs, names) for one in together]
        stays = sorted({c.part for p in self.catalog.by_id.values() for c in p.contents if self._stays(p.id)})
        apart = [(one.stacking, _packed(one.needs, stays), self._value(one)) for one in together]
        for count in range(2, self.most_units + 1):
            seen: set[object] = set()
            for rest in combinations_with_replacement(range(len(together)), count - 1):
                for last in by_served.get(whole - sum(served[i] for i in rest), ()):
                    if last < rest[-1]:
                        continue
                    chosen = (*rest, last)
                    who = tuple(sorted(served[i] for i in chosen))
                    mark = (tuple(apart[i] for i in chosen), sum(needs[i] for i in chosen), who)
                    if mark not in seen:
                        seen.add(mark)
                        units = tuple(together[i] for i in chosen)
                        yield from ((units, links, topology) for links, topology in self._links(units))

    def _by_bound(self) -> list[tuple[int, Units, Links, str | None]]:
        found = []
        for units, links, topology in self._stacks():
            bound = self._bound(units, links)
            if bound is not None:
                found.append((bound, units, links, topology))
        return sorted(found, key=lambda item: item[0])

    def _least(self, units: Units, links: Links, topology: str | None, below: int | None) -> int | None:
        """What these units cost at least, if that is less than `below`."""
        self._start(below)
        self._order(units, links, topology)
        return None if self.best is None else price_of(self.best, self.catalog)

    def _start(self, below: int | None) -> None:
        self.best, self.best_minor = None, below

    def by_substance(self, enough: int) -> dict[Parts, int]:
        """The least price of each substance, the cheapest ones."""
        best: dict[Parts, int] = {}
        for bound, units, links, topology in self._by_bound():
            if len(best) >= enough and bound > sorted(best.values())[enough - 1]:
                break
            key = substance(units)
            if key not in best or bound < best[key]:
                found = self._least(units, links, topology, best.get(key))
                if found is not None:
                    best[key] = found
        return best

    def undominated(self, measure: Measure) -> list[tuple[int, int]]:
        """The frontier, by price."""
        kept: set[tuple[int, int]] = set()
        for bound, units, links, topology in self._by_bound():
            value = sum(measure.of(one.unit) for one in units)
            if any(price <= bound and other >= value for price, other in kept):
                continue
            found = self._least(units, links, topology, None)
            if found is not None:
                kept.add((found, value))
        return sorted(
            (price, value)
            for price, value in kept
            if not any(p <= price and v >= value and (p, v) != (price, value) for p, v in kept)
        )
