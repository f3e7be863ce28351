"""The pool in the model: needs of the stack as a whole, met out of boxes, bought, or fallen away."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from configurator.engine.cover import stock_of
from configurator.engine.exchange import tied_parts
from configurator.engine.offers import cheapest_recipe
from configurator.parts import Box
from configurator.rule import Need

if TYPE_CHECKING:
    from configurator.engine.model import StackModel

FAR_ENDS = "far ends"
PoolKey = tuple[str, tuple[tuple[str, ...], ...], frozenset[tuple[str, str]]]  # who, recipes, what makes it fall away


@dataclass
class PoolGroup:
    """Needs that are alike: who has how many, and where what meets them comes from."""

    need: Need
    terms: dict[int, int] = field(default_factory=dict)  # variable -> how many each needs
    takes: dict[tuple[str, ...], int] = field(default_factory=dict)  # recipe with parts of the pool -> variable
    buys: int | None = None  # variable: bought for it
    recipe: tuple[str, ...] = ()


def key_of(need: Need, *, of_unit: bool = False) -> PoolKey:
    """The group of a need: a unit's, the stack's, or that of far ends, where what meets it is in service elsewhere."""
    return "unit" if of_unit else FAR_ENDS if need.slot == "far end" else "stack", need.recipes, need.unless


def pool_rows(model: StackModel) -> None:
    """What is taken out of boxes is in them; every need is met out of boxes or bought, or falls away."""
    if not model.groups:
        return
    book, setting = model.book, model.setting
    takes: dict[str, list[tuple[int, int]]] = {}  # pooled part -> variables and how many each takes
    tied = tied_parts(book, setting) & model.pool
    singly: set[str] = set(tied)  # bought for the pool one by one, not as a recipe
    every = 0
    for _, group in sorted(model.groups.items(), key=lambda item: (item[0][:2], sorted(item[0][2]))):
        most = sum(count * model.model.bounds[var][1] for var, count in group.terms.items())
        every += most * max((len(recipe) for recipe in group.need.recipes), default=0)
        for recipe in group.need.recipes:
            bought = [part for part in recipe if part not in model.pool]
            if len(bought) == len(recipe) or any(book.price_minor(part, setting) is None for part in bought):
                continue
            var = group.takes[recipe] = model.model.variable(0, most)
            model.buy(var, bought)
            pooled = set(recipe) & model.pool
            for held in sorted(pooled):
                takes.setdefault(held, []).append((var, recipe.count(held)))
            if len(recipe) > 1:
                singly |= pooled
        alone = replace(group.need, recipes=tuple(r for r in group.need.recipes if tied.isdisjoint(r)))
        cheapest = cheapest_recipe(book, alone, setting)
        terms = [(var, 1) for var in group.takes.values()]
        if cheapest is not None:
            group.buys, group.recipe = model.model.variable(0, most), cheapest[1]
            model.buy(group.buys, cheapest[1])
            terms.append((group.buys, 1))
        needed = [(var, -count) for var, count in group.terms.items()]
        model.model.at_most(terms + needed, 0)  # what packs leave over is no stack's
        terms += [
            (e, most) for e, accord in zip(model.e, model.accord_of, strict=True) if model.voids(accord, group.need)
        ]
        model.model.at_least(terms + needed, 0)
    gifts = {
        part: [
            (var, -count) for var, c in zip(model.n, model.columns, strict=True) for p, count in c.spare if p == part
        ]
        for part in takes
    }
    for name, part in book.catalog.by_id.items():
        if isinstance(part, Box) or not (part.contents or name in singly):
            continue
        given = {p: free for p, (_, free) in stock_of(book, part).items() if free and p in takes}
        if name in takes:
            given[name] = given.get(name, 0) + 1
        if given and book.sold(name, setting):
            var = model.kits[name] = model.model.variable(0, every)
            model.model.sparing.append(var)
            model.buy(var, [name])
            for p, free in given.items():
                gifts[p].append((var, -free))
    for held, variables in takes.items():
        model.drawn[held] = variables + gifts[held]
        model.model.at_most(model.drawn[held], 0)
        if held in model.kits and not book.catalog.by_id[held].contents:
            model.model.at_most([(model.kits[held], 1), *((var, -count) for var, count in variables)], 0)
