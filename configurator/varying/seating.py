"""What else the units of a bill could serve, as they are: same supplies, modules and stacking, plugs from the bill.

Which port serves what, and what a port does (serve, be split, idle), may change; what is bought may not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from configurator.book import Book
from configurator.build import Along, Bought, Build, BuiltUnit, FarEnd
from configurator.engine.construct import PLACED, splits_of, uses_of
from configurator.engine.layouts import Wanted, layouts
from configurator.engine.offers import Offers, plugs_of
from configurator.engine.solver import IntegerModel, solve
from configurator.fitout import Fitout
from configurator.kinds import Kind, SplitPlug, kinds_of
from configurator.parts import Cord, FanTray, Module, Supply
from configurator.rule import Need, Row
from configurator.services import Licence
from configurator.setting import Ask, Setting

MOST = 10_000  # that a statement may ask for
PORTS, PARTS = "ports", "parts"  # what stops one more, besides rules
Terms = list[tuple[int, int]]


@dataclass(frozen=True)
class Seat:
    """One way to use the ports of one unit."""

    fitout: Fitout  # the whole of it
    slices: tuple[tuple[int, int], ...]  # how many devices, which offers
    splits: Counter[str]  # parts that split its ports


@dataclass
class Supplied:
    """Parts for what is served, and the variables that say how many are handed out."""

    model: IntegerModel
    pool: Counter[str]
    takes: dict[str, Terms] = field(default_factory=dict)
    handed: dict[tuple[str, str, tuple[str, ...]], int] = field(default_factory=dict)  # statement, slot, recipe

    def take(self, part: str, var: int, count: int) -> None:
        """So many of a part for each of a variable."""
        self.takes.setdefault(part, []).append((var, count))

    def meet(self, statement: str, need: Need, terms: Terms) -> None:
        """All of a need, by any of its recipes."""
        ways = [recipe for recipe in need.recipes if all(self.pool[part] > 0 for part in recipe)]
        chosen = []
        for recipe in ways:
            key = (statement, need.slot, recipe)
            var = self.model.variable(0, MOST)
            if key in self.handed:  # several offers of a statement share a recipe
                both = self.model.variable(0, 2 * MOST)
                self.model.row([(both, 1), (self.handed[key], -1), (var, -1)], 0, 0)
                self.handed[key] = both
            else:
                self.handed[key] = var
            chosen.append(var)
            for part, count in Counter(recipe).items():
                self.take(part, var, count)
        self.model.row([*((var, 1) for var in chosen), *((var, -count) for var, count in terms)], 0, 0)

    def close(self) -> None:
        """No more of a part than there are."""
        for part, terms in self.takes.items():
            self.model.at_most(terms, max(self.pool[part], 0))


class Seating:
    """The units of one build, and the parts of its bill that what they serve may take."""

    def __init__(self, build: Build, ask: Ask, book: Book) -> None:
        self.build, self.book = build, book
        agreed = tuple((one.topic, one.choice) for one in build.agreed)
        self.setting = replace(ask.setting, agreed=agreed)
        self.agreed = dict(agreed)
        self.bare = [self._unit(unit) for unit in build.units]
        self.pool = pool_of(build, book)
        held = {part for part, count in self.pool.items() if count > 0}
        self.plugs = tuple(
            plug
            for plug in plugs_of(book)
            if plug is None or held.issuperset(plug.parts if isinstance(plug, SplitPlug) else (plug.id,))
        )

    def _unit(self, unit: BuiltUnit) -> Fitout:
        """A built unit without roles of its ports."""
        catalog = self.book.catalog
        kind = catalog.unit_types[unit.unit_type]
        modules = tuple((one.slot, catalog.get(one.module, Module)) for one in unit.modules)
        groups = [(None, group) for group in kind.ports]
        groups += [(slot, group) for slot, module in modules for group in module.ports]  # type: ignore[misc]
        stack = next((p for p in groups if (p[0], p[1].id) == (unit.stack_slot, unit.stack_group)), None)
        cords = [one.cord for one in unit.supplies]
        return Fitout(
            kind,
            modules=modules,
            stack=stack if unit.stack_group is not None else None,
            supplies=tuple(catalog.get(one.supply, Supply) for one in unit.supplies),
            fan_trays=tuple(catalog.get(tray, FanTray) for tray in unit.fan_trays),
            feeds=tuple(one.feed for one in unit.supplies if one.feed is not None),
            plugs=tuple("" if cord is None else catalog.get(cord, Cord).plug for cord in cords)
            if self.setting.outlet_plugs
            else (),
        )

    def seated(self, ask: Ask, without: tuple[str, ...] = ()) -> Build | None:
        """The build with all that this demand asks for in its place; none: it can't be placed.

        without -- what is not looked at: `PORTS`, `PARTS`, or rules by their ids
        """
        return _Crowd(self, replace(ask, setting=self._setting(ask.setting)), without).build()

    def has_port(self, ask: Ask, statement: str) -> bool:
        """Whether some port of these units suits a statement at all, with a plug from the bill."""
        return _Crowd(self, replace(ask, setting=self._setting(ask.setting)), ()).has_port(statement)

    def _setting(self, setting: Setting) -> Setting:
        return replace(setting, agreed=tuple(self.agreed.items()))


class _Crowd:
    """What a demand wants served, to be put on units that are there."""

    def __init__(self, seating: Seating, ask: Ask, without: tuple[str, ...]) -> None:
        self.seating, self.book, self.ask, self.without = seating, seating.book, ask, without
        book = seating.book
        self.kinds = kinds_of(ask)
        plugs = plugs_of(book) if PARTS in without else seating.plugs
        self.offers = Offers(book, self.kinds, ask.setting, frozenset(book.catalog.by_id), plugs)
        wanted = Wanted(self.offers)
        self.space = IntegerModel()
        self.seats = [list(self._seats(bare, wanted)) for bare in seating.bare]
        self.taken: list[list[int]] = []  # for each unit and seat, whether it is that
        self.places: dict[tuple[int, int, int, int], int] = {}  # unit, seat, slice, offer
        self.supplied = Supplied(self.space, seating.pool)

    def _seats(self, bare: Fitout, wanted: Wanted) -> Iterator[Seat]:
        """Ways to use a unit's ports, each once by what they serve."""
        book, setting = self.book, self.ask.setting
        plain = Fitout(bare.unit_type, modules=bare.modules)
        seen: set[object] = set()
        for layout in layouts(book, plain, wanted, setting):
            if layout.stack != bare.stack:
                continue
            total: Counter[int] = Counter()
            splits: Counter[str] = Counter()
            for ports in layout.ports:
                if mask := self.offers.mask(ports):
                    total[mask] += book.port_holds(ports)
                for part in ports.split.parts if ports.split is not None else ():
                    splits[part] += ports.count
            whole = replace(bare, ports=layout.ports)
            slices = tuple(sorted((count, mask) for mask, count in total.items()))
            key = (slices, frozenset(splits.items()), self._takes(whole))
            if key not in seen:
                seen.add(key)
                yield Seat(whole, slices, splits)

    def _takes(self, fitout: Fitout) -> tuple[int, ...]:
        return tuple(b.takes(fitout, self.ask.setting, self.book.catalog) for r in self.book.rules for b in r.budgets)

    def build(self) -> Build | None:
        """Everything placed; none where that can't be."""
        if not all(self.seats):
            return None
        for u in range(len(self.seats)):
            self._unit(u)
        for index, kind in enumerate(self.kinds):
            self._served(index, kind)
        for rule, row in self.book.limits(self.ask):
            if rule not in self.without and self._holds_here(row):
                self._limit(row)
        self._parts()
        found = solve(self.space)
        return self._built(found.values) if found.status == "optimal" else None

    def has_port(self, statement: str) -> bool:
        """Whether some port suits each of a statement's kinds."""
        masks = [mask for seats in self.seats for seat in seats for _, mask in seat.slices]
        served = {self.offers.offers[bit].kind for mask in set(masks) for bit in self.offers.bits(mask)}
        return all(index in served for index, kind in enumerate(self.kinds) if kind.statement == statement)

    def _unit(self, u: int) -> None:
        """One way to use a unit's ports is chosen, and no more put on them than they hold, or can be fed."""
        chosen = [self.space.variable(0, 1) for _ in self.seats[u]]
        self.taken.append(chosen)
        self.space.row([(var, 1) for var in chosen], 1, 1)
        for s, seat in enumerate(self.seats[u]):
            for n, (count, mask) in enumerate(seat.slices):
                most = MOST if PORTS in self.without else count
                here = {(u, s, n, bit): self.space.variable(0, most) for bit in self.offers.bits(mask)}
                self.space.at_most([*((var, 1) for var in here.values()), (chosen[s], -most)], 0)
                self.places.update(here)
            for part, count in seat.splits.items():
                self.supplied.take(part, chosen[s], count)
        setting, catalog = self.ask.setting, self.book.catalog
        for rule in self.book.rules:
            for budget in rule.budgets if rule.id not in self.without else ():
                gives = budget.gives(self.seating.bare[u], setting, catalog)
                if gives is None:
                    continue
                own = [budget.takes(seat.fitout, setting, catalog) for seat in self.seats[u]]
                draws = [budget.draws(self.kinds[o.kind], o.plug, setting, catalog) for o in self.offers.offers]
                terms = [(var, draws[bit]) for (v, _, _, bit), var in self.places.items() if v == u]
                self.space.at_most([*terms, *zip(chosen, own, strict=True)], gives)

    def _served(self, index: int, kind: Kind) -> None:
        """All of a kind, on as many units as it is to be spread over."""
        mine = {at: var for at, var in self.places.items() if self.offers.offers[at[3]].kind == index}
        self.space.row([(var, 1) for var in mine.values()], kind.count, kind.count)
        least = self.book.spread(kind)
        if least > 1:
            reached = []
            for u in range(len(self.seats)):
                there = self.space.variable(0, 1)
                self.space.at_least([*((var, 1) for at, var in mine.items() if at[0] == u), (there, -1)], 0)
                reached.append((there, 1))
            self.space.at_least(reached, least)

    def _holds_here(self, row: Row) -> bool:
        if row.agreed is not None and self.seating.agreed.get(row.agreed[0]) != row.agreed[1]:
            return False
        return row.only_if is None or any(row.only_if(some[0].fitout) for some in self.seats)

    def _limit(self, row: Row) -> None:
        """A limit on counts, with the units as they are."""
        terms: Terms = []
        for at, var in self.places.items():
            offer = self.offers.offers[at[3]]
            weight = row.kinds(self.kinds[offer.kind]) if row.kinds else 0
            terms.append((var, weight + (row.plugs(offer.plug) if row.plugs else 0)))
        if row.fitouts:
            for seats, chosen in zip(self.seats, self.taken, strict=True):
                terms += [(var, row.fitouts(seat.fitout)) for seat, var in zip(seats, chosen, strict=True)]
        if row.sense == "<=":
            self.space.at_most(terms, row.bound)
        else:
            self.space.at_least(terms, row.bound)

    def _parts(self) -> None:
        """What comes along with everything served, from what is on the bill."""
        if PARTS in self.without:
            return
        for bit, offer in enumerate(self.offers.offers):
            served = [var for at, var in self.places.items() if at[3] == bit]
            for _, need in offer.needs if served else ():
                if not any(self.seating.agreed.get(topic) == choice for topic, choice in need.unless):
                    terms = [(var, need.count) for var in served]
                    self.supplied.meet(self.kinds[offer.kind].statement, need, terms)
        self.supplied.close()

    # --- as a build -----------------------------------------------------------------------------------

    def _built(self, values: tuple[int, ...]) -> Build:
        """The build with everything in its place."""
        build = self.seating.build
        units = []
        for u, unit in enumerate(build.units):
            s = next(n for n, var in enumerate(self.taken[u]) if values[var])
            fitout = self.seats[u][s].fitout
            placed = {
                (n, bit): values[var] for (v, t, n, bit), var in self.places.items() if (v, t) == (u, s) and values[var]
            }
            if PORTS in self.without or PARTS in self.without:
                placed = {}  # nothing that could be built: only whether it could be is asked
            units.append(
                unit.model_copy(
                    update={
                        "splits": tuple(splits_of(fitout.ports)),
                        "uses": tuple(uses_of(self.offers, fitout, placed)),
                    }
                )
            )
        far_ends, along = [], []
        for (statement, slot, recipe), var in self.supplied.handed.items():
            for part, count in Counter(recipe).items():
                if not values[var]:
                    continue
                if slot == "far end":
                    far_ends.append(FarEnd(statement=statement, part=part, count=count * values[var]))
                elif slot not in PLACED:
                    along.append(Along(slot=slot, part=part, count=count * values[var], statement=statement))
        own = tuple(one for one in build.along if one.statement is None)
        return build.model_copy(update={"units": tuple(units), "far_ends": tuple(far_ends), "along": (*along, *own)})


# --- what is on the bill ----------------------------------------------------------------------------------


def pool_of(build: Build, book: Book) -> Counter[str]:
    """Parts of the bill that what is served may take: all that came, less what units, links and the stack take."""
    catalog = book.catalog
    spare = _movable(build.bought, book)
    for line in build.bought:
        if not catalog.serves_any_unit(line.part):
            spare[line.part] += line.count
    for unit in build.units:
        used, came = _own(unit, book), _come(unit.bought, book)
        spare += (came - used) & _movable(unit.bought, book)
        spare.subtract(used - came)
    for link in build.links:
        spare.subtract(Counter(link.parts))
    for one in build.along:
        if one.statement is None:
            spare[one.part] -= one.count
    return spare


def _come(lines: Iterable[Bought], book: Book) -> Counter[str]:
    """What was bought, and what lies in its boxes."""
    out: Counter[str] = Counter()
    for line in lines:
        out[line.part] += line.count
        for content in book.catalog.by_id[line.part].contents:
            out[content.part] += content.count * line.count
    return out


def _movable(lines: Iterable[Bought], book: Book) -> Counter[str]:
    """Of that, what may serve any unit."""
    catalog = book.catalog
    every = tuple(lines)
    out = Counter({part: n for part, n in _come(every, book).items() if catalog.serves_any_unit(part)})
    for line in every:
        for content in catalog.by_id[line.part].contents:
            if content.movable and not catalog.serves_any_unit(content.part):
                out[content.part] += content.count * line.count
    return out


def _own(unit: BuiltUnit, book: Book) -> Counter[str]:
    """What a unit takes besides plugs and what splits its ports; a licence counts once."""
    used: Counter[str] = Counter(one.supply for one in unit.supplies if one.bay)
    used.update(one.cord for one in unit.supplies if one.cord is not None)
    used.update(unit.fan_trays)
    used.update(one.module for one in unit.modules)
    used.update(unit.adapters)
    for one in unit.along:
        used[one.part] += one.count
    for part in {one.part for one in unit.along if isinstance(book.catalog.by_id[one.part], Licence)}:
        used[part] = 1
    return used
