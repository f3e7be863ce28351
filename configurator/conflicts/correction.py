"""What would help a demand that cannot be met: priced, and with each figure moved no further than it must."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.conflicts.loosen import Figure, Value, fewest_steps, figures, with_figure
from configurator.conflicts.relax import SERVED, without
from configurator.kinds import kinds_of
from configurator.setting import Ask
from configurator.solved import Correction, Lowered

if TYPE_CHECKING:
    from configurator.conflicts.conflict import Explainer


def corrected(explainer: Explainer, found: Iterable[list[frozenset[str]]]) -> tuple[Correction, ...]:
    """Corrections with their prices, cheapest first, those that leave nothing to order last.

    found -- sets of statements, those together that ask for the same.
    """
    every = [
        replace(_corrected(explainer, same[0]), alike=tuple(explainer.in_order(other) for other in same[1:]))
        for same in found
    ]
    order = {atom: place for place, atom in enumerate(explainer.atoms)}

    def rank(one: Correction) -> tuple[object, ...]:
        prices = [p for p in (one.price_minor, *(each.price_minor for each in one.lowered)) if p is not None]
        return (not prices, min(prices, default=0), len(one.aside), [order[key] for key in one.aside])

    return tuple(sorted(every, key=rank))


def _corrected(explainer: Explainer, keys: frozenset[str]) -> Correction:
    aside = explainer.in_order(keys)
    price = _price_minor(explainer, without(explainer.ask, keys))
    lowered = [
        one
        for key in aside
        for figure in figures(explainer.ask, key)
        if (one := _lowered(explainer, figure, keys - {key})) is not None
    ]
    return Correction(aside, price, not kinds_of(without(explainer.ask, keys)), tuple(lowered))


def _lowered(explainer: Explainer, figure: Figure, aside: frozenset[str]) -> Lowered | None:
    """The figure moved by the fewest steps that help; none: however far, it doesn't."""

    def asked(value: Value) -> Ask:
        return without(with_figure(explainer.ask, figure, value), aside)

    def possible(value: Value) -> bool:
        own = figure.key.startswith(SERVED) and figure.field != "count"  # else the frame of another value serves
        framed = (figure, value) if own else None
        return explainer.met(asked(value), framed)

    steps = fewest_steps(figure, possible)
    if steps is None or not explainer.sure:
        return None
    works = figure.at(steps)
    fails = figure.said if steps == 1 else figure.at(steps - 1)
    price = _price_minor(explainer, asked(works))
    return Lowered(figure.key, figure.field, _plain(figure.said), _plain(works), _plain(fails), price)


def _price_minor(explainer: Explainer, ask: Ask) -> int | None:
    """Price of the cheapest build; none where there is nothing to order, or where time ran out."""
    from configurator.engine.search import solve_stack  # which looks for corrections too

    if not kinds_of(ask):
        return None
    solved = solve_stack(ask, explainer.catalog, explainer.rules, explainer.left_s(), explain=False)
    return solved.price_minor if solved.status == "cheapest" else None


def _plain(value: Value) -> str:
    return f"{value.normalize():f}" if hasattr(value, "normalize") else str(value)
