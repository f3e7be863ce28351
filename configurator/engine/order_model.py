"""The integer model of a whole order: one block of a stack's model a stack, coupled by packs and cold spares."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

from configurator.book import Book
from configurator.catalog import Catalog
from configurator.engine.exchange import kits_with, unit_word
from configurator.engine.model import StackModel
from configurator.engine.pooling import FAR_ENDS
from configurator.engine.solver import OBJECTIVE_LIMIT, SUM_LIMIT, IntegerModel
from configurator.rule import SpareNeed

Shared = tuple[str, str]  # a closet, and a rule whose limit its stacks share
Terms = list[tuple[int, int]]


@dataclass(frozen=True)
class Block:
    """One stack of the order, or `weight` stacks built alike."""

    ask: int  # index of the stack's ask
    closet: str | None  # that it shares with others
    model: StackModel
    weight: int
    least_minor: int  # no build of it costs less
    most_minor: int  # none worth having costs more


@dataclass(frozen=True)
class Packs:
    """How a part sold in packs, or least quantities, is ordered."""

    packs: int  # variable: how many
    some: int  # variable: whether any
    taken: Terms  # by stacks and as spares
    size: int
    least: int


@dataclass(frozen=True)
class Shelf:
    """Cold spares of one part or unit type."""

    need: SpareNeed
    in_use: Terms
    bought: Terms  # whatever holds it, and how many each
    most: int  # in use


class OrderModel:
    """All blocks in one model.  It costs what is ordered: whole packs, least quantities, spares."""

    def __init__(
        self,
        book: Book,
        blocks: list[Block],
        spares: list[SpareNeed],
        shared: list[Shared],
        sold: Callable[[str], bool],
    ) -> None:
        self.book = book
        self.blocks = blocks
        self.model = IntegerModel()
        self.at: list[int] = []  # first variable of each block
        self.prices: dict[int, int] = {}
        self.wanted: dict[str, Terms] = {}  # part sold in packs -> variables and how many of it each takes
        self.spares: dict[tuple[str, str, str], int] = {}  # statement, what it stands for, part -> variable
        self.packs: dict[str, Packs] = {}
        self.shelves: list[Shelf] = []
        self._units: Terms = []
        self._ranks: dict[int, int] = {}
        self._sold = sold
        for block in blocks:
            self._add(block)
        for one, other, at, after in zip(blocks, blocks[1:], self.at, self.at[1:], strict=False):
            if replace(one, ask=other.ask) == other:  # copies, the cheaper first
                terms = [(at + var, price) for var, price in one.model.prices.items()]
                self.model.at_most(terms + [(after + v, -price) for v, price in other.model.prices.items()], 0)
        for closet, rule in shared:
            self._share(closet, rule)
        for need in spares:
            for name in sorted(need.of):
                self._spare(need, name, book.catalog)
        for part, terms in sorted(self.wanted.items()):
            self._in_packs(part, terms)
        self.scale = self._objective()

    def _add(self, block: Block) -> None:
        """The rows of one stack, its prices and what it takes of parts sold in packs."""
        at = len(self.model.bounds)
        self.at.append(at)
        mine = block.model
        self.model.bounds += mine.model.bounds
        self.model.sparing += [at + var for var in mine.model.sparing]
        for row in mine.model.rows:
            terms = [(at + v, c) for v, c in zip(row.variables, row.coefficients, strict=True)]
            self.model.row(terms, row.lo, row.hi, tuple(at + literal for literal in row.only_if))
        cost = [(at + var, price) for var, price in mine.prices.items()]
        self.model.row(cost, block.least_minor, block.most_minor)
        for var, bought in mine.buys.items():
            for part, count in bought.items():
                self._buy(part, at + var, count * block.weight)
        self._units += [(at + var, block.weight) for var in mine.n]
        for group in (mine.n, mine.q, mine.e):
            self._ranks.update({at + var: rank for rank, var in enumerate(group)})
        self._ranks.update({at + var: 1 for var in mine.kits.values()})  # no stack takes what a pack leaves over

    def _buy(self, part: str, var: int, count: int) -> None:
        if part in self.book.packed():
            self.wanted.setdefault(part, []).append((var, count))
        else:
            price = self.book.catalog.price_minor(part) or 0
            self.prices[var] = self.prices.get(var, 0) + price * count

    def _share(self, closet: str, rule: str) -> None:
        """The rows of a rule over all stacks of a closet."""
        members = [(at, block) for at, block in zip(self.at, self.blocks, strict=True) if block.closet == closet]
        rows = [[n for n, r in enumerate(b.model.row_rules) if r == rule] for _, b in members]
        members = [member for member, mine in zip(members, rows, strict=True) if mine]
        rows = [mine for mine in rows if mine]
        for same in zip(*rows, strict=True):  # alike: a closet's limits are those of each of its stacks
            own = [block.model.rule_rows[n] for n, (_, block) in zip(same, members, strict=True)]
            if not own[0].shared:
                continue
            terms: Terms = []
            present: tuple[int, ...] = () if own[0].only_if is None else (self.model.variable(0, 1),)
            for n, (at, block) in zip(same, members, strict=True):
                terms += [(at + var, c * block.weight) for var, c in block.model.row_terms(n)]
                such = [(at + var, 1) for var in block.model.row_members(n)] if present else []
                if such:
                    self.model.at_most([*such, (present[0], -max(1, block.model.most))], 0)
            self.model.at_most(terms, min(row.bound for row in own), present)

    def _spare(self, need: SpareNeed, name: str, catalog: Catalog) -> None:
        """So many, or so many percent, of what is in service, bought as whatever holds it."""
        terms = [
            (at + var, count * block.weight)
            for at, block in zip(self.at, self.blocks, strict=True)
            for var, count in in_service(block.model, unit_word(name) if need.of_units else name).items()
        ]
        most = sum(count * self.model.bounds[var][1] for var, count in terms if count > 0)
        if not most:
            return
        holders = [box.id for box in catalog.boxes_of[name]] if need.of_units else [name, *kits_with(self.book, name)]
        bought: Terms = []
        for holder in holders:
            if self._sold(holder):
                var = self.model.variable(0, max(need.count, -(-most * need.percent // 100)))
                self.spares[need.statement, name, holder] = var
                self.model.sparing.append(var)
                self._buy(holder, var, 1)
                held = 1 if need.of_units or holder == name else _held(catalog, holder, name)
                bought.append((var, held))
        self.shelves.append(Shelf(need, terms, bought, most))
        if need.percent:
            self.model.at_least([(v, 100 * c) for v, c in bought] + [(v, -need.percent * c) for v, c in terms], 0)
        if need.count:
            used = self.model.variable(0, 1)
            self.model.at_most([*terms, (used, -most)], 0)
            self.model.at_least([*bought, (used, -need.count)], 0)

    def _in_packs(self, part: str, terms: Terms) -> None:
        """Whole packs, no fewer than the least quantity, cover what is taken."""
        pack, least = self.book.quantities(part)
        most = sum(count * self.model.bounds[var][1] for var, count in terms)
        packs = self.model.variable(0, -(-max(most, least) // pack))
        some = self.model.variable(0, 1)
        self.model.sparing += [some, packs]
        self.model.at_most([*terms, (packs, -pack)], 0)
        self.model.at_most([*terms, (some, -max(1, most))], 0)
        self.model.at_least([(packs, pack), (some, -least)], 0)
        self.packs[part] = Packs(packs, some, terms, pack, least)
        self.prices[packs] = (self.book.catalog.price_minor(part) or 0) * pack

    def _objective(self) -> int:
        """Price first, then fewer units, then part numbers, as far as one exact number holds all of it."""
        bounds = self.model.bounds
        reach = sum(price * bounds[var][1] for var, price in self.prices.items())
        room = min(OBJECTIVE_LIMIT, SUM_LIMIT) // max(1, reach)
        most_rank = 1 + sum(rank * bounds[var][1] for var, rank in self._ranks.items())
        most_units = 1 + sum(weight * bounds[var][1] for var, weight in self._units)
        ranks, unit_weight, scale = self._ranks, most_rank, most_rank * most_units
        if scale > room:
            ranks, unit_weight, scale = {}, 1, most_units
        if scale > room:
            unit_weight, scale = 0, 1
        objective = {var: price * scale for var, price in self.prices.items()}
        for var, weight in self._units:
            objective[var] = objective.get(var, 0) + weight * unit_weight
        for var, rank in ranks.items():
            objective[var] = objective.get(var, 0) + rank
        self.model.objective = {var: weight for var, weight in objective.items() if weight}
        return scale

    def values_of(self, place: int, values: tuple[int, ...]) -> tuple[int, ...]:
        """The part of a solution that is one block's."""
        at = self.at[place]
        return values[at : at + len(self.blocks[place].model.model.bounds)]


def in_service(model: StackModel, name: str) -> Counter[int]:
    """How many of a part (or of a unit type, by `unit_word`) each variable puts into service."""
    found: Counter[int] = Counter()
    for var, column in zip(model.n, model.columns, strict=True):
        count = sum(recipe.count(name) for _, recipe in column.priced.fills)
        count += unit_word(column.fitout.unit_type.id) == name
        if count:
            found[var] += count
    for (who, *_), group in model.groups.items():
        if who == FAR_ENDS:
            continue
        for recipe, var in group.takes.items():
            found[var] += recipe.count(name)
        if group.buys is not None:
            found[group.buys] += group.recipe.count(name)
    return Counter({var: count for var, count in found.items() if count})


def _held(catalog: Catalog, holder: str, name: str) -> int:
    return sum(content.count for content in catalog.by_id[holder].contents if content.part == name)
