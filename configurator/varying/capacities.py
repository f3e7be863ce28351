"""The most that a bill already carries: the demand grows, units, modules, supplies and plugs stay.

import configurator

capacity = configurator.capacity(asked, catalog)                # of the cheapest builds
capacity = configurator.capacity(asked, catalog, audit=audit)   # of an answer read with `load_audit`
for room in capacity.stacks[0].rooms:
    print(room.words, room.asked, room.most)

Each figure is proved: with the most everything has its port, its watts and its plug, and every
rule's check passes; with the next nothing can be placed so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, cast

from configurator import messages, packaged
from configurator.answer import CatalogName, ListName
from configurator.answer_refusal import RuleWords
from configurator.api import catalog_notes, rule_book
from configurator.assemble import tool_version
from configurator.book import Book
from configurator.build import Build, Copies, Order
from configurator.catalog import Catalog
from configurator.conflicts.loosen import Figure, with_figure
from configurator.conflicts.refused import encodable, given
from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.errors import BadInput, Problem
from configurator.kinds import said_by
from configurator.reading import Asked
from configurator.reading.words import figure as shortly
from configurator.review.audit import Audit
from configurator.review.reviewing import breaches
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.varying.capacity import Capacity, Room, StackCapacity
from configurator.varying.seating import MOST, PARTS, PORTS, Seating
from configurator.varying.solving import Solver
from configurator.varying.varying import place_of
from configurator.verify import verify, verify_order

Named = Literal["count", "device_w", "port_w", "poe_class"]
TENTH = Decimal("0.1")
NO_PORT = "port that suits"


def capacity(
    asked: Asked,
    catalog: Catalog,
    *,
    audit: Audit | None = None,
    stack: str | None = None,
    rules: Iterable[Rule] | None = None,
) -> Capacity:
    """What the bills of a demand's stacks carry besides, figure by figure.

    audit -- the record of the answer whose bills these are; none: the cheapest builds are solved first
    stack -- the name of the one to look at; none: all
    rules -- the rule book; none: `rule_book()`

    BadInput where the builds of the answer are not valid for this demand and catalog.
    """
    book = rule_book() if rules is None else tuple(rules)
    if stack is not None:
        place_of(asked, stack)
    order = _order(asked, catalog, book) if audit is None else _audited(audit, asked, catalog, book)
    stacks = []
    for ask in asked.asks:
        if stack not in (None, ask.stack.name):
            continue
        built = [one for one in order.stacks if one.build.stack == ask.stack.name]
        for one in built:
            stacks.append(_Bill(one, ask, asked, order, catalog, book).told())
        if not built:
            stacks.append(StackCapacity(name=ask.stack.name, copies=ask.stack.copies, rooms=(), builds=(), text=NONE))
    prices, demonstration = catalog.prices, packaged.is_demonstration(catalog)
    return Capacity(
        tool_version=tool_version(),
        customer=asked.demand.customer,
        project=asked.demand.project,
        price_list=ListName(name=encodable(prices.name), issued=prices.issued, valid_until=prices.valid_until),
        catalog=CatalogName(name=encodable(catalog.name), maker=catalog.parts.maker, demonstration=demonstration),
        order_date=asked.asks[0].setting.order_date,
        stacks=tuple(stacks),
        notes=(*([messages.DEMO_NOTE] if demonstration else []), *catalog_notes(catalog)),
    )


NONE = "It has no build, so there is no bill that could carry anything."


def _order(asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Order:
    """The cheapest builds of all stacks that can be met."""
    solver = Solver(catalog, rules)
    found = solver.solved_order(asked)
    return Order(stacks=()) if found is None else found


def _audited(audit: Audit, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Order:
    """The builds of an answer; BadInput where they are not valid."""
    found = list(breaches(audit, asked, catalog, rules))
    if found:
        first = found[0]
        where = f"{first.stack}: " if first.stack else ""
        text = f"the answer is not valid for this demand and catalog: {where}{first.text} ({first.what})"
        hint = "`configurator check` tells all that is wrong with it"
        raise BadInput([Problem("answer", None, None, first.stack, None, text, hint)])
    return audit.order


@dataclass
class _Bill:
    """The bill of one stack, asked about what else it carries."""

    one: Copies
    ask: Ask
    asked: Asked
    order: Order
    catalog: Catalog
    rules: tuple[Rule, ...]

    def __post_init__(self) -> None:
        self.seating = Seating(self.one.build, self.ask, Book(self.rules, self.catalog))
        self.sentences = {rule.id: rule.sentence for rule in self.rules}

    def told(self) -> StackCapacity:
        """Every figure."""
        rooms, builds = [], []
        for key, said in said_by(self.ask):
            for name in _figures(said):
                room, build = self._room(key, said, name)
                rooms.append(room)
                builds.append(build)
        return StackCapacity(
            name=self.ask.stack.name, copies=self.one.copies, rooms=tuple(rooms), builds=tuple(builds), text=""
        )

    def asking(self, key: str, name: Named, value: int | Decimal) -> Ask:
        """The demand with another figure."""
        return with_figure(self.ask, Figure(key, name, value, -1), value)

    def fit(self, ask: Ask) -> Build | None:
        """The build with all of that in place, which passes every check; none: there is none."""
        found = self.seating.seated(ask)
        if found is None or verify(found, ask, self.catalog, self.rules):
            return None
        if any(row.shared for _, row in self.seating.book.limits(ask)) and self._crowded(found, ask):
            return None
        return found

    def _crowded(self, build: Build, ask: Ask) -> bool:
        """Whether the order with this build breaks a limit that stacks share."""
        asks = tuple(ask if one.stack.name == ask.stack.name else one for one in self.asked.asks)
        stacks = tuple(Copies(build=build, copies=one.copies) if one is self.one else one for one in self.order.stacks)
        order = self.order.model_copy(update={"stacks": stacks})
        before = set(verify_order(self.order, self.asked.order, self.catalog, self.rules))
        whole = Asked(self.asked.demand, asks, (), self.asked.statements).order
        return bool(set(verify_order(order, whole, self.catalog, self.rules)) - before)

    def _room(self, key: str, said: AccessPorts | Devices | Uplinks, name: Named) -> tuple[Room, Build]:
        asked = cast("int | Decimal", getattr(said, name))
        if name == "poe_class":
            most, build, after = self._class(key, int(asked))
        else:
            most, build, after = self._most(key, name, asked)
        stops, together = ((), False) if after is None else self._stops(key, name, after)
        rules = tuple(RuleWords(id=one, sentence=self.sentences[one]) for one in stops if one in self.sentences)
        statement = given(key, self.ask)
        unit = "W" if name.endswith("_w") else ""
        return Room(
            statement=statement,
            figure=name,
            words=_words(said, name),
            unit=unit,
            asked=Decimal(asked),
            most=Decimal(most),
            next=None if after is None else Decimal(after),
            no_port=PORTS in stops,
            no_part=PARTS in stops,
            rules=rules,
            together=together,
            text=_text(name, (asked, most, after), stops, rules, together=together),
        ), build

    def _hungriest(self, name: Named) -> Decimal:
        """The most watts that any PoE class gives."""
        rows = self.catalog.poe_classes.values()
        return max((cast("Decimal", getattr(row, name)) for row in rows), default=Decimal(100))

    def _most(self, key: str, name: Named, asked: int | Decimal) -> tuple[int | Decimal, Build, int | Decimal | None]:
        """The largest that fits, and the next; by doubling and halving, since what carries more carries less."""
        step, end = (1, MOST) if name == "count" else (TENTH, self._hungriest(name))
        last = int((end - asked) // step)  # steps that a demand file takes
        low, build, far = 0, self.one.build, 1
        while far <= last and (found := self.fit(self.asking(key, name, asked + far * step))) is not None:
            low, build, far = far, found, far * 2
        high = min(far, last + 1)
        while high - low > 1:
            middle = (low + high) // 2
            found = self.fit(self.asking(key, name, asked + middle * step))
            if found is None:
                high = middle
            else:
                low, build = middle, found
        return asked + low * step, build, asked + high * step if high <= last else None

    def _class(self, key: str, asked: int) -> tuple[int | Decimal, Build, int | Decimal | None]:
        """The hungriest class that fits, and the next hungrier; all are tried."""
        rows = sorted(self.catalog.poe_classes.values(), key=lambda row: (row.port_w, row.poe_class))
        here = self.catalog.poe_classes[asked].port_w
        most, build, after = asked, self.one.build, None
        for row in rows:
            if row.port_w > here:
                found = self.fit(self.asking(key, "poe_class", row.poe_class))
                if found is None:
                    after = row.poe_class
                    break
                most, build = row.poe_class, found
        return most, build, after

    def _stops(self, key: str, name: Named, value: int | Decimal) -> tuple[tuple[str, ...], bool]:
        """What keeps the next from fitting: each alone; else a smallest set of what does so together."""
        ask = self.asking(key, name, value)
        if not self.seating.has_port(ask, key):
            return (NO_PORT,), False
        placed = self.seating.seated(ask)
        if placed is not None:  # it could be placed, and a check objects
            return tuple(dict.fromkeys(rule for rule, _ in verify(placed, ask, self.catalog, self.rules))), False
        limiting = [rule.id for rule in self.seating.book.rules if rule.budgets]
        limiting += [rule for rule, row in self.seating.book.limits(ask) if row.sense == "<=" or row.fitouts]
        every = (PORTS, PARTS, *dict.fromkeys(limiting))
        alone = tuple(one for one in every if self.seating.seated(ask, (one,)) is not None)
        if alone or self.seating.seated(ask, every) is None:
            return alone, False
        left = every
        for one in every:
            fewer = tuple(other for other in left if other != one)
            if self.seating.seated(ask, fewer) is not None:
                left = fewer
        return left, True


def _figures(said: AccessPorts | Devices | Uplinks) -> Iterator[Named]:
    yield "count"
    if isinstance(said, Devices):
        powered: tuple[Named, ...] = ("device_w", "port_w", "poe_class")
        yield from (name for name in powered if getattr(said, name) is not None)


def _words(said: AccessPorts | Devices | Uplinks, name: Named) -> str:
    title = said.kind if isinstance(said, Devices) else said.name or "uplink"
    if isinstance(said, AccessPorts):
        title = said.name or "port"
    told = {"count": "", "device_w": ", watts at each", "port_w": ", watts at each port", "poe_class": ", PoE class"}
    return title + told[name]


def _text(
    name: Named,
    figures: tuple[int | Decimal, int | Decimal, int | Decimal | None],
    stops: tuple[str, ...],
    rules: tuple[RuleWords, ...],
    *,
    together: bool,
) -> str:
    """`12 asked, up to 16 carried, 4 more.  17 can't be placed: no port is left for it.`"""
    asked, most, after = figures
    head, unit = ("class ", "") if name == "poe_class" else ("", "" if name == "count" else " W")

    def told(value: int | Decimal) -> str:
        return f"{head}{shortly(value)}{unit}"

    if most == asked:
        first = f"{told(asked)} asked, and no more is carried."
    elif name == "poe_class":
        first = f"{told(asked)} asked, up to {told(most)} carried."
    else:
        first = f"{told(asked)} asked, up to {told(most)} carried, {shortly(most - asked)}{unit} more."
    if after is None:
        return f"{first} Nothing on the bill stops it there: no more can be asked for."
    why = ["no port of these units suits it with a plug from the bill"] * (NO_PORT in stops)
    why += ["too few ports for it are left" if together else "no port is left for it"] * (PORTS in stops)
    why += ["no optic, cable or other part for it is left on the bill"] * (PARTS in stops)
    why += [f"{rule.sentence.rstrip('.')} ({rule.id})" for rule in rules]
    reasons = "; and ".join(why) if together else "; ".join(why)
    return f"{first} {told(after)} can't be placed: {reasons or 'more than one thing stands against it'}."
