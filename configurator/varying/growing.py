"""Figures of which more never costs less: those that a budget can be asked about.

A larger figure of these asks for all that a smaller one asks for, and more: whatever serves the
larger serves the smaller with some ports left free.  So the cheapest price never falls, and a
figure that fits a budget, with a next one that doesn't, is the largest.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from configurator.catalog import Catalog
from configurator.demand import Stack
from configurator.reading import Asked
from configurator.reading.words import listed, shown
from configurator.varying.varying import Figure, Value, figure_of, wrong

OF_SERVED = ("count", "device_w", "port_w", "spread_over_units")
OF_UPLINKS = ("headroom_uplinks_percent", "headroom_uplinks_count")
WISHES = (
    *("headroom_percent", "headroom_count", *OF_UPLINKS, "headroom_w", "headroom_w_percent"),
    *("units_at_least", "support_months", "licence_months", "depot_km", "cord_m", "copies"),
)
"""Of these a larger figure asks for no less; lengths, speeds and classes are missing on purpose: an optic can be
too strong for a short way, a port too fast for a slow device, and class 0 reserves more than class 1."""
LEAST = {"count": 1, "units_at_least": 1, "copies": 1, "support_months": 1, "licence_months": 1, "spread_over_units": 1}
TENTH = Decimal("0.1")  # of a watt or metre


def growing(name: str, asked: Asked, catalog: Catalog, stack: str | None = None) -> Figure:
    """The figure that a name stands for; BadInput where more of it can cost less."""
    discounts = catalog.prices.discounts
    if stack is None and discounts is not None and discounts.thresholds_minor:
        text = "discounts hold from some value of the order on, so a larger order can cost less"
        hint = "name one stack with --stack, or look at each price with `configurator sweep`"
        raise wrong(name, text, hint)
    one = figure_of(name, asked, stack)
    field, first = one.field, str(one.path[0])
    of_one_stack = stack is not None and field == "copies"
    if of_one_stack or not (field in OF_SERVED if one.served is not None else first in WISHES and len(one.path) == 1):
        known = listed([*OF_SERVED, *WISHES], 40)
        text = f"more of {shown(name)} can cost less, or changes no price"
        raise wrong(name, text, f"a budget can be asked about: {known}")
    held = {place for place in one.stacks if asked.asks[place].stack.oversubscription is not None}
    if held and ((first == "uplinks" and field == "count") or first in OF_UPLINKS):
        text = f"with oversubscription stated more of {shown(name)} can cost less: more uplinks carry more ports"
        raise wrong(name, text, "take oversubscription out, or look at each price with `configurator sweep`")
    return one


def usual(asked: Asked, catalog: Catalog, stack: str | None = None) -> Iterator[str]:
    """What is asked about where nobody says: counts of ports and devices, watts where stated, months of support."""
    for ask in asked.asks:
        if stack not in (None, ask.stack.name):
            continue
        owner = "" if stack is not None or len(asked.asks) == 1 else f"{ask.stack.name}."
        yield from (f"{owner}{name}" for name in _of_stack(ask.stack))
    priced = [ask for ask in asked.asks if stack in (None, ask.stack.name)]
    if catalog.parts.support and all(ask.stack.support_until is None for ask in priced):
        yield "support_months"


def _of_stack(stack: Stack) -> Iterator[str]:
    for key, group in (("ports", stack.ports), ("devices", stack.devices)):
        titles = [getattr(said, "name", None) or getattr(said, "kind", None) for said in group]
        for n, said in enumerate(group):
            title = titles[n]
            plain = (
                title is not None and titles.count(title) == 1 and not set("[]") & set(title) and not title.isdigit()
            )
            name = f"{key}[{title if plain else n}]"
            yield name
            yield from (f"{name}.{field}" for field in ("device_w", "port_w") if getattr(said, field, None) is not None)


def step_of(one: Figure) -> Value:
    """The smallest step of a figure: one, or a tenth of a watt or metre."""
    return 1 if one.whole else TENTH


def least_of(one: Figure, asked: Asked) -> Value:
    """The smallest figure that a demand file takes."""
    if one.served is not None and one.field == "count":
        said = getattr(asked.asks[one.stacks[0]].stack, str(one.path[0]))[one.path[1]]
        return int(getattr(said, "spread_over_units", 1))
    if one.field in ("device_w", "port_w"):
        return TENTH
    return LEAST.get(one.field, 0)
