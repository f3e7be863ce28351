"""The most that a budget buys: of each figure of a demand the largest whose cheapest price is within an amount.

import configurator

budget = configurator.budget(asked, catalog, 25_000_00, stack="Library, floor 2")
for reach in budget.reaches:
    print(reach.name, reach.most_words, reach.price_minor)

Prices of these figures never fall as they grow (see `growing`): by doubling and halving the steps
one figure is found that fits while the next one does not.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from configurator import messages, packaged
from configurator.answer import CatalogName, ListName
from configurator.answer_refusal import ConflictWords
from configurator.api import catalog_notes, rule_book
from configurator.assemble import tool_version
from configurator.catalog import Catalog
from configurator.conflicts.refused import encodable
from configurator.errors import BadInput
from configurator.money import with_code
from configurator.reading import Asked
from configurator.reading.words import shown
from configurator.rule import Rule
from configurator.varying.budget import Beyond, Budget, Reach
from configurator.varying.growing import growing, least_of, step_of, usual
from configurator.varying.solving import Outcome, Solver, why_not
from configurator.varying.varying import Figure, Value, place_of, with_figures, wrong

HIGHEST = 10**12  # of the currency's major unit
_AMOUNT = re.compile(r"[0-9]{1,13}(?:\.([0-9]{1,4}))?")


def amount_minor(text: str, catalog: Catalog) -> int:
    """An amount in the currency of the price list, in its minor unit; BadInput where it is none."""
    prices = catalog.prices
    found = _AMOUNT.fullmatch(text.strip())
    if not found or Decimal(text.strip()) > HIGHEST:
        hint = f"write digits with a dot and nothing else, in {prices.currency}: 25000.00"
        raise wrong(text, f"{shown(text)} is no amount", hint, "--amount")
    whole, _, fraction = text.strip().partition(".")
    if len(fraction) > prices.decimals:
        hint = f"{prices.currency} has {prices.decimals} decimals by ISO 4217: write no more"
        raise wrong(text, f"{shown(text)} has {len(fraction)} decimals", hint, "--amount")
    return int(whole + fraction.ljust(prices.decimals, "0"))


def budget(
    asked: Asked,
    catalog: Catalog,
    amount: int,
    vary: Iterable[str] = (),
    *,
    stack: str | None = None,
    rules: Iterable[Rule] | None = None,
) -> Budget:
    """For each figure of a demand the largest that an amount buys, all else as stated.

    amount -- in the currency's minor unit; see `amount_minor`
    vary   -- figures of the demand file: `ports`, `devices[access point]`, `support_months` …; none: each count of
              ports and devices, their watts where stated, months of support
    stack  -- name of the one that the amount is for; none: the whole order
    rules  -- the rule book; none: `rule_book()`

    BadInput where a figure can't be used: of some more can cost less.
    """
    book = rule_book() if rules is None else tuple(rules)
    place = None if stack is None else place_of(asked, stack)
    figures = [growing(name, asked, catalog, stack) for name in (tuple(vary) or tuple(usual(asked, catalog, stack)))]
    solver = Solver(catalog, book)
    now = solver.outcome(asked, place)
    reaches = tuple(_Seeker(asked, catalog, amount, one, place, solver).reach(now) for one in figures)
    prices, demonstration = catalog.prices, packaged.is_demonstration(catalog)
    return Budget(
        tool_version=tool_version(),
        customer=asked.demand.customer,
        project=asked.demand.project,
        stack=stack,
        currency=prices.currency,
        decimals=prices.decimals,
        price_list=ListName(name=encodable(prices.name), issued=prices.issued, valid_until=prices.valid_until),
        catalog=CatalogName(name=encodable(catalog.name), maker=catalog.parts.maker, demonstration=demonstration),
        order_date=asked.asks[0].setting.order_date,
        amount_minor=amount,
        status=now.status,
        price_minor=now.price_minor,
        left_minor=None if now.price_minor is None else amount - now.price_minor,
        reaches=reaches,
        notes=(*([messages.DEMO_NOTE] if demonstration else []), *catalog_notes(catalog)),
    )


@dataclass
class _Seeker:
    """One figure, and what is known of its values."""

    asked: Asked
    catalog: Catalog
    amount: int
    figure: Figure
    place: int | None
    solver: Solver
    known: dict[Value, Outcome | BadInput] = field(default_factory=dict)

    def outcome(self, value: Value) -> Outcome | BadInput:
        """What the demand costs with this value, or why the demand file doesn't take it."""
        if value not in self.known:
            try:
                here = with_figures(self.asked, [(self.figure, value)], self.catalog)
                self.known[value] = self.solver.outcome(here, self.place)
            except BadInput as error:
                self.known[value] = error
        return self.known[value]

    def fits(self, value: Value) -> bool:
        """Whether the budget does; a valid build that nobody proved cheapest will do, too."""
        found = self.outcome(value)
        return isinstance(found, Outcome) and found.price_minor is not None and found.price_minor <= self.amount

    def sure(self, value: Value) -> bool:
        """Whether it is known that the budget does, or that it can't."""
        found = self.outcome(value)
        if isinstance(found, BadInput) or self.fits(value) or found.status in ("cheapest", "cannot be met"):
            return True
        return found.bound_minor is not None and found.bound_minor > self.amount

    def reach(self, now: Outcome) -> Reach:
        """The largest that fits, and the next."""
        low, high = self._between()
        one = self.figure
        found = None if low is None else self.outcome(low)
        price = found.price_minor if isinstance(found, Outcome) else None
        beyond = None if high is None else self._beyond(high)
        return Reach(
            name=one.name,
            words=one.words,
            unit="Mb/s" if one.is_speed else one.unit,
            stated=None if one.stated is None else Decimal(one.stated),
            most=None if low is None else Decimal(low),
            most_words="" if low is None else self._told(low),
            price_minor=price,
            left_minor=None if price is None else self.amount - price,
            next=beyond,
            proved=high is not None and self.sure(high),
            text=self._text(low, price, beyond, now),
        )

    def _between(self) -> tuple[Value | None, Value | None]:
        """The largest value that fits and the next one, which doesn't; none: there is no such."""
        step, least = step_of(self.figure), least_of(self.figure, self.asked)
        start = max(least, self.figure.stated if self.figure.stated is not None else least)
        if not self.fits(start):
            if start == least or not self.fits(least):
                return None, least
            return self._halve(least, start, step)
        steps, low = 1, start
        while self.fits(start + steps * step):
            low, steps = start + steps * step, steps * 2
        return self._halve(low, start + steps * step, step)

    def _halve(self, low: Value, high: Value, step: Value) -> tuple[Value, Value]:
        """`low` fits, `high` doesn't: the same of neighbours; a value off the steps comes between whole ones."""
        while high - low > step:
            middle = low + (high - low) // step // 2 * step
            middle = middle if low < middle < high else low + step
            low, high = (middle, high) if self.fits(middle) else (low, middle)
        return low, high

    def _beyond(self, value: Value) -> Beyond:
        found = self.outcome(value)
        words = self._told(value)
        if isinstance(found, BadInput):
            text = f"The demand file takes no {words}: {found.problems[0].text}."
            return Beyond(figure=Decimal(value), words=words, status="not taken", price_minor=None, over_minor=None,
                          conflict=None, text=text)  # fmt: skip
        conflict: ConflictWords | None = None if found.refused is None else self.solver.conflict(found.refused)
        over = None if found.price_minor is None else found.price_minor - self.amount
        if found.price_minor is not None and over is not None:
            proof = "" if found.status == "cheapest" else " at best known"
            text = f"{words} would cost {self._money(found.price_minor)}{proof}, {self._money(over)} too much."
        elif found.status == "not decided":
            text = f"Whether {words} can be had was not decided in time."
        else:
            text = " ".join([f"{words} cannot be met.", *why_not(found, conflict)])
        status = "cannot be met" if found.problem else found.status
        return Beyond(figure=Decimal(value), words=words, status=status, price_minor=found.price_minor,
                      over_minor=over, conflict=conflict, text=text)  # fmt: skip

    def _text(self, most: Value | None, price: int | None, beyond: Beyond | None, now: Outcome) -> str:
        told = "" if beyond is None else f" {beyond.text}"
        if most is None or price is None:
            return f"Nothing fits the budget.{told}"
        stated = self.figure.stated
        if stated is None:
            than = "nothing stated"
        elif most == stated:
            than = "as stated"
        else:
            far = most - stated if most > stated else stated - most
            than = f"{self.figure.told(far)} {'more' if most > stated else 'less'} than stated"
        left = self._money(self.amount - price)
        fewer = " instead" if now.price_minor is None or now.price_minor > self.amount else ""
        return f"Up to {self._told(most)}{fewer}, {than}, for {self._money(price)}, {left} left.{told}"

    def _told(self, value: Value) -> str:
        """The value with its unit; whole years of months beside them."""
        words = self.figure.told(value)
        if self.figure.unit == "months" and value and value % 12 == 0:
            years = int(value) // 12
            words += f" ({years} {'year' if years == 1 else 'years'})"
        return words

    def _money(self, minor: int) -> str:
        return with_code(minor, self.catalog.prices.decimals, self.catalog.prices.currency)
