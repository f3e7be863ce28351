"""The integer model of one stack: counts of fit-outs, served quantities, arrangements, the pool."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from configurator.book import Book
from configurator.engine.arrange import MOST_UNITS, Stacking, stacks_so
from configurator.engine.capacity import Capacity, closed_sets
from configurator.engine.columns import Column, Maker
from configurator.engine.cover import pool_of
from configurator.engine.exchange import VALUE
from configurator.engine.linking import PricedArrangement, kept_arrangements
from configurator.engine.offers import Offers, cheapest_recipe, is_pooled
from configurator.engine.pooling import PoolGroup, PoolKey, key_of, pool_rows
from configurator.engine.solver import OBJECTIVE_LIMIT, SUM_LIMIT, IntegerModel
from configurator.fitout import Mode
from configurator.kinds import kinds_of
from configurator.rule import Need, Row
from configurator.setting import Ask

Together = tuple[int, Mode | None]  # accord, and mode; none: alone


@dataclass(frozen=True)
class Counts:
    """A solution: how many of each column, through which offers, arranged how, bought what besides."""

    columns: tuple[int, ...]
    served: tuple[int, ...]
    arrangement: PricedArrangement
    agreed: dict[str, str]
    loose: tuple[tuple[str, int], ...]  # bought for the stack as a whole
    price_minor: int


class StackModel:
    """Builds the model of one stack under a rule book; rows are added as placements fail.

    What all units of a stack have in common is an accord: columns and arrangements are made for each,
    and the arrangement that is chosen brings its accord's columns with it.
    """

    def __init__(self, book: Book, ask: Ask, priced: bool = True, *, asked: bool = True, least: int = 1) -> None:
        """`priced` off: any build will do, so only what units can carry matters; `asked` off, `least`: see `Frame`."""
        self.priced = priced
        self._least = max(least, ask.stack.units_at_least or 1)
        self.book = book
        self.ask = ask
        self.setting = ask.setting
        self.kinds = kinds_of(ask)
        self.pool = pool_of(book, ask.setting) if priced else frozenset()
        self.offers = Offers(book, self.kinds, ask.setting, self.pool)
        limits = book.limits(ask)
        self.rule_rows: list[Row] = [row for _, row in limits]
        self.row_rules = [rule for rule, _ in limits]  # the rule of each
        self.accords = [dict(accord) for accord in book.accords(ask)]
        self.arrangements: list[PricedArrangement] = []
        self.accord_of: list[int] = []  # of each arrangement
        self.columns: list[Column] = []
        self.stackings: list[Stacking] = []
        for accord, choices in enumerate(self.accords):
            self._of_accord(accord, replace(ask, setting=replace(ask.setting, agreed=tuple(choices.items()))))
        self.columns.sort(key=lambda column: (column.rank, column.accord))
        self.capacity = Capacity(self.offers, self.columns)
        self.model = IntegerModel()
        self.prices: dict[int, int] = {}  # variable -> price
        self.buys: dict[int, Counter[str]] = {}  # variable -> parts bought for each
        self.scale = 1  # objective for each minor unit of price
        self.most = max((a.units for a in self.arrangements), default=0)
        self.n = [self.model.variable(0, self.most) for _ in self.columns]
        self.q = [self.model.variable(0, self.kinds[o.kind].count) for o in self.offers.offers]
        self.e = [self.model.variable(0, 1) for _ in self.arrangements]
        self._units = frozenset(self.n)
        self.groups: dict[PoolKey, PoolGroup] = {}
        self.kits: dict[str, int] = {}  # loose parts -> variable: bought for the pool
        self.drawn: dict[str, list[tuple[int, int]]] = {}  # parts of the pool -> what is taken less what is there
        self._price_counts()
        self._arrange()
        self._kind_rows()
        if asked:
            self.asked_rows()
        self._capacity_rows()
        pool_rows(self)
        if priced:
            self._objective()

    # --- variables ---------------------------------------------------------------------------

    def _of_accord(self, accord: int, ask: Ask) -> None:
        """Arrangements and columns of units that have this in common."""
        maker = Maker(self.book, self.offers, ask.setting, self.rule_rows, self.priced)
        stackings = maker.stackings()
        found = self._arrangements(stackings, ask)
        used = {arrangement.mode for arrangement in found}
        arranged = {way for way in (None, *stackings) if any(stacks_so(way, mode) for mode in used)}
        for column in maker.columns(self._wanted_from_boxes(found), arranged):
            column.accord = accord
            self.columns.append(column)
        self.arrangements += found
        self.accord_of += [accord] * len(found)
        self.stackings = sorted({*self.stackings, *stackings})

    def _wanted_from_boxes(self, arrangements: list[PricedArrangement]) -> frozenset[str]:
        """Parts that links and served devices could take out of boxes."""
        needs = [need for offer in self.offers.offers for _, need in offer.needs]
        needs += [need for priced in arrangements for _, need in priced.needs]
        return frozenset(part for need in needs for recipe in need.recipes for part in recipe) & self.pool

    def _arrangements(self, stackings: list[Stacking], ask: Ask) -> list[PricedArrangement]:
        """Arrangements of no more units than there could be a use for."""
        wanted = max(sum(kind.count for kind in self.kinds), self._least)
        if ask.setting.counted not in (None, VALUE):  # a unit that serves nothing may be there for what it has
            wanted = MOST_UNITS
        return kept_arrangements(self.book, ask, stackings, wanted, self.pool, self.priced)

    def buy(self, var: int, parts: Iterable[str]) -> None:
        """Each of a variable buys these parts."""
        bought = self.buys[var] = Counter(parts)
        prices = self.book.prices(self.setting)
        self.prices[var] = sum(prices[part] * count for part, count in bought.items())

    def _price_counts(self) -> None:
        for var, column in zip(self.n, self.columns, strict=True):
            if self.priced:
                self.buy(var, (column.priced.box, *column.priced.bought))
                for need in column.left_to_pool:
                    self._group(need, var, 1, of_unit=True)
        for var, offer in zip(self.q, self.offers.offers, strict=True):
            self._buy_or_pool(var, [need for _, need in offer.needs])
        for var, arrangement in zip(self.e, self.arrangements, strict=True):
            self._buy_or_pool(var, [need for _, need in arrangement.needs])

    def _buy_or_pool(self, var: int, needs: list[Need]) -> None:
        outright: list[str] = []
        for need in needs:
            if is_pooled(need, self.pool):
                self._group(need, var, need.count)
            elif self.priced:
                found = cheapest_recipe(self.book, need, self.setting)
                outright += (found[1] if found is not None else ()) * need.count
        self.buy(var, outright)

    def _group(self, need: Need, var: int, count: int, *, of_unit: bool = False) -> None:
        key = key_of(need, of_unit=of_unit)
        if key not in self.groups:
            self.groups[key] = PoolGroup(need)
        terms = self.groups[key].terms
        terms[var] = terms.get(var, 0) + count

    def voids(self, accord: int, need: Need) -> bool:
        """Whether a need falls away in an accord."""
        return any(self.accords[accord].get(topic) == choice for topic, choice in need.unless)

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
        found: dict[frozenset[Together], list[int]] = {}
        every = self.togethers()
        for var, column in zip(self.n, self.columns, strict=True):
            mine = frozenset(one for one in every if self.suits(column, one))
            found.setdefault(mine, []).append(var)
        for mine, members in found.items():
            if len(mine) < len(every):
                terms = [(n, 1) for n in members]
                terms += [(e, -a.units) for e, a, t in self.arranged() if t in mine]
                model.at_most(terms, 0)
        for accord, mode in every:
            if mode is not None and len(mode.families) > 1:
                self._all_present(accord, mode)

    def togethers(self) -> list[Together]:
        """What units of one stack may have in common: an accord, and the way they stack."""
        return list(dict.fromkeys(together for _, _, together in self.arranged()))

    def arranged(self) -> list[tuple[int, PricedArrangement, Together]]:
        """Each arrangement with its variable."""
        every = zip(self.e, self.arrangements, self.accord_of, strict=True)
        return [(e, a, (accord, a.mode)) for e, a, accord in every]

    def most_units(self, together: Together) -> int:
        """How many units at most can have this in common."""
        return max((a.units for _, a, mine in self.arranged() if mine == together), default=0)

    @staticmethod
    def suits(column: Column, together: Together) -> bool:
        """Whether units of a column can be in a stack of this accord and mode."""
        return column.accord == together[0] and column.stacks_in(together[1])

    def _all_present(self, accord: int, mode: Mode) -> None:
        """A stack of several families has a unit of each: with fewer of them, other limits hold."""
        chosen = [(e, -1) for e, _, together in self.arranged() if together == (accord, mode)]
        for family in mode.families:
            members = [
                (var, 1)
                for var, column in zip(self.n, self.columns, strict=True)
                if column.accord == accord
                and any(v.shape.stacking is not None and v.shape.stacking[0] == family for v in column.variants())
            ]
            self.model.at_least([*members, *chosen], 0)

    def _kind_rows(self) -> None:
        for index, kind in enumerate(self.kinds):
            self.model.at_most([(var, 1) for var in self._served_by(index)], kind.count)

    def asked_rows(self, aside: frozenset[int] = frozenset()) -> None:
        """What the demand asks for, and the limits on counts; `aside`: kinds that nobody asks for."""
        for index, kind in enumerate(self.kinds):
            least = self.book.spread(kind)
            if least > 1 and index not in aside:
                self._spread_rows(index, least)
        self._rule_rows()

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
            terms = self.row_terms(index)
            only_if: tuple[int, ...] = ()
            if row.only_if is not None:
                members = self.row_members(index)
                if not members:
                    continue
                present = self.model.variable(0, 1)
                self.model.at_most([(var, 1) for var in members] + [(present, -max(1, self.most))], 0)
                only_if = (present,)
            if row.agreed is not None:
                only_if = (*only_if, self._agreed_on(*row.agreed))
            if row.sense == "<=":
                self.model.at_most(terms, row.bound, only_if)
            else:
                self.model.at_least(terms, row.bound, only_if)

    def row_terms(self, index: int) -> list[tuple[int, int]]:
        """What a rule's row adds up, by variable."""
        row, terms = self.rule_rows[index], []
        if row.fitouts is not None:
            terms = [(var, c.limits[2 * index]) for var, c in zip(self.n, self.columns, strict=True)]
        for var, offer in zip(self.q, self.offers.offers, strict=True):
            weight = row.kinds(self.kinds[offer.kind]) if row.kinds else 0
            terms.append((var, weight + (row.plugs(offer.plug) if row.plugs else 0)))
        return terms

    def row_members(self, index: int) -> list[int]:
        """Units of which one makes a rule's row hold."""
        return [var for var, c in zip(self.n, self.columns, strict=True) if c.limits[2 * index + 1]]

    def _agreed_on(self, topic: str, choice: str) -> int:
        """A literal that is true where the stack agreed on this."""
        such = [(e, 1) for e, a in zip(self.e, self.accord_of, strict=True) if self.accords[a].get(topic) == choice]
        agreed = self.model.variable(0, 1)
        self.model.row([*such, (agreed, -1)], 0, 0)
        return agreed

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
        self.bind_weights(weights, carried)

    def bind_weights(self, weights: tuple[int, ...], carried: list[int]) -> None:
        """A row of `capacity_rows` in the model."""
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
        chosen = next(place for place, e in enumerate(self.e) if values[e])
        loose: Counter[str] = Counter()
        for var, bought in self.buys.items():
            if values[var] and var not in self._units:
                for part, count in bought.items():
                    loose[part] += count * values[var]
        return Counts(
            tuple(values[var] for var in self.n),
            tuple(values[var] for var in self.q),
            self.arrangements[chosen],
            self.accords[self.accord_of[chosen]],
            tuple(sorted((part, count) for part, count in loose.items() if count)),
            sum(price * values[var] for var, price in self.prices.items()),
        )


def _keep(best: dict[tuple[int, ...], tuple[int, ...]], values: list[int], weights: tuple[int, ...]) -> None:
    """Of rows with equal right sides keep the heavier."""
    key = tuple(values)
    if key not in best or sum(weights) > sum(best[key]):
        best[key] = weights
