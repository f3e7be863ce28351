"""Break-even prices of bundles in words and figures, beside the order as it is today."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping
from decimal import Decimal
from typing import Literal

from configurator.answer import Answer
from configurator.buying.break_even import BreakEvenSearch, Flip, Having, times_for
from configurator.buying.comparison import BreakEven
from configurator.buying.prices import Repriced, as_paid
from configurator.catalog import Catalog
from configurator.messages import number
from configurator.money import with_code
from configurator.reading import Asked
from configurator.rule import Rule
from configurator.solved import Solved


def quantities(answer: Answer) -> Counter[str]:
    """What is ordered, by part."""
    found: Counter[str] = Counter()
    for line in answer.bill:
        found[line.part] += line.quantity
    return found


class BreakEvens:
    """Break-even prices of the bundles of one order."""

    def __init__(
        self,
        asked: Asked,
        catalog: Catalog,
        rules: tuple[Rule, ...],
        today: Answer,
        *,
        time_limit_s: float | None = None,
        stacks: Mapping[Hashable, Solved] | None = None,
    ) -> None:
        """Nothing is solved yet.

        today  -- the cheapest order as asked
        stacks -- the cheapest builds of its stacks, by `sameness`
        """
        self.asked, self.catalog, self.rules, self.today = asked, catalog, rules, today
        self.time_limit_s = time_limit_s
        self.paid = as_paid(catalog, quantities(today))
        self.stacks = stacks if self.paid is catalog else None
        self.prices = Repriced(self.paid, times_for(asked.order, self.paid))

    def of(self, bundle: str, others: Iterable[Answer] = ()) -> BreakEven:
        """The highest price of a bundle at which the cheapest order has one.

        others -- orders that are valid for what is asked too, and may have the bundle
        """
        search = BreakEvenSearch(bundle, self.asked, self.prices, self.rules, self.time_limit_s, self.stacks)
        known = [one for answer in (self.today, *others) if (one := _having(bundle, answer, self.paid)) is not None]
        flip = search.run(known[0] if known else None)
        here, price = self.paid.price_minor(bundle) or 0, flip.price_minor
        ordered = quantities(self.today)[bundle]
        return BreakEven(
            bundle=bundle,
            description=self.catalog.by_id[bundle].description,
            paid_minor=here,
            ordered=ordered,
            outcome=_outcome(flip),
            price_minor=price,
            change_minor=None if price is None else price - here,
            change_percent=None if price is None else change_percent(here, price),
            with_minor=flip.with_minor,
            without_minor=flip.without_minor,
            solved=flip.solved,
            text=_text(flip, here, ordered, self.catalog),
        )


def change_percent(paid_minor: int, price_minor: int) -> Decimal | None:
    """From one price to the other in percent of the first, rounded down to a tenth; none of nothing."""
    if paid_minor == 0:
        return None
    return Decimal((price_minor - paid_minor) * 1000 // paid_minor) / 10


def _having(bundle: str, answer: Answer, catalog: Catalog) -> Having | None:
    ordered = quantities(answer)
    if answer.total_minor is None or not ordered[bundle]:
        return None
    rest = sum(count * (catalog.price_minor(part) or 0) for part, count in ordered.items() if part != bundle)
    return Having(ordered[bundle], rest)


def _outcome(flip: Flip) -> Literal["flips", "always", "never", "not decided"]:
    if not flip.decided:
        return "not decided"
    if flip.without_minor is None:
        return "always"
    return "never" if flip.price_minor is None else "flips"


def _text(flip: Flip, paid_minor: int, ordered: int, catalog: Catalog) -> str:
    def money(minor: int) -> str:
        return with_code(minor, catalog.prices.decimals, catalog.prices.currency)

    outcome, price, without = _outcome(flip), flip.price_minor, flip.without_minor
    if outcome == "not decided":
        return "Not decided: time ran out before the cheapest order at some price was proved."
    if outcome == "always":
        return "At any price: no valid order is without it."
    if price is None or without is None:
        return "At no price: even for nothing it would not make the order cheaper."
    percent = change_percent(paid_minor, price)
    change = "" if not percent else f" ({number(abs(percent))} % {'above' if percent > 0 else 'below'} today's)"
    if price >= paid_minor and ordered:
        then = f"at {money(price + 1)} the order without it is cheaper, {money(without)}"
        return f"Stays in the order up to {money(price)}{change}; {then}."
    if price >= paid_minor:
        return f"As cheap with it today, and up to {money(price)}{change}."
    return f"Comes into the order at {money(price)} or less{change}; above that the order without it is cheaper."
