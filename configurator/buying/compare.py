"""Ways to buy one demand side by side: proved cheapest in each, with reasons and break-even prices.

import configurator

found = configurator.compare(asked, catalog)
for side in found.sides:
    print(side.name, side.total_minor, side.difference_minor)
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from configurator import messages, packaged
from configurator.answer import Answer
from configurator.api import catalog_notes, rule_book
from configurator.assemble import tool_version
from configurator.book import Book
from configurator.buying.break_evens import BreakEvens, quantities
from configurator.buying.bundle_use import Sold, passed_over, sold_for
from configurator.buying.comparison import BreakEven, Comparison, Later, Side, Style, TypeStyle
from configurator.buying.later import later
from configurator.buying.orders import Orders
from configurator.buying.prices import as_paid
from configurator.buying.sides import lines_of, side_of, status_of
from configurator.buying.styles import NAMES, bundles_of, in_style, is_bundle, of_type, says_how
from configurator.catalog import Catalog
from configurator.errors import BadInput, Problem
from configurator.money import with_code
from configurator.parts import Box
from configurator.reading import Asked
from configurator.reading.words import did_you_mean, listed, shown
from configurator.rule import Rule

STYLES: tuple[Style, ...] = ("bundles", "base_units")
BY_ITSELF = "A second supply is priced for one stack by itself; packs, spares and shared closets come on top."
DISCOUNTS = "Prices are those after discounts; break-even prices keep the discounts that today's order earns."
MOST_STACKS = 6  # of an order whose bundles' break-even prices are looked for unasked: each takes many solves
TOO_LONG = (
    "Break-even prices of an order of so many stacks take minutes each, so none was looked for: "
    "name a bundle with --bundle, or one stack with --stack."
)
NO_ORDER = "Some stack cannot be met as asked: break-even prices are those of an order, and there is none."


def compare(
    asked: Asked,
    catalog: Catalog,
    *,
    bundles: Iterable[str] | None = None,
    stack: str | None = None,
    rules: Iterable[Rule] | None = None,
    time_limit_s: float | None = None,
) -> Comparison:
    """The cheapest order under each way to buy it, side by side.

    bundles      -- part numbers whose break-even prices are looked for; none: those in some of the orders, where the
                    order has no more than MOST_STACKS stacks
    stack        -- name of one that is compared by itself, without the order's cold spares; none: the whole order
    rules        -- the rule book; none: `rule_book()`
    time_limit_s -- for each stack that is solved; none: no limit

    BadInput where a stack is not known or a part is no bundle; CheckFailed where an independent check
    rejects a solved build.
    """
    book = rule_book() if rules is None else tuple(rules)
    wanted = None if bundles is None else [_bundle(name, catalog) for name in bundles]
    return _Styles(asked if stack is None else _alone(asked, stack), catalog, book, time_limit_s).comparison(wanted)


def _alone(asked: Asked, stack: str) -> Asked:
    """The demand of one stack, one copy of it."""
    names = [ask.stack.name for ask in asked.asks]
    if stack not in names:
        hint = did_you_mean(stack, names, f"known are: {listed(names)}")
        raise BadInput(
            [Problem("--stack", None, None, "", stack, f"no stack of this demand is called {shown(stack)}", hint)]
        )
    place = names.index(stack)
    ask = asked.asks[place]
    one = replace(ask, stack=ask.stack.model_copy(update={"copies": 1, "closet": None}))
    demand = asked.demand.model_copy(update={"spares": (), "stacks": (asked.demand.stacks[place],)})
    return replace(asked, demand=demand, asks=(one,), statements={})


def _bundle(name: str, catalog: Catalog) -> str:
    box, known = catalog.by_id.get(name), [one.id for one in bundles_of(catalog)]
    if isinstance(box, Box) and is_bundle(box) and name in catalog.prices.rows:
        return name
    text = f"this catalog has no bundle {shown(name)}"
    if isinstance(box, Box) and is_bundle(box):
        text, known = f"{shown(name)} has no price", []
    elif name in catalog.by_id:
        text = f"{shown(name)} is no bundle"
    hint = did_you_mean(name, known, f"bundles are: {listed(known)}") if known else "name a bundle that is sold"
    raise BadInput([Problem("--bundle", None, None, "", name, text, hint)])


class _Styles:
    def __init__(self, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None) -> None:
        self.asked, self.catalog, self.rules, self.time_limit_s = asked, catalog, rules, time_limit_s
        self.orders = Orders(catalog, rules, time_limit_s)
        free = self.orders.answer(in_style(asked, "either"))  # first: what is in a style already serves for it
        self.answers: dict[str, Answer] = {key: self.orders.answer(in_style(asked, key)) for key in STYLES}
        self.answers["either"] = free
        self.against = "either"
        if says_how(asked):
            self.against = "asked"
            self.answers["asked"] = self.orders.answer(asked)
        self.base = self.answers[self.against]
        self.sold: Sold = sold_for(asked, catalog, rules)
        self.money = partial(with_code, decimals=catalog.prices.decimals, currency=catalog.prices.currency)

    def comparison(self, bundles: list[str] | None) -> Comparison:
        """Everything."""
        sides = tuple(
            side_of(key, NAMES[key], answer, self.base, as_paid(self.catalog, quantities(answer)), self.sold)
            for key, answer in self.answers.items()
        )
        totals = {side.key: side.total_minor for side in sides if side.total_minor is not None}
        cheapest = tuple(key for key, total in totals.items() if total == min(totals.values()))
        prices, demand = self.catalog.prices, self.asked.demand
        second = tuple(self._later())
        return Comparison(
            tool_version=tool_version(),
            of="styles",
            customer=demand.customer,
            project=demand.project,
            currency=prices.currency,
            decimals=prices.decimals,
            against=self.against,
            status=status_of(self.base),
            cheapest=cheapest,
            why=tuple(self._why(sides, cheapest)),
            sides=sides,
            lines=lines_of(list(self.answers.values()), self.base),
            types=tuple(self._types()),
            break_even=tuple(self._break_even(bundles)),
            later=second,
            changes=(),
            notes=tuple(self._notes(second, looked_for=bundles is not None or not self._is_long())),
        )

    # --- why one way is the cheapest ----------------------------------------------------------------

    def _why(self, sides: tuple[Side, ...], cheapest: tuple[str, ...]) -> Iterator[str]:
        """First what is cheapest and what the others cost more, then what the cheapest is made of."""
        by_key = {side.key: side for side in sides}
        if not cheapest:
            yield "No way of buying meets every stack."
            return
        best = by_key[cheapest[0]]
        total = best.total_minor or 0
        names = " and ".join(by_key[key].name for key in cheapest)
        proof = "" if best.status == "cheapest" else "; not proved cheapest"
        yield f"Cheapest: {names}, {self.money(total)}{proof}."
        for side in sides:
            if side.total_minor is None:
                yield f"{side.name}: {self._impossible(side)}."
            elif side.total_minor > total:
                yield f"{side.name}: {self.money(side.total_minor - total)} more."
        yield from (use.text for use in best.bundles)
        answer = self.answers[best.key]
        yield from passed_over(answer, self.sold, as_paid(self.catalog, quantities(answer)))

    def _impossible(self, side: Side) -> str:
        if side.problem:
            return side.problem
        late = [stack.name for stack in side.stacks if stack.status == "not decided"]
        cannot = [stack.name for stack in side.stacks if stack.status == "cannot be met"]
        if not cannot:
            return f"not decided in time for {messages.listed(late, '; ')}"
        return f"cannot be met for {messages.listed(cannot, '; ')}"

    # --- a style a type -----------------------------------------------------------------------------

    def _types(self) -> Iterator[TypeStyle]:
        """Each type of the order as asked, in each style that it isn't bought in already."""
        boxes = [(unit.type, self.catalog.by_id[unit.box]) for stack in self.base.stacks for unit in stack.units]
        for unit_type in sorted({name for name, _ in boxes}):
            mine = [box for name, box in boxes if name == unit_type and isinstance(box, Box)]
            for style in STYLES:
                if all(is_bundle(box) == (style == "bundles") for box in mine):
                    yield self._type(unit_type, style, self.base)  # as it is
                else:
                    yield self._type(unit_type, style, self.orders.answer(of_type(self.asked, unit_type, style)))

    def _type(self, unit_type: str, style: Style, answer: Answer) -> TypeStyle:
        total, base = answer.total_minor, self.base.total_minor
        more = None if total is None or base is None else total - base
        counts = [unit.type == unit_type for one in answer.stacks for unit in one.units for _ in range(one.copies)]
        name = f"{unit_type}, {NAMES[style]}"
        if answer is self.base:
            text = (
                f"{name}: so it is in the order as asked." if self.against == "asked" else f"{name}: so it is already."
            )
        elif more is None:
            text = f"{name}: no order of all stacks is proved." if status_of(answer) == "not decided" else ""
            text = text or f"{name}: some stack cannot be met."
        else:
            left = "" if sum(counts) else "; the order has none of it then"
            amount = f"{self.money(abs(more))} {'more' if more > 0 else 'less'}" if more else "costs as much"
            text = f"{name}: {amount}{left}."
        return TypeStyle(
            unit_type=unit_type,
            style=style,
            status=status_of(answer),
            total_minor=total,
            difference_minor=more,
            units=None if total is None else sum(counts),
            text=text,
        )

    # --- prices at which it changes -----------------------------------------------------------------

    def _break_even(self, bundles: list[str] | None) -> Iterator[BreakEven]:
        if self.base.total_minor is None:
            return
        others = [self.answers["bundles"]] if self.against == "either" else []
        if bundles is None and self._is_long():
            return
        if bundles is None:
            ordered = {part for answer in (self.base, *others) for part in quantities(answer)}
            bundles = [box.id for box in bundles_of(self.catalog) if box.id in ordered]
        found = BreakEvens(
            self._as_asked,
            self.catalog,
            self.rules,
            self.base,
            time_limit_s=self.time_limit_s,
            stacks=self.orders.stacks,
        )
        yield from (found.of(name, others) for name in bundles)

    # --- a second supply ----------------------------------------------------------------------------

    def _later(self) -> Iterator[Later]:
        """For each stack that differs."""
        for ask in self._as_asked.asks:
            found = later(ask, self.orders)
            if found is not None:
                yield found

    @property
    def _as_asked(self) -> Asked:
        """What the order that the others are compared with asks."""
        return self.asked if self.against == "asked" else in_style(self.asked, "either")

    def _is_long(self) -> bool:
        """Whether looking for break-even prices unasked would take too long."""
        return len(self.asked.asks) > MOST_STACKS

    def _notes(self, second: tuple[Later, ...], *, looked_for: bool) -> Iterator[str]:
        if packaged.is_demonstration(self.catalog):
            yield messages.DEMO_NOTE
        yield from catalog_notes(self.catalog)
        if self.base.total_minor is None:
            yield NO_ORDER
        elif not looked_for:
            yield TOO_LONG
        elif self.catalog.discounted:
            yield DISCOUNTS
        closets = [ask.stack.closet for ask in self.asked.asks if ask.stack.closet is not None]
        shared = len(set(closets)) < len(closets)
        if second and (Book(self.rules, self.catalog).packed() or self.asked.demand.spares or shared):
            yield BY_ITSELF
