"""Arrangements with what their links cost."""

from __future__ import annotations

from dataclasses import dataclass

from configurator.arrange import Stacking, arrangements, modes
from configurator.book import Book
from configurator.fitout import Arrangement, Mode
from configurator.offers import cheapest_recipe, is_pooled
from configurator.rule import Need
from configurator.setting import Ask


@dataclass(frozen=True)
class PricedArrangement:
    """An arrangement with what it needs, and the price of that where no box could hold it."""

    arrangement: Arrangement
    needs: tuple[tuple[str, Need], ...]
    price_minor: int

    @property
    def units(self) -> int:
        """How many units."""
        return self.arrangement.units

    @property
    def mode(self) -> Mode | None:
        """How they stack; none: alone."""
        return self.arrangement.mode


def priced_arrangements(
    book: Book, ask: Ask, stackings: list[Stacking], most: int, pool: frozenset[str]
) -> list[PricedArrangement]:
    """Arrangements that can be ordered; of equal units and mode only the cheapest, unless boxes hold cables."""
    kept: list[PricedArrangement] = []
    cheapest: dict[object, int] = {}
    for arrangement in arrangements(book, ask, modes(book, stackings), most):
        needs = tuple(book.stack_needs(arrangement, ask.setting))
        priced = [(need, cheapest_recipe(book, need, ask.setting)) for _, need in needs]
        if any(found is None and not is_pooled(need, pool) for need, found in priced):
            continue
        bought = [(need, found) for need, found in priced if found is not None and not is_pooled(need, pool)]
        one = PricedArrangement(arrangement, needs, sum(found[0] * need.count for need, found in bought))
        key = (one.units, one.mode)
        if len(bought) < len(priced):
            kept.append(one)
        elif key not in cheapest:
            cheapest[key] = len(kept)
            kept.append(one)
        elif one.price_minor < kept[cheapest[key]].price_minor:
            kept[cheapest[key]] = one
    return kept
