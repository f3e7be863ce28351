"""What changed since an earlier answer, and what each change adds to the price: one at a time, and together."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Literal, cast

from configurator import messages, packaged
from configurator.answer_proof import Waived
from configurator.assemble import tool_version
from configurator.catalog import Catalog, PriceList
from configurator.discounts import Discounts
from configurator.errors import BadInput, Problem
from configurator.money import with_code
from configurator.reading import Asked
from configurator.reading.difference import Change, Difference
from configurator.review.audit import Audit, book_of
from configurator.review.changes import (
    Changes,
    EarlierToday,
    Effect,
    Objection,
    StatementChange,
    Step,
)
from configurator.review.input_changes import changed_files, changed_parts, changed_prices
from configurator.review.pricing import Found, Inputs, Pricer, Technical
from configurator.review.reviewing import at_its_prices, breaches, text_is_its_file
from configurator.rule import Rule
from configurator.solved import WORST_FIRST, Status

MOST_TRIED = 20  # changed statements that are solved one by one; the rest are told


def since(
    earlier: Audit,
    asked: Asked,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    *,
    earlier_catalog: Technical | None = None,
    earlier_prices: PriceList | None = None,
    earlier_discounts: Discounts | None = None,
    waivers: tuple[Waived, ...] = (),
) -> Changes:
    """All that changed since an earlier answer.

    asked           -- today's demand
    catalog         -- today's, with today's prices
    earlier_catalog -- that the answer was made from, where it is at hand and not today's
    earlier_prices  -- likewise
    earlier_discounts -- likewise

    BadInput where the earlier inputs are not those whose hashes the answer holds, or are in another currency.
    """
    return _Comparison(
        earlier, asked, catalog, rules, earlier_catalog, earlier_prices, waivers, earlier_discounts
    ).changes()


class _Comparison:
    def __init__(
        self,
        earlier: Audit,
        asked: Asked,
        catalog: Catalog,
        rules: tuple[Rule, ...],
        earlier_catalog: Technical | None,
        earlier_prices: PriceList | None,
        waivers: tuple[Waived, ...],
        earlier_discounts: Discounts | None,
    ) -> None:
        self.earlier, self.asked, self.catalog, self.rules = earlier, asked, catalog, rules
        self.waivers = waivers
        self.then: Status = min((one.status for one in earlier.stacks), key=WORST_FIRST.index, default="not decided")
        prices = catalog.prices
        if (earlier.currency, earlier.decimals) != (prices.currency, prices.decimals):
            text = f"the earlier answer is in {earlier.currency}, today's price list in {prices.currency}"
            raise _bad("--prices", text, f"name a price list in {earlier.currency}")
        made = {
            role: {one.sha256 for one in earlier.inputs if one.role == role}
            for role in ("catalog", "prices", "discounts")
        }
        own = Technical(catalog.parts, catalog.files, catalog.name)
        hashes = {one.sha256 for one in own.files}
        self.same_catalog, self.same_prices = made["catalog"] == hashes, made["prices"] == {prices.sha256}
        if earlier_catalog is not None and {one.sha256 for one in earlier_catalog.files} != made["catalog"]:
            text = "this is not the catalog that the earlier answer was made from: its files have other hashes"
            raise _bad("--earlier-catalog", text, "name the folder as it was then")
        if earlier_prices is not None and {earlier_prices.sha256} != made["prices"]:
            text = "this is not the price list that the earlier answer was made from: it has another hash"
            raise _bad("--earlier-prices", text, "name the file as it was then")
        now, off = prices.discounts, made["discounts"]
        self.same_discounts = off == ({now.sha256} if now is not None else set())
        if earlier_discounts is not None and {earlier_discounts.sha256} != off:
            text = "these are not the discounts that the earlier answer was made with: the file has another hash"
            raise _bad("--earlier-discounts", text, "name the file as it was then")
        self.discounts_at_hand = self.same_discounts or not off or earlier_discounts is not None
        # what says the same serves for both, so that nothing is solved twice
        alike = earlier_catalog is not None and earlier_catalog.parts == own.parts
        self.earlier_catalog = own if self.same_catalog or alike else earlier_catalog
        alike = earlier_prices is not None and earlier_prices.rows == prices.rows
        self.earlier_prices = prices if self.same_prices or alike else earlier_prices
        said = asked.source.text if asked.source is not None else None
        self.now = Inputs(said or "", asked.asks[0].setting.order_date, own, prices)
        self.difference = None if earlier.demand is None or said is None else Difference(earlier.demand, said)
        self.start = Inputs(
            said or "" if self.difference is None else earlier.demand or "",
            earlier.order_date,
            self.earlier_catalog or own,
            self._with(self.earlier_prices or prices, earlier_discounts if self.discounts_at_hand else now),
        )
        self.pricer = Pricer(rules)

    def _with(self, prices: PriceList, discounts: Discounts | None) -> PriceList:
        """A price list with discounts; today's, where both are."""
        now = self.now.prices
        if self.same_discounts:
            discounts = now.discounts
        same = prices.rows == now.rows and discounts is now.discounts
        return now if same else replace(prices, discounts=discounts)

    # --- the whole ----------------------------------------------------------------------------------

    def changes(self) -> Changes:
        """Everything, the price of each change included."""
        steps, statements = tuple(self._steps()), tuple(self._statements())
        today = self.pricer.found(self.now)
        then = self.earlier.total_minor
        return Changes(
            currency=self.earlier.currency,
            decimals=self.earlier.decimals,
            tool_then=self.earlier.tool_version,
            tool_now=tool_version(),
            date_then=self.earlier.order_date,
            date_now=self.now.date,
            book_then=self.earlier.book,
            book_now=book_of(self.rules),
            status=cast("Status", today.status),  # today's demand was read before
            total_then_minor=then,
            total_now_minor=today.price_minor,
            more_minor=_less(today.price_minor, then),
            demand=statements,
            demand_together_minor=_together(statements, steps),
            files=tuple(changed_files(self.earlier, self.catalog)),
            parts=()
            if self.earlier_catalog is None
            else tuple(changed_parts(self.earlier_catalog.parts, self.catalog.parts)),
            same_prices=self.same_prices,
            same_discounts=self.same_discounts,
            prices=tuple(changed_prices(self.earlier, self.earlier_prices, self.catalog)),
            earlier=self._earlier_today(),
            steps=steps,
            not_told_apart=tuple(self._not_told_apart()),
            notes=(messages.DEMO_NOTE,) if packaged.is_demonstration(self.catalog) else (),
            waivers=tuple(dict.fromkeys((*self.earlier.waivers, *self.waivers))),
        )

    # --- the price, one at a time -------------------------------------------------------------------

    def _steps(self) -> Iterator[Step]:
        """From the earlier price to today's: what is the same is left out, and the rest adds up."""
        start, today = self.pricer.found(self.start), self.pricer.found(self.now)
        then = self.earlier.total_minor
        yield Step(what="earlier", text="The earlier answer", status=self.then, price_minor=then, more_minor=None)
        told = _less(start.price_minor, then)
        if start.price_minor != then or not self._at_hand:
            yield _step("rules", self._start_words(), start, told)
        alone = {what: self.pricer.found(inputs) for what, inputs in self._alone().items()}
        for what, found in alone.items():
            if what == "date" and found.price_minor == start.price_minor:
                continue  # most demands look at no date
            yield _step(what, WORDS[what], found, _less(found.price_minor, start.price_minor))
        more = [_less(found.price_minor, start.price_minor) for found in alone.values()]
        whole = _less(today.price_minor, start.price_minor)
        rest = None if whole is None or None in more else whole - sum(one or 0 for one in more)
        if len(alone) > 1 and rest != 0:
            yield _step("together", "What these changes do only together", today, rest, told=False)
        yield _step("today", "Today's answer, with all changes", today, _less(today.price_minor, then))

    def _alone(self) -> dict[Literal["demand", "date", "catalog", "prices", "discounts"], Inputs]:
        """The starting inputs with one of them as it is today, for each that changed and is at hand."""
        start, now = self.start, self.now
        out: dict[Literal["demand", "date", "catalog", "prices", "discounts"], Inputs] = {}
        if self.difference is not None and self.difference.changes:
            out["demand"] = replace(start, demand=now.demand)
        if start.date != now.date:
            out["date"] = replace(start, date=now.date)
        if self.earlier_catalog is not None and not self.same_catalog:
            out["catalog"] = replace(start, catalog=now.catalog)
        if self.earlier_prices is not None and not self.same_prices:
            out["prices"] = replace(start, prices=replace(now.prices, discounts=start.prices.discounts))
        if self.discounts_at_hand and not self.same_discounts:
            out["discounts"] = replace(start, prices=replace(start.prices, discounts=now.prices.discounts))
        return out

    @property
    def _at_hand(self) -> bool:
        """Whether everything that the earlier answer was made from is, the tool and its rules too."""
        inputs = (self.earlier_catalog, self.earlier_prices, self.difference)
        same = self.discounts_at_hand and (self.earlier.book, self.earlier.tool_version) == (
            book_of(self.rules),
            tool_version(),
        )
        return same and None not in inputs

    @property
    def _was_to_own(self) -> bool:
        """Whether the earlier answer was made for what owning costs over the years."""
        return any(one.life is not None and one.life.bound_minor is not None for one in self.earlier.stacks)

    def _start_words(self) -> str:
        """What stands between the earlier answer and the first order that is solved here."""
        apart = [
            "today's demand" if self.difference is None else "",
            "today's catalog" if self.earlier_catalog is None else "",
            "today's prices" if self.earlier_prices is None else "",
            "" if self.discounts_at_hand else "today's discounts",
            "other rules" if book_of(self.rules) != self.earlier.book else "",
            "another version of this tool" if tool_version() != self.earlier.tool_version else "",
            "no limit of time" if self.then in ("best found", "not decided") else "",
        ]
        named = " and ".join(filter(None, apart))
        to_buy = ", cheapest to buy instead of to own" if self._was_to_own else ""
        return "What was asked then, solved today" + (f" with {named}" if named else "") + to_buy

    def _statements(self) -> Iterator[StatementChange]:
        """Each changed statement with its price, up to a stated number."""
        if self.difference is None:
            return
        start = self.pricer.found(self.start)
        for place, changes in enumerate(self.difference.statements):
            first = changes[0]
            yield StatementChange(
                stacks=tuple(one.stack for one in changes if one.stack),
                key=first.key,
                kind=first.kind,
                then=first.then,
                now=first.now,
                ref=first.ref,
                effect=self._effect(changes, start, tried=place < MOST_TRIED),
            )

    def _effect(self, changes: tuple[Change, ...], start: Found, *, tried: bool) -> Effect:
        assert self.difference is not None
        found = Found("not tried")
        if tried:
            found = self.pricer.found(replace(self.start, demand=self.difference.made(changes)))
        return _effect(found, start, self._money)

    def _money(self, minor: int) -> str:
        return with_code(minor, self.earlier.decimals, self.earlier.currency)

    # --- inputs -------------------------------------------------------------------------------------

    def _earlier_today(self) -> EarlierToday:
        """The earlier order with today's prices, demand, catalog and rules."""
        lines = self.earlier.lines
        catalog = at_its_prices(self.earlier, self.catalog)
        unpriced = tuple(dict.fromkeys(line.part for line in lines if catalog.price_minor(line.part) is None))
        price = None if unpriced else sum(line.quantity * (catalog.price_minor(line.part) or 0) for line in lines)
        built = any(stack.build is not None for stack in self.earlier.stacks)
        accepted = {(one.rule, one.stack): one for one in self.waivers}
        ids = {rule.id for rule in self.rules}
        objections = tuple(
            Objection(
                stack=one.stack,
                rule=one.what,
                text=one.text,
                waived=accepted.get((one.what, one.stack)) if one.what in ids else None,
            )
            for one in (breaches(self.earlier, self.asked, self.catalog, self.rules) if built else ())
        )
        total = self.earlier.total_minor
        return EarlierToday(
            price_minor=price if lines else None,
            more_minor=_less(price, total) if lines else None,
            unpriced=unpriced,
            valid=all(one.waived is not None for one in objections) if built else None,
            objections=objections,
        )

    def _not_told_apart(self) -> Iterator[str]:
        """What could not be told apart, and which option would."""
        if not text_is_its_file(self.earlier):
            yield "The demand in the earlier answer is not the file whose hash it holds: one of the two was changed."
        if self.difference is None:
            yield "The earlier answer holds no demand, so what changed in it can't be told: today's stands in for it."
        if self.earlier_catalog is None:
            yield (
                "The catalog changed and the earlier one is not at hand: today's stands in for it, and what its parts "
                "changed can't be told. Name its folder with --earlier-catalog DIR."
            )
        if self.earlier_prices is None:
            yield (
                "The price list changed and the earlier one is not at hand: today's stands in for it wherever "
                "something is solved again. Name it with --earlier-prices FILE."
            )
        if not self.discounts_at_hand:
            yield (
                "The discounts changed and the earlier ones are not at hand: today's stand in for them wherever "
                "something is solved again. Name their file with --earlier-discounts FILE."
            )
        if book_of(self.rules) != self.earlier.book:
            yield "The rule book changed. Only today's rules can be applied, so all that is solved here keeps these."
        if self._was_to_own:
            yield (
                "The earlier answer was the cheapest to own over years. What is solved here is cheapest to buy, and "
                "what changed in the years isn't looked at: `solve --objective life` tells what owning costs today."
            )
        count = 0 if self.difference is None else len(self.difference.statements)
        if count > MOST_TRIED:
            yield f"{count} statements changed; the first {MOST_TRIED} were solved one by one."


def _together(statements: tuple[StatementChange, ...], steps: tuple[Step, ...]) -> int | None:
    """What changed statements do only together: what all of them do, less what each does."""
    whole = next((one.more_minor for one in steps if one.what == "demand"), None)
    each = [one.effect.more_minor for one in statements]
    return None if whole is None or None in each else whole - sum(one or 0 for one in each)


WORDS: dict[str, str] = {
    "demand": "Only the demand changed",
    "date": "Only the order date changed",
    "catalog": "Only the catalog changed",
    "prices": "Only the prices changed",
    "discounts": "Only the discounts changed",
}


def _step(what: str, text: str, found: Found, more: int | None, *, told: bool = True) -> Step:
    words = f"{text} ({found.why})" if found.why else text
    step = {"what": what, "text": words, "status": found.status, "more_minor": more}
    return Step.model_validate({**step, "price_minor": found.price_minor if told else None})


def _effect(found: Found, start: Found, money: Callable[[int], str]) -> Effect:
    """What a change adds, in words too."""
    more = _less(found.price_minor, start.price_minor)
    if found.status == "not tried":
        text = "not solved by itself"
    elif found.status == "not by itself":
        text = f"makes no sense by itself: {found.why}"
    elif found.price_minor is None:
        text = f"by itself there is no order: {found.why or found.status}"
    elif more is None:
        text = f"by itself it makes the order one that can be had, for {money(found.price_minor)}"
    elif more == 0:
        text = "costs nothing"
    else:
        text = f"{money(abs(more))} {'more' if more > 0 else 'less'}"
    proof = ", not proved cheapest" if found.status == "best found" else ""
    return Effect(status=found.status, price_minor=found.price_minor, more_minor=more, text=text + proof)


def _less(one: int | None, other: int | None) -> int | None:
    return None if one is None or other is None else one - other


def _bad(option: str, text: str, hint: str) -> BadInput:
    return BadInput([Problem(option, None, None, "", None, text, hint)])
