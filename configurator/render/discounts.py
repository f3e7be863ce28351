"""Discounts in text forms: columns of bills, totals, and which discounts are in force."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from configurator import messages
from configurator.answer import Answer, BillLine, OrderLine, StackAnswer
from configurator.answer_discounts import DiscountRow
from configurator.messages import number
from configurator.money import grouped, with_code
from configurator.render.sections import Bullets, Listing, Section, section

Line = BillLine | OrderLine


def status(stack: StackAnswer, answer: Answer) -> str:
    """What is proved about one stack, whose price its order may have a say in."""
    if stack.status != "cheapest" or stack.price_minor is None or answer.discounts is None:
        return messages.status(stack, answer)
    money = _money(stack.price_minor, answer)
    if answer.discounts.threshold_minor is None:
        return f"Proved cheapest: {money}; no valid build costs less with these discounts."
    return f"Part of the order that is proved cheapest: {money}, with the discounts that the order earns."


def heads(answer: Answer) -> tuple[str, ...]:
    """Heads of the columns of prices."""
    if answer.discounts is None:
        return (f"Unit price {answer.currency}",)
    return (f"List price {answer.currency}", "Discount %", f"Net price {answer.currency}")


def prices(line: Line, answer: Answer) -> tuple[str, ...]:
    """What one costs: in these columns."""
    net = grouped(line.unit_price_minor, answer.decimals)
    if answer.discounts is None:
        return (net,)
    off = "" if line.discount_percent is None else number(line.discount_percent)
    return (grouped(_list_minor(line), answer.decimals), off, net)


def totals(lines: Sequence[Line], words: str, answer: Answer) -> list[tuple[str, ...]]:
    """Rows under a bill: what it comes to; with discounts, at list prices and less the discounts first."""
    total = sum(line.amount_minor for line in lines)
    blank = [""] * len(heads(answer))
    rows = [(words, total)]
    if answer.discounts is not None:
        listed = sum(_list_minor(line) * line.quantity for line in lines)
        rows = [(f"{words} at list prices", listed), ("Discount", total - listed), (words, total)]
    return [("", text, "", *blank, grouped(minor, answer.decimals)) for text, minor in rows]


def _list_minor(line: Line) -> int:
    return line.unit_price_minor if line.list_price_minor is None else line.list_price_minor


def sections(answer: Answer) -> Iterator[Section]:
    """What is ordered at list prices, less discounts, net; and which discounts are in force."""
    used = answer.discounts
    if used is None:
        return
    rows = [("list", _money(used.list_minor, answer)), ("discount", _money(used.discount_minor, answer))]
    rows.append(("net", _money(used.net_minor, answer)))
    yield section("Order at list prices, less discounts", Listing(tuple(rows)))
    told = [_words(one, answer) for one in used.rows]
    more = [messages.NOT_ADDED_UP, *([_next(used.next_minor, answer)] if used.next_minor is not None else [])]
    yield section(f"Discounts in force on {answer.order_date}, {used.name}", Bullets((*told, *more)))


def _words(one: DiscountRow, answer: Answer) -> str:
    on = one.part or one.category or "everything"
    days = [f"from {one.first_day}"] * (one.first_day is not None) + [f"until {one.last_day}"] * bool(one.last_day)
    text = ", ".join([f"{number(one.percent)} % on {on}", *days])
    if one.order_from_minor is not None:
        text += f", for orders from {_money(one.order_from_minor, answer)} at list prices"
        text += ": reached" if one.reached else ": not reached"
    return f"{text} (line {one.line})"


def _next(next_minor: int, answer: Answer) -> str:
    assert answer.discounts is not None
    short = next_minor - answer.discounts.list_minor
    return (
        f"The order is {_money(short, answer)} at list prices below the next value from which a discount holds, "
        f"{_money(next_minor, answer)}. {messages.NO_PADDING}"
    )


def _money(minor: int, answer: Answer) -> str:
    return with_code(minor, answer.decimals, answer.currency)
