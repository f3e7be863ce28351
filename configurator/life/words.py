"""Sentences about the years of ownership."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from configurator.demand import Life
from configurator.life.result import LifeCost, Proved, StackLife
from configurator.life.terms import DAYS_A_YEAR, Terms
from configurator.messages import counted, number
from configurator.money import plain, with_code

if TYPE_CHECKING:
    from configurator.answer import Answer, StackAnswer

PROVED: dict[Proved, str] = {
    "cheapest to own": (
        "Every choice of whole units, of what serves each device and of how units are linked is in the model, with "
        "what it draws; the lower bound of the cost over the years equals the cost (where stacks are coupled, but for "
        "less than one minor unit), so no valid order costs less to own. The cheapest to buy was proved by itself."
    ),
    "best found": "The lower bound of the cost over the years is below the cost found: a valid order may cost less.",
    "not looked for": "",
}
NO_YEARS = "the demand says nothing of the years of ownership, so nothing is known of what a build costs to own"
NO_YEARS_HINT = "add `life: {years: 5, energy_per_kwh: 0.28}` to the demand file, or leave --objective life out"
BY_VALUE = "discounts that depend on the order's value can't be taken with --objective life"
BY_VALUE_HINT = "solve with --objective purchase, or with discounts that hold for any order"


def proved(kind: Proved) -> str:
    """What was proved of an order's cost over the years, and how."""
    return PROVED[kind]


def assumptions(life: Life, terms: Terms, answer: Answer) -> Iterator[str]:
    """How the cost over the years is reckoned, with what nobody said."""
    price = f"{number(life.energy_per_kwh)} {answer.currency} a kWh"
    yield f"energy costs {price} in every year; a year has {DAYS_A_YEAR} days"
    if terms.rate:
        percent = number(life.discount_rate_percent)
        factor = f"{float(terms.energy_factor):.4f}"
        yield (
            f"a year's costs are paid at its end, and {percent} % a year is taken off what is paid later: 1 a year for "
            f"{counted(life.years, 'year', 'years')} is worth {factor} today"
        )
    else:
        yield "what is paid later counts in full: no rate of discount was stated"
    if not life.load_profile:
        yield "the devices draw all that is asked for them at all hours: no load profile was stated"
    yield (
        "units, modules, what is plugged in and what is kept for stacking draw at all hours; the percentages are of "
        "the watts asked for powered devices, at the port, growth that draws among them"
    )
    yield (
        "which device goes into which unit is left open: in each level the devices' watts, and those of what is "
        "plugged in, are spread over the stack's units such that the mains give least, within what supplies and ports "
        "can give"
    )
    yield (
        "supplies of a unit share its load by their outputs; between the published points of a supply its input is "
        "interpolated, below the lowest its losses go on, and one without points has one efficiency at any load"
    )
    if terms.cooling:
        yield (
            f"cooling takes {life.cooling_percent} W for each 100 W of heat that stays in the room: all of the mains' "
            "watts but those that leave on the devices' cables"
        )
    else:
        yield "cooling costs nothing: no share was stated"
    yield (
        "contracts and licences that end within the years are bought again at today's prices, those in boxes too where "
        "they give what is asked for; one by the month as far as the years go"
    )
    unit = f"{plain(1, answer.decimals)} {answer.currency}"
    yield (
        f"renewals are rounded once for each piece, energy and cooling together once for each stack, to {unit}, "
        "half a unit up; all sums before are exact"
    )


def status(stack: StackAnswer, answer: Answer) -> str:
    """What is proved about one stack that is to be cheap to own."""
    assert stack.life is not None
    assert answer.life is not None
    years = counted(answer.life.years, "year", "years")

    def money(minor: int | None) -> str:
        return "unknown" if minor is None else with_code(minor, answer.decimals, answer.currency)

    cost, buys = money(stack.life.cost.total_minor), money(stack.price_minor)
    if stack.status == "cheapest":
        return f"Proved cheapest to own: {cost} over {years}; no valid build costs less to own. It costs {buys} to buy."
    return (
        f"Best found: {cost} over {years}, {buys} to buy; not proved cheapest to own, none can cost less than "
        f"{money(stack.life.bound_minor)} to own."
    )


def beside(life: StackLife, answer: Answer) -> str:
    """The cheapest to own against the cheapest to buy, in one sentence."""
    other = life.to_buy
    assert other is not None

    def money(minor: int) -> str:
        return with_code(minor, answer.decimals, answer.currency)

    year = other.paid_back_in_year
    back = "" if year is None else f"; it has paid for itself by the end of year {year}"
    return (
        f"It costs {money(other.more_now_minor)} more today than the cheapest to buy, and "
        f"{money(other.saved_minor)} less over the years, what is paid more taken off{back}."
    )


def rows(cost: LifeCost) -> tuple[tuple[str, int, str], ...]:
    """What makes up a cost: words, amount, and energy where it is that."""
    return (
        ("bought today", cost.purchase_minor, ""),
        ("renewals", cost.renewals_minor, ""),
        ("energy", cost.energy_minor, f"{number(cost.energy_kwh)} kWh"),
        ("cooling", cost.cooling_minor, f"{number(cost.cooling_kwh)} kWh"),
        ("Total", cost.total_minor, ""),
    )
