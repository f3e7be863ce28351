"""The years of ownership on the answer's page."""

from __future__ import annotations

from collections.abc import Iterator

from configurator.answer import Answer, StackAnswer
from configurator.life import words
from configurator.life.result import CheapestToBuy, LifeCost
from configurator.messages import counted, number
from configurator.money import grouped
from configurator.render.sections import Bullets, Lines, Section, Table, section

BESIDE = "Cheapest to own beside the cheapest to buy, line by line"


def of_stack(stack: StackAnswer, answer: Answer) -> Iterator[Section]:
    """What one stack costs over the years, and what would have been cheaper to buy."""
    life = stack.life
    if life is None or answer.life is None:
        return
    heading = f"Over {counted(answer.life.years, 'year', 'years')}, for one stack, as of today"
    draws = tuple(
        f"{number(one.hours_a_day)} h a day with devices at {one.draw_percent} %: {number(one.mains_w)} W of the "
        f"mains, {number(one.fed_w)} W of it to devices"
        for one in life.levels
    )
    yield section(heading, _costs(life.cost, life.to_buy, answer), Lines(draws, indent="  "))
    if life.to_buy is not None:
        money = [grouped(one.difference_minor, answer.decimals) for one in life.to_buy.lines]
        lines = tuple(
            (one.part, one.description, str(one.to_buy), str(one.to_own), amount)
            for one, amount in zip(life.to_buy.lines, money, strict=True)
        )
        total = ("", "Total", "", "", grouped(life.to_buy.more_now_minor, answer.decimals))
        heads = ("Part", "Description", "To buy", "To own", f"Difference {answer.currency}")
        yield section(BESIDE, Table(heads, (*lines, total), (2, 3, 4)), Lines((words.beside(life, answer),)))


def _costs(cost: LifeCost, other: CheapestToBuy | None, answer: Answer) -> Table:
    """The sum, and beside it that of the build that is cheapest to buy."""
    told = [words.rows(cost)] + ([words.rows(other.cost)] if other is not None else [])
    rows = []
    for parts in zip(*told, strict=True):
        cells = [cell for _, minor, energy in parts for cell in (energy, grouped(minor, answer.decimals))]
        rows.append((parts[0][0], *cells))
    heads = ["", "kWh", f"{'To own' if other is not None else 'Amount'} {answer.currency}"]
    heads += ["kWh", f"To buy {answer.currency}"] if other is not None else []
    return Table(tuple(heads), tuple(rows), (1, 2, 3, 4)[: len(heads) - 1])


def of_order(answer: Answer) -> Iterator[Section]:
    """What the whole order costs over the years, and how that is reckoned."""
    life = answer.life
    if life is None:
        return
    years = counted(life.years, "year", "years")
    if life.cost is not None:
        yield section(f"Over {years}, the whole order, as of today", _costs(life.cost, None, answer))
    yield section(f"How the {years} are reckoned", Bullets(life.assumptions))
