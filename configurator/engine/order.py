"""The cheapest order as a whole, proved.

Stacks are solved one by one.  Where some part is sold in packs or least quantities, or cold spares
are kept, they are coupled: then the sum of the cheapest stacks is a lower bound, their order an
upper one, and where these differ all stacks are solved together between the two.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Hashable, Iterable
from dataclasses import fields, replace

from configurator import bill
from configurator.book import Book
from configurator.build import Bought, Build, Copies, Order, SpareParts
from configurator.catalog import Catalog
from configurator.engine.closet_problem import apart_by
from configurator.engine.construct import construct
from configurator.engine.exchange import NEVER, kits_with, unit_word
from configurator.engine.model import StackModel
from configurator.engine.order_model import Block, OrderModel, Shared
from configurator.engine.reasons import reasons_of
from configurator.engine.search import Search, solve_stack
from configurator.engine.solver import solve
from configurator.rule import Rule, SpareNeed
from configurator.setting import Ask, OrderAsk
from configurator.solved import WORST_FIRST, Solved, SolvedOrder, Status
from configurator.verify import verify_order

Engine = Callable[[Ask, Catalog, tuple[Rule, ...], float | None], Solved]
MOST_BLOCKS = 60  # beyond these many stacks copies are built alike, and the price may be called best found only


def solve_order(
    order: OrderAsk,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    time_limit_s: float | None = None,
    engine: Engine | None = None,
) -> SolvedOrder:
    """The cheapest order for all stacks that can be met, and why the others can't.

    time_limit_s -- for each stack that differs from the others, and for all of them together
    engine       -- what solves one stack
    """
    apart = apart_of(order, catalog, rules, time_limit_s, engine)
    if not (apart.book.packed() or apart.spares or apart.shared) or apart.is_cheapest(order, rules):
        return apart.solved()
    return Together(apart, None if time_limit_s is None else time.monotonic() + time_limit_s).solved()


def apart_of(
    order: OrderAsk,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    time_limit_s: float | None = None,
    engine: Engine | None = None,
) -> Apart:
    """The cheapest stacks, each by itself."""
    book = Book(rules, catalog)
    spares = book.spares(order)
    asks = tuple(_tied(ask, spares) for ask in order.asks)
    return Apart(book, asks, _alone(asks, catalog, rules, time_limit_s, engine), spares)


def _tied(ask: Ask, spares: list[SpareNeed]) -> Ask:
    """The stack as asked, with what the order keeps cold spares of."""
    fixed: Counter[str] = Counter()
    each: Counter[str] = Counter()
    for need in spares:
        for name in need.of:
            word = unit_word(name) if need.of_units else name
            fixed[word] += need.count
            each[word] += need.percent > 0
    spared = tuple((name, fixed[name], each[name]) for name in sorted(fixed))
    return replace(ask, setting=replace(ask.setting, spared=spared)) if spared else ask


def _alone(
    asks: tuple[Ask, ...],
    catalog: Catalog,
    rules: tuple[Rule, ...],
    time_limit_s: float | None,
    engine: Engine | None,
) -> list[Solved]:
    """Each stack by itself; those that ask for the same once."""
    found: dict[Hashable, Solved] = {}
    out = []
    for ask in asks:
        key = sameness(ask)
        if key not in found:
            found[key] = (engine or solve_stack)(ask, catalog, rules, time_limit_s)
        out.append(named(found[key], ask))
    return out


def sameness(ask: Ask) -> Hashable:
    """Equal for stacks that ask for the same, whatever they are called and wherever it is written."""
    stack = ask.stack
    nameless = stack.model_copy(
        update={
            "name": "",
            "copies": 1,
            "closet": None,
            "ports": tuple(said.model_copy(update={"ref": None}) for said in stack.ports),
            "devices": tuple(said.model_copy(update={"ref": None}) for said in stack.devices),
            "uplinks": tuple(said.model_copy(update={"ref": None}) for said in stack.uplinks),
        }
    )
    told = frozenset((one.key, one.text, one.assumed) for one in ask.statements.values())
    rest = tuple(getattr(ask, one.name) for one in fields(ask) if one.name not in ("stack", "statements"))
    return nameless, told, rest


def named(solved: Solved, ask: Ask) -> Solved:
    """An equal stack's answer under this one's name."""
    if solved.build is None or solved.build.stack == ask.stack.name:
        return solved
    return replace(solved, build=solved.build.model_copy(update={"stack": ask.stack.name}))


class Apart:
    """The order of the cheapest stacks, each by itself: valid, and no order is cheaper than their sum."""

    def __init__(self, book: Book, asks: tuple[Ask, ...], alone: list[Solved], spares: list[SpareNeed]) -> None:
        self.book = book
        self.asks = asks
        self.alone = alone
        self.spares = spares
        self.met = [place for place, solved in enumerate(alone) if solved.build is not None]
        self.least_minor = sum((alone[place].bound_minor or 0) * asks[place].stack.copies for place in self.met)
        copies = tuple(
            Copies(build=build, copies=asks[place].stack.copies)
            for place in self.met
            if (build := alone[place].build) is not None
        )
        shelf = self._shelf(copies)
        self.order = None if shelf is None else ordered(copies, shelf, book)
        self.price_minor = None if self.order is None else price_minor(self.order, book.catalog)
        self.valid = self.order is not None
        self.shared = self._shared()

    def closet(self, place: int) -> str | None:
        """The closet of a stack, where it isn't alone in it."""
        closet = self.asks[place].stack.closet
        there = sum(self.asks[other].stack.copies for other in self.met if self.asks[other].stack.closet == closet)
        return closet if there > 1 else None

    def _shared(self) -> list[Shared]:
        """The limits that stacks of one closet share."""
        found = {
            (closet, rule): None
            for place in self.met
            if (closet := self.closet(place)) is not None
            for rule, row in self.book.limits(self.asks[place])
            if row.shared
        }
        return list(found)

    def is_cheapest(self, asked: OrderAsk, rules: tuple[Rule, ...]) -> bool:
        """Whether nothing couples the stacks: the order is valid and costs what they cost apart."""
        if self.order is not None and self.shared:
            self.valid = not verify_order(self.order, asked, self.book.catalog, rules)
        return self.valid and self.price_minor == self.least_minor

    def sold(self, part: str) -> bool:
        """Whether some stack's site may buy a part."""
        return any(self.book.sold(part, self.asks[place].setting) for place in self.met)

    def _shelf(self, copies: tuple[Copies, ...]) -> tuple[SpareParts, ...] | None:
        """Cold spares of these builds, each as the cheapest that holds it; none where one can't be had."""
        used: Counter[str] = Counter()
        for one in copies:
            for name, count in serving(one.build).items():
                used[name] += count * one.copies
        out = []
        for need in self.spares:
            for name in sorted(need.of):
                in_use = used[unit_word(name) if need.of_units else name]
                count = max(need.count if in_use else 0, -(-in_use * need.percent // 100))
                holders = [part for part in holders_of(self.book, need, name) if self.sold(part)]
                if count and not holders:
                    return None
                if count:
                    part = min(holders, key=lambda part: (self.book.catalog.price_minor(part) or 0, part))
                    out.append(SpareParts(statement=need.statement, part=part, stands_for=name, count=count))
        return tuple(out)

    def solved(self, status: Status | None = None, bound_minor: int | None = None, problem: str = "") -> SolvedOrder:
        """This order as the answer."""
        stacks = tuple(((ask.stack.copies, one),) for ask, one in zip(self.asks, self.alone, strict=True))
        bound = self.least_minor if bound_minor is None else bound_minor
        if problem or not self.valid:  # stacks that can be met, and no order of them
            return SolvedOrder(stacks, None, None, bound, status or _status(self.alone), problem)
        return SolvedOrder(stacks, self.order, self.price_minor, bound, status or _status(self.alone), problem)


class Together:
    """All stacks in one model, between the lower and the upper bound."""

    def __init__(self, apart: Apart, deadline: float | None, most_minor: int | None = None) -> None:
        """`most_minor`: what no order worth having costs more than; none: the order of the stacks by themselves."""
        self.apart = apart
        self.deadline = deadline
        self.searches: dict[Hashable, Search] = {}
        known = most_minor if most_minor is not None else apart.price_minor if apart.valid else None
        slack = None if known is None else known - apart.least_minor
        every = sum(apart.asks[place].stack.copies for place in apart.met)
        self.exact = every <= MOST_BLOCKS
        self.blocks: list[Block] = []
        for place in apart.met:
            copies, least = apart.asks[place].stack.copies, apart.alone[place].bound_minor or 0
            weights = [1] * copies if self.exact else [copies]
            most = [NEVER if slack is None else least + slack // w for w in weights]
            model, closet = self.search(place).model, apart.closet(place)
            self.blocks += [Block(place, closet, model, w, least, m) for w, m in zip(weights, most, strict=True)]

    def search(self, place: int) -> Search:
        """The search of a stack, the same for stacks that ask for the same."""
        ask = self.apart.asks[place]
        key = sameness(ask)
        if key not in self.searches:
            self.searches[key] = Search(StackModel(self.apart.book, ask), self.deadline)
        return self.searches[key]

    def solved(self) -> SolvedOrder:
        """The cheapest order, or the stacks' own where time runs out."""
        apart = self.apart
        bound_minor = apart.least_minor
        while True:
            joint = self.model(apart.shared)
            outcome = solve(joint.model, seconds=self.left())
            if outcome.status == "impossible":
                return apart.solved("cannot be met", problem=apart_by(self))
            if self.exact:
                bound_minor = max(bound_minor, outcome.bound // joint.scale)
            placed = None if outcome.status == "unknown" else self.placed(joint, outcome.values)
            if placed is not None:
                return self.answer(joint, outcome.values, placed, bound_minor, proved=outcome.status == "optimal")
            if outcome.status == "unknown" or self.late():
                status: Status = "best found" if apart.valid else "not decided"
                return apart.solved(status, bound_minor)

    def left(self) -> float | None:
        """Seconds that are left; none: no limit."""
        return None if self.deadline is None else max(0.01, self.deadline - time.monotonic())

    def late(self) -> bool:
        """Whether time ran out."""
        return self.deadline is not None and time.monotonic() > self.deadline

    def model(self, shared: list[Shared]) -> OrderModel:
        """The model of all blocks as they are now."""
        return OrderModel(self.apart.book, self.blocks, self.apart.spares, shared, self.apart.sold)

    def placed(self, joint: OrderModel, values: tuple[int, ...]) -> list[Solved] | None:
        """Every block built; none where some placing failed and its stack's model has a new row."""
        out: list[Solved] = []
        complete = True
        for place, block in enumerate(self.blocks):
            mine = joint.values_of(place, values)
            counts = block.model.counts(mine)
            search = self.search(block.ask)
            found = search.place(counts)
            if found is None:
                complete = False
                continue
            build = construct(block.model, counts, mine, found)
            reasons = reasons_of(block.model, counts, build)
            solved = self.apart.alone[block.ask]
            solved = replace(solved, price_minor=counts.price_minor, build=build, reasons=reasons)
            out.append(named(solved, self.apart.asks[block.ask]))
        return out if complete else None

    def answer(
        self, joint: OrderModel, values: tuple[int, ...], found: list[Solved], bound_minor: int, *, proved: bool
    ) -> SolvedOrder:
        """The order, with copies that are built alike told together."""
        apart = self.apart
        alike: dict[int, dict[Hashable, list[tuple[int, Solved]]]] = {}
        for block, solved in zip(self.blocks, found, strict=True):
            assert solved.build is not None
            alike.setdefault(block.ask, {}).setdefault(solved.build, []).append((block.weight, solved))
        grouped = {
            place: tuple((sum(w for w, _ in same), same[0][1]) for same in builds.values())
            for place, builds in alike.items()
        }
        copies = tuple(
            Copies(build=solved.build, copies=count)
            for place in sorted(grouped)
            for count, solved in grouped[place]
            if solved.build is not None
        )
        shelf = tuple(
            SpareParts(statement=statement, part=part, stands_for=name, count=values[var])
            for (statement, name, part), var in joint.spares.items()
            if values[var]
        )
        order = ordered(copies, shelf, apart.book)
        price = price_minor(order, apart.book.catalog)
        bound_minor = price if proved and self.exact else min(bound_minor, price)
        status: Status = "cheapest" if bound_minor == price else "best found"
        told = tuple(
            tuple(
                (count, replace(one, status=status, bound_minor=_bound(one, status))) for count, one in grouped[place]
            )
            if place in grouped
            else ((ask.stack.copies, alone),)
            for place, (ask, alone) in enumerate(zip(apart.asks, apart.alone, strict=True))
        )
        worst = _status([one for some in told for _, one in some])
        return SolvedOrder(told, order, price, bound_minor, worst)


def _bound(solved: Solved, status: Status) -> int | None:
    return solved.price_minor if status == "cheapest" else solved.bound_minor


def _status(found: Iterable[Solved]) -> Status:
    return min((one.status for one in found), key=WORST_FIRST.index)


def holders_of(book: Book, need: SpareNeed, name: str) -> list[str]:
    """What can be bought to have one of these on the shelf."""
    if need.of_units:
        return [box.id for box in book.catalog.boxes_of[name]]
    return [name, *kits_with(book, name)]


def serving(build: Build) -> Counter[str]:
    """Parts in service in a build, and units by `unit_word`; not what is built in or at far ends.

    Which of them may have spares is the rules' to say.
    """
    found: Counter[str] = Counter()
    for unit in build.units:
        found[unit_word(unit.unit_type)] += 1
        found.update(fitted.supply for fitted in unit.supplies if fitted.bay)
        found.update(fitted.cord for fitted in unit.supplies if fitted.cord is not None)
        found.update(unit.fan_trays)
        found.update(fitted.module for fitted in unit.modules)
        found.update(part for split in unit.splits for part in split.parts)
        found.update(use.plug for use in unit.uses if use.plug is not None and use.way is None)
        found.update(unit.adapters)
    found.update(part for link in build.links for part in link.parts)
    for one in (*build.along, *(one for unit in build.units for one in unit.along)):
        found[one.part] += one.count
    return found


def ordered(copies: tuple[Copies, ...], shelf: tuple[SpareParts, ...], book: Book) -> Order:
    """The order of these stacks and spares, in whole packs and least quantities."""
    needed: Counter[str] = Counter()
    for one in copies:
        for part, count in bill.bought(one.build).items():
            needed[part] += count * one.copies
    for spare in shelf:
        needed[spare.part] += spare.count
    lines = []
    for part, count in sorted(needed.items()):
        pack, least = book.quantities(part)
        lines.append(Bought(part=part, count=-(-max(count, least) // pack) * pack))
    return Order(stacks=copies, spares=shelf, ordered=tuple(lines))


def price_minor(order: Order, catalog: Catalog) -> int:
    """What an order comes to."""
    return sum(line.count * (catalog.price_minor(line.part) or 0) for line in order.ordered)
