"""The integer model of one stack: counts of fit-outs, served quantities, arrangements, the pool."""

from __future__ import annotations

from dataclasses import dataclass, field

from configurator.arrange import Stacking, stacks_so
from configurator.book import Book
from configurator.capacity import Capacity, closed_sets
from configurator.columns import Column, Maker
from configurator.cover import pool_of, stock_of
from configurator.fitout import Mode
from configurator.kinds import kinds_of
from configurator.linking import PricedArrangement, priced_arrangements
from configurator.offers import Offers, cheapest_recipe, is_pooled
from configurator.parts import Box
from configurator.relax import OPEN
from configurator.rule import Need, Row
from configurator.setting import Ask, Setting
from configurator.solver import OBJECTIVE_LIMIT, SUM_LIMIT, IntegerModel

PoolKey = tuple[str, tuple[tuple[str, ...], ...]]  # who needs it, recipes


@dataclass
class PoolGroup:
    """A need that parts from boxes may meet: who needs how many, and where they come from."""

    need: Need
    terms: dict[int, int] = field(default_factory=dict)  # variable -> how many each needs
    takes: dict[tuple[str, ...], int] = field(default_factory=dict)  # recipe with parts from boxes -> variable
    buys: int | None = None  # variable: bought for it
    recipe: tuple[str, ...] = ()


@dataclass(frozen=True)
class Counts:
    """A solution: how many of each column, through which offers, arranged how, bought what besides."""

    columns: tuple[int, ...]
    served: tuple[int, ...]
    arrangement: PricedArrangement
    loose: tuple[tuple[str, int], ...]  # bought for the stack as a whole
    price_minor: int


class StackModel:
    """Builds the model of one stack under a rule book; rows are added as placements fail."""

    def __init__(self, book: Book, ask: Ask, priced: bool = True) -> None:
        """`priced` off: any build will do, so only what units can carry matters."""
        self.priced = priced
        self.book = book
        self.ask = ask
        self.setting = ask.setting
        self.kinds = kinds_of(ask)
        self.pool = pool_of(book) if priced else frozenset()
        self.offers = Offers(book, self.kinds, ask.setting, self.pool)
        self.rule_rows: list[Row] = [row for _, row in book.limits(ask)]
        maker = Maker(book, self.offers, ask.setting, self.rule_rows, priced)
        self.stackings = maker.stackings()
        self.arrangements = self._arrangements(self.stackings)
        self.columns: list[Column] = maker.columns(self._wanted_from_boxes(), self._arranged())
        self.capacity = Capacity(self.offers, self.columns)
        self.model = IntegerModel()
        self.prices: dict[int, int] = {}  # variable -> price
        self.scale = 1  # objective for each minor unit of price
        self.most = max((a.units for a in self.arrangements), default=0)
        self.n = [self.model.variable(0, self.most) for _ in self.columns]
        self.q = [self.model.variable(0, self.kinds[o.kind].count) for o in self.offers.offers]
        self.e = [self.model.variable(0, 1) for _ in self.arrangements]
        self.groups: dict[PoolKey, PoolGroup] = {}
        self.kits: dict[str, int] = {}
        self._price_counts()
        self._arrange()
        self._kind_rows()
        self._rule_rows()
        self._capacity_rows()
        if priced:
            self._pool_rows()
            self._objective()

    # --- variables ---------------------------------------------------------------------------

    def _arranged(self) -> set[Stacking | None]:
        """The ways to stack that are in some arrangement; none: alone."""
        used = {arrangement.mode for arrangement in self.arrangements}
        return {way for way in (None, *self.stackings) if any(stacks_so(way, mode) for mode in used)}

    def _wanted_from_boxes(self) -> frozenset[str]:
        """Parts that links and served devices could take out of boxes."""
        needs = [need for offer in self.offers.offers for _, need in offer.needs]
        needs += [need for priced in self.arrangements for _, need in priced.needs]
        return frozenset(part for need in needs for recipe in need.recipes for part in recipe) & self.pool

    def _arrangements(self, stackings: list[Stacking]) -> list[PricedArrangement]:
        """Arrangements worth having: of equal numbers and modes the cheapest, unless boxes hold cables."""
        wanted = sum(kind.count for kind in self.kinds)
        most = max(wanted, self.ask.stack.units_at_least or 1)
        store = self.book.cache(
            "arrangements", "arranges", "together", "requires.stack", "forbids_over", "forbids_part"
        )
        stack, setting = self.ask.stack, self.setting
        key = (
            tuple(stackings),
            most,
            self.ask.topology,
            self.ask.two_unit_links,
            self.ask.dropped.intersection(OPEN),
            stack.units_at_least,
            stack.units_at_most,
            stack.stacking_mbps,
            stack.rack_positions,
            stack.between_units_m,
            setting,
            self.priced,
        )
        if key not in store:
            store[key] = priced_arrangements(self.book, self.ask, stackings, most, self.pool)
        out: list[PricedArrangement] = store[key]
        return out

    def _price_counts(self) -> None:
        for var, column in zip(self.n, self.columns, strict=True):
            self.prices[var] = column.price_minor
            for need in column.left_to_pool if self.priced else ():
                self._group("unit", need, var, 1)
        for var, offer in zip(self.q, self.offers.offers, strict=True):
            self.prices[var] = offer.price_minor
            for _, need in offer.needs:
                if is_pooled(need, self.pool):
                    self._group("stack", need, var, need.count)
        for var, arrangement in zip(self.e, self.arrangements, strict=True):
            self.prices[var] = arrangement.price_minor
            for _, need in arrangement.needs:
                if is_pooled(need, self.pool):
                    self._group("stack", need, var, need.count)

    def _group(self, who: str, need: Need, var: int, count: int) -> None:
        key = (who, need.recipes)
        if key not in self.groups:
            self.groups[key] = PoolGroup(need)
        terms = self.groups[key].terms
        terms[var] = terms.get(var, 0) + count

    # --- rows ----------------------------------------------------------------------------------

    def _arrange(self) -> None:
        """One arrangement; its number of units; only fit-outs that stack in its way."""
        model = self.model
        model.row([(e, 1) for e in self.e], 1, 1)
        if not self.arrangements:
            return
        model.row(
            [(n, 1) for n in self.n] + [(e, -a.units) for e, a in zip(self.e, self.arrangements, strict=True)], 0, 0
        )
        found: dict[frozenset[Mode | None], list[int]] = {}
        every = list(dict.fromkeys(a.mode for a in self.arrangements))
        for var, column in zip(self.n, self.columns, strict=True):
            mine = frozenset(mode for mode in every if column.stacks_in(mode))
            found.setdefault(mine, []).append(var)
        for mine, members in found.items():
            if len(mine) < len(every):
                terms = [(n, 1) for n in members]
                terms += [(e, -a.units) for e, a in zip(self.e, self.arrangements, strict=True) if a.mode in mine]
                model.at_most(terms, 0)
        for mode in every:
            if mode is not None and len(mode.families) > 1:
                self._all_present(mode)

    def _all_present(self, mode: Mode) -> None:
        """A stack of several families has a unit of each: with fewer of them, other limits hold."""
        chosen = [(e, -1) for e, a in zip(self.e, self.arrangements, strict=True) if a.mode == mode]
        for family in mode.families:
            members = [
                (var, 1)
                for var, column in zip(self.n, self.columns, strict=True)
                if any(v.shape.stacking is not None and v.shape.stacking[0] == family for v in column.variants())
            ]
            self.model.at_least([*members, *chosen], 0)

    def _kind_rows(self) -> None:
        for index, kind in enumerate(self.kinds):
            self.model.at_most([(var, 1) for var in self._served_by(index)], kind.count)
            least = self.book.spread(kind)
            if least > 1:
                self._spread_rows(index, least)

    def _spread_rows(self, kind: int, least: int) -> None:
        """A kind reaches no more units through an offer than it has devices, or units have ports for it."""
        reached = []
        for bit, offer in enumerate(self.offers.offers):
            if offer.kind == kind:
                able = [
                    (var, -1)
                    for var, column in zip(self.n, self.columns, strict=True)
                    if any(mask >> bit & 1 for _, mask in column.slices)
                ]
                units = self.model.variable(0, max(1, self.most))
                self.model.at_most([(units, 1), (self.q[bit], -1)], 0)
                self.model.at_most([(units, 1), *able], 0)
                reached.append((units, 1))
        self.model.at_least(reached, least)

    def _served_by(self, kind: int) -> list[int]:
        return [var for var, offer in zip(self.q, self.offers.offers, strict=True) if offer.kind == kind]

    def _rule_rows(self) -> None:
        for index, row in enumerate(self.rule_rows):
            terms = []
            if row.fitouts is not None:
                terms = [(var, c.limits[2 * index]) for var, c in zip(self.n, self.columns, strict=True)]
            for kind_index, kind in enumerate(self.kinds):
                weight = row.kinds(kind) if row.kinds else 0
                if weight:
                    terms += [(var, weight) for var in self._served_by(kind_index)]
            only_if: tuple[int, ...] = ()
            if row.only_if is not None:
                members = [var for var, c in zip(self.n, self.columns, strict=True) if c.limits[2 * index + 1]]
                if not members:
                    continue
                present = self.model.variable(0, 1)
                self.model.at_most([(var, 1) for var in members] + [(present, -max(1, self.most))], 0)
                only_if = (present,)
            if row.sense == "<=":
                self.model.at_most(terms, row.bound, only_if)
            else:
                self.model.at_least(terms, row.bound, only_if)

    def _capacity_rows(self) -> None:
        self.capacity_rows: list[tuple[tuple[int, ...], list[int]]] = []
        best: dict[tuple[int, ...], tuple[int, ...]] = {}
        for chosen in closed_sets(self.offers, self.columns):
            weights = tuple(chosen >> bit & 1 for bit in range(len(self.q)))
            _keep(best, self.capacity.counted(chosen), weights)
            for budget in self.capacity.budgets:
                values, step = self.capacity.drawn(chosen, budget)
                if step:
                    draws = tuple(o.draws[budget] // step * w for o, w in zip(self.offers.offers, weights, strict=True))
                    _keep(best, values, draws)
        for carried, weights in best.items():
            self.add_weight_row(weights, list(carried))

    def add_weight_row(self, weights: tuple[int, ...], carried: list[int]) -> None:
        """sum(weight * served) <= sum(carried * units)."""
        self.capacity_rows.append((weights, carried))
        terms = [(var, weight) for var, weight in zip(self.q, weights, strict=True)]
        terms += [(var, -value) for var, value in zip(self.n, carried, strict=True)]
        self.model.at_most(terms, 0)

    def add_no_good(self, counts: Counts) -> None:
        """Not units like these (or fewer of each shape) for at least these served quantities."""
        alike: dict[int, list[int]] = {}
        for index, shape in enumerate(self.capacity.shape_of):
            alike.setdefault(shape, []).append(index)
        ways = []
        for members in alike.values():
            count = sum(counts.columns[index] for index in members)
            if count < self.most:
                more = self.model.variable(0, 1)
                self.model.at_least([(self.n[index], 1) for index in members], count + 1, (more,))
                ways.append(more)
        for var, count in zip(self.q, counts.served, strict=True):
            if count:
                fewer = self.model.variable(0, 1)
                self.model.at_most([(var, 1)], count - 1, (fewer,))
                ways.append(fewer)
        self.model.at_least([(var, 1) for var in ways], 1)

    def _pool_rows(self) -> None:
        """What is taken out of boxes is in them; every need is met out of boxes or bought."""
        if not self.groups:
            return
        catalog = self.book.catalog
        takes: dict[str, list[tuple[int, int]]] = {}  # pooled part -> variables and how many each takes
        singly: set[str] = set()  # parts that make up a recipe with others, which may come out of boxes
        every = 0
        for (_, recipes), group in sorted(self.groups.items()):
            most = sum(count * self.model.bounds[var][1] for var, count in group.terms.items())
            every += most * max((len(recipe) for recipe in recipes), default=0)
            for recipe in recipes:
                bought = [self.book.price_minor(part, self.setting) for part in recipe if part not in self.pool]
                if len(bought) == len(recipe) or None in bought:
                    continue
                var = group.takes[recipe] = self.model.variable(0, most)
                self.prices[var] = sum(price for price in bought if price is not None)
                pooled = set(recipe) & self.pool
                for held in pooled:
                    takes.setdefault(held, []).append((var, recipe.count(held)))
                if len(recipe) > 1:
                    singly |= pooled
            cheapest = cheapest_recipe(self.book, group.need, self.setting)
            terms = [(var, 1) for var in group.takes.values()]
            if cheapest is not None:
                group.buys, group.recipe = self.model.variable(0, most), cheapest[1]
                self.prices[group.buys] = cheapest[0]
                terms.append((group.buys, 1))
            self.model.at_least(terms + [(var, -count) for var, count in group.terms.items()], 0)
        gifts = {
            part: [
                (var, -count) for var, c in zip(self.n, self.columns, strict=True) for p, count in c.spare if p == part
            ]
            for part in takes
        }
        for name, part in catalog.by_id.items():
            if isinstance(part, Box) or not (part.contents or name in singly):
                continue
            price = self.book.price_minor(name, self.setting)
            given = {p: free for p, (_, free) in stock_of(self.book, part).items() if free and p in takes}
            if name in takes:
                given[name] = given.get(name, 0) + 1
            if price is not None and given:
                var = self.kits[name] = self.model.variable(0, every)
                self.prices[var] = price
                for p, free in given.items():
                    gifts[p].append((var, -free))
        for held, variables in takes.items():
            self.model.at_most(variables + gifts[held], 0)

    def _objective(self) -> None:
        """Price first, then fewer units, then part numbers, in one number that is exact below 2**53.

        Where prices leave no room for the preferences, the last ones are dropped.
        """
        counts = [kind.count for kind in self.kinds]
        ranks = {var: rank for group in (self.n, self.q, self.e) for rank, var in enumerate(group)}
        most_rank = self.most * len(self.n) + sum(counts) * len(self.q) + len(self.e) + 1
        room = OBJECTIVE_LIMIT // max(1, self._highest_price())
        # the solver adds up every variable at its bound before it knows better
        reach = sum(price * self.model.bounds[var][1] for var, price in self.prices.items())
        room = min(room, SUM_LIMIT // max(1, reach))
        self.scale, unit_weight = most_rank * (self.most + 1), most_rank
        if self.scale > room:
            self.scale, unit_weight, ranks = self.most + 1, 1, {}
        if self.scale > room:
            self.scale, unit_weight = 1, 0
        objective = {var: price * self.scale for var, price in self.prices.items()}
        for var in self.n:
            objective[var] = objective.get(var, 0) + unit_weight
        for var, rank in ranks.items():
            objective[var] = objective.get(var, 0) + rank
        self.model.objective = {var: weight for var, weight in objective.items() if weight}

    def _highest_price(self) -> int:
        """No build of this model costs more than this."""
        dearest = [max((self.prices[var] for var in group), default=0) for group in (self.n, self.q, self.e)]
        fixed = dearest[0] * self.most + dearest[1] * sum(kind.count for kind in self.kinds) + dearest[2]
        seen = {*self.n, *self.q, *self.e}
        return fixed + sum(price * self.model.bounds[var][1] for var, price in self.prices.items() if var not in seen)

    # --- solutions -------------------------------------------------------------------------------

    def counts(self, values: tuple[int, ...]) -> Counts:
        """The solution that the solver's values stand for; its price added up as integers."""
        arrangement = next(a for a, e in zip(self.arrangements, self.e, strict=True) if values[e])
        loose: dict[str, int] = {}

        def buy(recipe: tuple[str, ...], count: int) -> None:
            for part in recipe:
                loose[part] = loose.get(part, 0) + count

        for var, offer in zip(self.q, self.offers.offers, strict=True):
            for _, need in offer.needs:
                if not is_pooled(need, self.pool) and values[var]:
                    buy(_recipe(self.book, need, self.setting), need.count * values[var])
        for _, need in arrangement.needs:
            if not is_pooled(need, self.pool):
                buy(_recipe(self.book, need, self.setting), need.count)
        for group in self.groups.values():
            if group.buys is not None and values[group.buys]:
                buy(group.recipe, values[group.buys])
            for recipe, var in group.takes.items():
                buy(tuple(part for part in recipe if part not in self.pool), values[var])
        for name, var in self.kits.items():
            if values[var]:
                buy((name,), values[var])
        return Counts(
            tuple(values[var] for var in self.n),
            tuple(values[var] for var in self.q),
            arrangement,
            tuple(sorted((part, count) for part, count in loose.items() if count)),
            sum(price * values[var] for var, price in self.prices.items()),
        )


def _keep(best: dict[tuple[int, ...], tuple[int, ...]], values: list[int], weights: tuple[int, ...]) -> None:
    """Of rows with equal right sides keep the heavier."""
    key = tuple(values)
    if key not in best or sum(weights) > sum(best[key]):
        best[key] = weights


def _recipe(book: Book, need: Need, setting: Setting) -> tuple[str, ...]:
    found = cheapest_recipe(book, need, setting)
    return found[1] if found is not None else ()
