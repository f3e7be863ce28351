"""The years of ownership in an answer: what every stack costs over them, beside the cheapest to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from configurator import bill
from configurator.answer import Answer, StackAnswer
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.errors import BadInput, Problem
from configurator.life import words
from configurator.life.cost import Cost, cost_of, yearly
from configurator.life.known import Found, Known
from configurator.life.present_value import half_up
from configurator.life.result import (
    CheapestToBuy,
    LevelDraw,
    LifeAnswer,
    LifeCost,
    LineBeside,
    Objective,
    Proved,
    SaidLevel,
    StackLife,
)
from configurator.life.terms import Terms, terms_of
from configurator.reading import Asked
from configurator.setting import Ask
from configurator.solved import Solved

NOTHING = Known(None, None)


def terms_asked(asked: Asked, catalog: Catalog) -> Terms:
    """The terms to find the cheapest to own by; BadInput where the demand or the discounts don't allow it."""
    name = "demand" if asked.source is None else asked.source.name
    if asked.demand.life is None:
        raise BadInput([Problem(name, None, None, "life", None, words.NO_YEARS, words.NO_YEARS_HINT)])
    discounts = catalog.prices.discounts
    if discounts is not None and discounts.thresholds_minor:
        raise BadInput([Problem(discounts.name, None, None, "", None, words.BY_VALUE, words.BY_VALUE_HINT)])
    return terms_of(asked.demand.life, catalog.prices.decimals)


def with_life(
    answer: Answer, asked: Asked, catalog: Catalog, objective: Objective, found: Found | None = None
) -> Answer:
    """The answer with what it costs over the years; as it is where the demand says nothing of them.

    found -- what a search for the cheapest to own found
    """
    life = asked.demand.life
    if life is None:
        return answer
    terms = terms_of(life, catalog.prices.decimals)
    asks = {ask.stack.name: ask for ask in asked.asks}
    known = {} if found is None else found.stacks
    stacks = tuple(
        one
        if one.build is None
        else one.model_copy(
            update={"life": life_of(one.build, asks[one.name], catalog, terms, known.get(one.name, NOTHING))}
        )
        for one in answer.stacks
    )
    cost = _together(stacks, answer.total_minor)
    bound_minor = None
    if objective == "life" and cost is not None and found is not None:
        bound_minor = cost.total_minor if found.proved else found.bound_minor
    proved = _proved(answer, cost, bound_minor, objective)
    told = LifeAnswer(
        years=life.years,
        energy_per_kwh=life.energy_per_kwh,
        load_profile=tuple(
            SaidLevel(hours_a_day=_decimal(one.hours_a_day), draw_percent=one.draw_percent) for one in terms.levels
        ),
        cooling_percent=life.cooling_percent,
        discount_rate_percent=life.discount_rate_percent,
        proved=proved,
        cost=cost,
        bound_minor=bound_minor,
        assumptions=tuple(words.assumptions(life, terms, answer)),
    )
    update: dict[str, object] = {"objective": objective, "life": told, "stacks": stacks}
    if objective == "life" and cost is not None and bound_minor is not None:
        kind = "cheapest" if proved == "cheapest to own" else "best found"
        gap_minor = cost.total_minor - bound_minor
        update["proof"] = answer.proof.model_copy(
            update={"price": kind, "gap_minor": gap_minor, "how": words.proved(proved)}
        )
    return answer.model_copy(update=update)


def found_of(answer: Answer) -> Found:
    """What an answer says that a search found."""
    stacks = {}
    for one in answer.stacks:
        if one.life is not None:
            proved = one.life.bound_minor == one.life.cost.total_minor
            stacks[one.name] = Known(one.life.bound_minor, solved_of(one.life.to_buy), proved)
    return Found(stacks, None if answer.life is None else answer.life.bound_minor)


def solved_of(one: CheapestToBuy | None) -> Solved | None:
    """The build that is cheapest to buy as a search found it."""
    return None if one is None else Solved("cheapest", one.cost.purchase_minor, None, one.build)


def life_of(build: Build, ask: Ask, catalog: Catalog, terms: Terms, known: Known = NOTHING) -> StackLife:
    """What a build costs over the years, beside the cheapest to buy where that is another."""
    cost = cost_of(build, ask, catalog, terms)
    other = None if known.bought is None else known.bought.build
    beside = None
    if other is not None:
        instead = cost_of(other, ask, catalog, terms)
        if instead.exact > cost.exact:
            beside = _beside(other, instead, build, cost, ask, catalog)
    return StackLife(
        cost=_told(cost),
        levels=tuple(
            LevelDraw(
                hours_a_day=_decimal(one.level.hours_a_day),
                draw_percent=one.level.draw_percent,
                fed_w=_tenth(one.fed_w),
                mains_w=_tenth(one.mains_w),
            )
            for one in cost.levels
        ),
        bound_minor=cost.total_minor if known.proved else known.bound_minor,
        to_buy=beside,
    )


def _beside(other: Build, instead: Cost, build: Build, cost: Cost, ask: Ask, catalog: Catalog) -> CheapestToBuy:
    return CheapestToBuy(
        build=other,
        cost=_told(instead),
        lines=tuple(lines_beside(other, build, catalog)),
        more_now_minor=cost.purchase_minor - instead.purchase_minor,
        saved_minor=instead.total_minor - cost.total_minor,
        paid_back_in_year=paid_back(
            Fraction(cost.purchase_minor - instead.purchase_minor),
            list(yearly(other, instead, ask, catalog)),
            list(yearly(build, cost, ask, catalog)),
        ),
    )


def lines_beside(to_buy: Build, to_own: Build, catalog: Catalog) -> Iterator[LineBeside]:
    """Parts of which not as many are ordered in both."""
    counts = bill.bought(to_buy), bill.bought(to_own)
    both: Counter[str] = counts[0] | counts[1]
    for line in bill.lines(both, catalog):
        a, b = counts[0][line.part], counts[1][line.part]
        if a != b:
            yield LineBeside(
                part=line.part,
                description=line.description,
                to_buy=a,
                to_own=b,
                difference_minor=(b - a) * line.unit_price_minor,
            )


def paid_back(more_now: Fraction, dearer: Sequence[Fraction], cheaper: Sequence[Fraction]) -> int | None:
    """The first year by whose end the cheaper years have made up for what was paid more today."""
    left = more_now
    for year, (a, b) in enumerate(zip(dearer, cheaper, strict=True), start=1):
        left -= a - b
        if left <= 0:
            return year
    return None


def _told(cost: Cost) -> LifeCost:
    years = cost.terms.years
    return LifeCost(
        purchase_minor=cost.purchase_minor,
        renewals_minor=cost.renewals_minor,
        energy_minor=cost.energy_minor,
        cooling_minor=cost.cooling_minor,
        total_minor=cost.total_minor,
        energy_kwh=_tenth(cost.kwh_a_year * years),
        cooling_kwh=_tenth(cost.cooling_kwh_a_year * years),
    )


def _together(stacks: Iterable[StackAnswer], total_minor: int | None) -> LifeCost | None:
    """All stacks with their copies; bought for what the order comes to."""
    every = [(one.life.cost, one.copies) for one in stacks if one.life is not None]
    if total_minor is None or not every:
        return None

    def added(name: str) -> int:
        return sum(int(getattr(cost, name)) * copies for cost, copies in every)

    later = {name: added(name) for name in ("renewals_minor", "energy_minor", "cooling_minor")}
    return LifeCost(
        purchase_minor=total_minor,
        **later,
        total_minor=total_minor + sum(later.values()),
        energy_kwh=sum((cost.energy_kwh * copies for cost, copies in every), Decimal(0)),
        cooling_kwh=sum((cost.cooling_kwh * copies for cost, copies in every), Decimal(0)),
    )


def _proved(answer: Answer, cost: LifeCost | None, bound_minor: int | None, objective: Objective) -> Proved:
    if objective == "purchase" or cost is None:
        return "not looked for"
    return "cheapest to own" if answer.status == "cheapest" and cost.total_minor == bound_minor else "best found"


def _tenth(value: Fraction) -> Decimal:
    """For people, to a tenth."""
    return Decimal(half_up(value * 10)) / 10


def _decimal(value: Fraction) -> Decimal:
    """Hours, stated with two decimals."""
    return Decimal(half_up(value * 100)) / 100
