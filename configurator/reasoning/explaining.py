"""Why a build is as it is: what each statement costs, what each part is for, what else could be had.

import configurator

explanation = configurator.explain(asked, catalog, stack="Library, floor 2")
for one in explanation.stacks[0].statements:
    print(one.statement.text, one.difference_minor)
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial

from configurator import messages, packaged
from configurator.answer import CatalogName, ListName, StackAnswer
from configurator.api import catalog_notes, rule_book
from configurator.assemble import stack_answer, tool_version
from configurator.book import Book
from configurator.catalog import Catalog
from configurator.conflicts.nearest import nearest
from configurator.conflicts.refused import encodable
from configurator.engine.model import StackModel
from configurator.engine.order import solve_order
from configurator.engine.search import Search, solve_stack
from configurator.engine.tiers import earned
from configurator.errors import BadInput, Problem
from configurator.money import with_code
from configurator.reading import Asked
from configurator.reading.otherwise import tighter, ways, why_no_other
from configurator.reading.words import did_you_mean, listed, shown
from configurator.reasoning.carrying import carried
from configurator.reasoning.checked import check, given_of
from configurator.reasoning.explanation import Explanation, LineNeed, Priced, StackExplanation
from configurator.reasoning.forced import forced_with, forced_without
from configurator.reasoning.part_forced import solve_without
from configurator.reasoning.statement_prices import Found, Money, otherwise, sentence, set_aside
from configurator.reasoning.story import carries, drives, fullness
from configurator.rule import Rule
from configurator.setting import Ask, OrderAsk, Statement
from configurator.solved import WORST_FIRST, Conflict, Status

NOT_ADDED = "Each statement is set aside by itself: what two of them cost together is not the sum of both."
BY_ITSELF = "Prices are those of one stack by itself; packs, spares and shared closets of the order come on top."


def explain(
    asked: Asked,
    catalog: Catalog,
    *,
    stack: str | None = None,
    with_part: tuple[str, int] | None = None,
    without_part: str | None = None,
    rules: Iterable[Rule] | None = None,
    time_limit_s: float | None = None,
) -> Explanation:
    """Why the cheapest builds are as they are, and what else could be had.

    stack        -- the name of the one to explain; none: all
    with_part    -- a part number (or unit type) and how many at least: the cheapest build that has so many
    without_part -- a part number (or unit type): the cheapest build that has none
    rules        -- the rule book; none: `rule_book()`
    time_limit_s -- for each thing that is solved; none: no limit

    BadInput where a name is not known; CheckFailed where an independent check rejects a solved build.
    """
    book = rule_book() if rules is None else tuple(rules)
    catalog = earned(asked.order, catalog, book, time_limit_s)
    stacks = tuple(
        explained(
            asked, catalog, book, stack=stack, with_part=with_part, without_part=without_part, time_limit_s=time_limit_s
        )
    )
    forced = with_part is not None or without_part is not None
    order = () if stack is not None or forced else tuple(order_prices(asked, catalog, book, time_limit_s))
    return whole(asked, catalog, stacks, order)


def whole(
    asked: Asked, catalog: Catalog, stacks: tuple[StackExplanation, ...], order: tuple[Priced, ...]
) -> Explanation:
    """All stacks' explanations under one head."""
    prices, demonstration = catalog.prices, packaged.is_demonstration(catalog)
    return Explanation(
        tool_version=tool_version(),
        customer=asked.demand.customer,
        project=asked.demand.project,
        currency=prices.currency,
        decimals=prices.decimals,
        price_list=ListName(name=encodable(prices.name), issued=prices.issued, valid_until=prices.valid_until),
        catalog=CatalogName(name=encodable(catalog.name), maker=catalog.parts.maker, demonstration=demonstration),
        order_date=asked.asks[0].setting.order_date,
        status=min((one.stack.status for one in stacks), key=WORST_FIRST.index),
        stacks=stacks,
        order=order,
        notes=(*([messages.DEMO_NOTE] if demonstration else []), *_earned_note(catalog), *catalog_notes(catalog)),
    )


def _earned_note(catalog: Catalog) -> Iterator[str]:
    """Which discounts hold for every price of an explanation, where they depend on the order."""
    discounts = catalog.prices.discounts
    if discounts is not None and discounts.thresholds_minor:
        reached = catalog.prices.order_minor
        yield messages.earned(_money(catalog, reached) if reached else None)


def explained(
    asked: Asked,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    *,
    stack: str | None = None,
    with_part: tuple[str, int] | None = None,
    without_part: str | None = None,
    time_limit_s: float | None = None,
    as_found: Callable[[Ask, Conflict], None] | None = None,
) -> Iterator[StackExplanation]:
    """One stack after the other, as soon as it is explained; see `explain`.

    as_found -- is told each conflict of a stack that cannot be met as soon as it is known.
    """
    names = [ask.stack.name for ask in asked.asks]
    if stack is not None and stack not in names:
        raise _unknown("--stack", stack, names, "no stack of this demand is called")
    known = [*catalog.by_id, *catalog.unit_types]
    for option, part in (("--with", with_part[0] if with_part else None), ("--without", without_part)):
        if part is not None and part not in known:
            raise _unknown(option, part, known, "this catalog has no part")
    for ask in asked.asks:
        if stack in (None, ask.stack.name):
            one = _Stack(asked, ask, catalog, rules, time_limit_s, as_found)
            yield one.forced(with_part, without_part) if with_part or without_part else one.story()


def nearest_file(asked: Asked, catalog: Catalog, rules: tuple[Rule, ...], stack: str | None, label: str) -> str:
    """The demand file of a change that would help a stack that cannot be met, by its label; see `nearest`.

    stack -- its name; none: the demand has one stack only
    """
    names = [ask.stack.name for ask in asked.asks]
    if stack is None and len(names) > 1:
        text, hint = "a demand of several stacks needs to know which", f"name one with --stack: {listed(names)}"
        raise BadInput([Problem("--nearest", None, None, "", label, text, hint)])
    if stack is not None and stack not in names:
        raise _unknown("--stack", stack, names, "no stack of this demand is called")
    place = 0 if stack is None else names.index(stack)
    ask = asked.asks[place]
    answer = stack_answer(solve_stack(ask, catalog, rules), ask, catalog, rules, ask.stack.copies)
    return nearest(asked, place, answer, label)


def _unknown(option: str, name: str, known: Iterable[str], text: str) -> BadInput:
    every = sorted(set(known))
    hint = did_you_mean(name, every, f"known are: {listed(every)}")
    return BadInput([Problem(option, None, None, "", name, f"{text} {shown(name)}", hint)])


class _Stack:
    """One stack: solved and checked, then explained."""

    def __init__(
        self,
        asked: Asked,
        ask: Ask,
        catalog: Catalog,
        rules: tuple[Rule, ...],
        time_limit_s: float | None,
        as_found: Callable[[Ask, Conflict], None] | None,
    ) -> None:
        self.asked, self.ask, self.catalog, self.rules = asked, ask, catalog, rules
        self.time_limit_s = time_limit_s
        self.search = Search(StackModel(Book(rules, catalog), ask))
        self.here = solve_stack(
            ask, catalog, rules, time_limit_s, as_found=None if as_found is None else partial(as_found, ask)
        )
        if self.here.build is not None:
            check(self.here.build, self.here, ask, catalog, rules)
        self.answer: StackAnswer = stack_answer(self.here, ask, catalog, rules, ask.stack.copies)
        self.money = partial(_money, catalog)
        self.given = {key: given_of(one) for key, one in ask.statements.items()}

    def story(self) -> StackExplanation:
        """What a stack's build is like, what drives it and what everything in it costs."""
        if self.here.build is None or self.here.price_minor is None:
            return self._told()
        status, counts, *_ = self.search.run()
        still = [] if counts is None or status != "optimal" else list(carried(self.search.model, counts))
        found = list(set_aside(self.ask, self.catalog, self.rules, self.here, self.time_limit_s))
        return self._told(
            drives=drives(self.answer, found, self.given),
            fullness=fullness(self.answer, self.ask, self.catalog),
            carries=carries(still, self.given, {rule.id: rule.sentence for rule in self.rules}),
            lines=tuple(self._lines()),
            statements=tuple(priced(one, self.here.price_minor, self.money) for one in found),
            assumptions=tuple(self._assumptions(self.here.price_minor)),
            notes=(NOT_ADDED, *self._notes()),
        )

    def forced(self, with_part: tuple[str, int] | None, without_part: str | None) -> StackExplanation:
        """What a part would change."""
        if self.here.build is None:
            return self._told()
        out = []
        if with_part is not None:
            out.append(forced_with(self.ask, *with_part, self.here, self.catalog, self.rules, self.time_limit_s))
        if without_part is not None:
            out.append(forced_without(self.ask, without_part, self.here, self.catalog, self.rules, self.time_limit_s))
        return self._told(forced=tuple(out), notes=tuple(self._notes()))

    def _told(self, **parts: object) -> StackExplanation:
        nothing: dict[str, object] = dict.fromkeys(
            ("drives", "fullness", "carries", "lines", "statements", "assumptions", "forced", "notes"), ()
        )
        return StackExplanation.model_validate({"stack": self.answer, **nothing, **parts})

    def _notes(self) -> Iterator[str]:
        book = Book(self.rules, self.catalog)
        closet = self.ask.stack.closet
        shared = closet is not None and sum(one.stack.closet == closet for one in self.asked.asks) > 1
        if book.packed() or self.asked.demand.spares or shared:
            yield BY_ITSELF

    def _lines(self) -> Iterator[LineNeed]:
        """Each line of the bill: the cheapest build without that part."""
        here = self.here.price_minor or 0
        for line in self.answer.bill:
            other = solve_without(self.ask, line.part, self.catalog, self.rules, self.time_limit_s)
            if other.status == "cannot be met":
                text = "Required: no valid build is without it."
                yield LineNeed(line=line, need="required", without_minor=None, difference_minor=None, text=text)
            elif other.price_minor is None or other.status != "cheapest":
                text = "Not decided: time ran out before the cheapest build without it was proved."
                yield LineNeed(
                    line=line, need="not decided", without_minor=other.price_minor, difference_minor=None, text=text
                )
            else:
                more = other.price_minor - here
                dearer = f"costs {self.money(more)} more" if more else "costs as much"
                text = f"Cheapest: the next best build, without it, {dearer}: {self.money(other.price_minor)}."
                yield LineNeed(
                    line=line, need="cheapest", without_minor=other.price_minor, difference_minor=more, text=text
                )

    def _assumptions(self, price_minor: int) -> Iterator[Priced]:
        """Each assumption about this stack in each other way."""
        for one in self.asked.assumptions:
            if self.ask.stack.name not in one.stacks:
                continue
            statement = Statement(one.key, one.text, assumed=True)
            tried = ways(one, self.ask, self.catalog)
            if not tried:
                yield priced(Found(statement, None, "kept", why=why_no_other(one.key)), price_minor, self.money)
            for found in otherwise(
                self.ask,
                statement,
                tried,
                self.catalog,
                self.rules,
                self.here,
                self.time_limit_s,
                tighter=tighter(one, self.ask),
            ):
                yield priced(found, price_minor, self.money)


def priced(found: Found, price_minor: int, money: Money, what: str = "build") -> Priced:
    """What was found of a statement, in words."""
    more = None if found.price_minor is None else found.price_minor - price_minor
    return Priced(
        statement=given_of(found.statement),
        tried=found.tried,
        status=found.status,
        price_minor=found.price_minor,
        difference_minor=more,
        text=sentence(found, price_minor, money, what),
    )


def order_prices(
    asked: Asked, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None = None
) -> Iterator[Priced]:
    """What each statement about the order as a whole costs: the order without it."""
    if not asked.statements:
        return
    order, keys = asked.order, list(asked.statements)
    here = solve_order(order, catalog, rules, time_limit_s)
    if here.price_minor is None:
        return
    for place, key in enumerate(keys):
        rest = tuple(one for n, one in enumerate(order.spares) if n != place)
        names = {k: one for k, one in order.statements.items() if k != key}
        other = solve_order(OrderAsk(order.asks, rest, names), catalog, rules, time_limit_s)
        proved: Status = "cheapest" if other.price_minor == other.bound_minor else "best found"
        status = proved if other.price_minor is not None else other.status
        found = Found(asked.statements[key], None, status, other.price_minor, other.bound_minor)
        yield priced(found, here.price_minor, partial(_money, catalog), "order")


def _money(catalog: Catalog, minor: int) -> str:
    return with_code(minor, catalog.prices.decimals, catalog.prices.currency)
