"""The bill as CSV (RFC 4180): a line for each part of each stack, for spreadsheets and order systems.

UTF-8, CRLF, ISO 8601 dates, ISO 4217 currency in a column, dot decimals without thousands marks.
Text that a spreadsheet could take for a formula gets a leading apostrophe (CWE-1236).
"""

from __future__ import annotations

import csv
import io

from configurator import messages
from configurator.answer import Answer, BillLine, OrderLine, StackAnswer
from configurator.money import plain

COLUMNS = (
    "customer",
    "project",
    "stack",
    "copies",
    "status",
    "group",
    "part",
    "description",
    "quantity_each",  # of one stack
    "quantity",  # of all copies
    "included",  # how many more come in boxes, of all copies
    "unit_price",
    "amount",  # of all copies
    "currency",
    "price_list_issued",
    "price_list_valid_until",
    "order_date",
    "proof",  # what is proved of the stack, or of the order
    "waivers",  # breaches of the stack that a reviewer accepts
)
DISCOUNTED = {  # columns before another one, where discounts are in force
    "unit_price": ("list_price", "discount_percent"),
    "amount": ("list_amount",),  # of all copies
}
LEFT_OVER = "left over from packs"
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\0")


def render(answer: Answer) -> str:
    """One line a part of each stack, then what packs leave over, and cold spares; amounts add up to the order's.

    A stack without a build has one line without a part, so that it isn't overlooked.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns(answer))
    for stack in answer.stacks:
        for line in stack.bill or (None,):
            writer.writerow(_row(answer, stack, line))
    for extra in answer.bill:
        if extra.left_over:
            writer.writerow(_order_row(answer, extra, LEFT_OVER, extra.left_over))
        if extra.reason is not None:
            writer.writerow(_order_row(answer, extra, extra.group, extra.quantity))
    return out.getvalue()


def columns(answer: Answer) -> tuple[str, ...]:
    """The columns of an answer: with discounts in force, list prices too; `unit_price` and `amount` are net."""
    if answer.discounts is None:
        return COLUMNS
    return tuple(name for column in COLUMNS for name in (*DISCOUNTED.get(column, ()), column))


def _money(line: BillLine | OrderLine, quantity: int, answer: Answer) -> tuple[str, ...]:
    """What one costs and what so many come to."""
    net = (plain(line.unit_price_minor, answer.decimals), plain(line.unit_price_minor * quantity, answer.decimals))
    if answer.discounts is None:
        return net
    listed = line.unit_price_minor if line.list_price_minor is None else line.list_price_minor
    off = "" if line.discount_percent is None else messages.number(line.discount_percent)
    return (plain(listed, answer.decimals), off, net[0], plain(listed * quantity, answer.decimals), net[1])


def text(value: str | None) -> str:
    """A text cell that no spreadsheet takes for a formula."""
    value = value or ""
    return f"'{value}" if value.startswith(FORMULA_STARTS) else value


def _order_row(answer: Answer, line: OrderLine, group: str, quantity: int) -> tuple[str | int, ...]:
    """A line that is no stack's."""
    head = (text(answer.customer), text(answer.project), "", "", answer.status)
    money = _money(line, quantity, answer)
    rest = (*_tail(answer), messages.checks(answer), "")
    return (*head, group, text(line.part), text(line.description), "", quantity, 0, *money, *rest)


def _tail(answer: Answer) -> tuple[str, ...]:
    dates = (answer.price_list.issued, answer.price_list.valid_until, answer.order_date)
    return (answer.currency, *(day.isoformat() for day in dates))


def _row(answer: Answer, stack: StackAnswer, line: BillLine | None) -> tuple[str | int, ...]:
    head = (text(answer.customer), text(answer.project), text(stack.name), stack.copies, stack.status)
    accepted = "; ".join(messages.waiver(one) for one in answer.waivers if one.stack == stack.name)
    tail = (*_tail(answer), messages.proof_in_short(stack, answer), text(accepted))
    if line is None:
        return (*head, *[""] * (len(columns(answer)) - len(head) - len(tail)), *tail)
    return (
        *head,
        line.group,
        text(line.part),
        text(line.description),
        line.quantity,
        line.quantity * stack.copies,
        line.included * stack.copies,
        *_money(line, line.quantity * stack.copies, answer),
        *tail,
    )
