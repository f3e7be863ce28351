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
LEFT_OVER = "left over from packs"
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\0")


def render(answer: Answer) -> str:
    """One line a part of each stack, then what packs leave over, and cold spares; amounts add up to the order's.

    A stack without a build has one line without a part, so that it isn't overlooked.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for stack in answer.stacks:
        for line in stack.bill or (None,):
            writer.writerow(_row(answer, stack, line))
    for extra in answer.bill:
        if extra.left_over:
            writer.writerow(_order_row(answer, extra, LEFT_OVER, extra.left_over))
        if extra.reason is not None:
            writer.writerow(_order_row(answer, extra, extra.group, extra.quantity))
    return out.getvalue()


def text(value: str | None) -> str:
    """A text cell that no spreadsheet takes for a formula."""
    value = value or ""
    return f"'{value}" if value.startswith(FORMULA_STARTS) else value


def _order_row(answer: Answer, line: OrderLine, group: str, quantity: int) -> tuple[str | int, ...]:
    """A line that is no stack's."""
    head = (text(answer.customer), text(answer.project), "", "", answer.status)
    money = (
        plain(line.unit_price_minor, answer.decimals),
        plain(line.unit_price_minor * quantity, answer.decimals),
    )
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
        return (*head, *[""] * (len(COLUMNS) - len(head) - len(tail)), *tail)
    return (
        *head,
        line.group,
        text(line.part),
        text(line.description),
        line.quantity,
        line.quantity * stack.copies,
        line.included * stack.copies,
        plain(line.unit_price_minor, answer.decimals),
        plain(line.amount_minor * stack.copies, answer.decimals),
        *tail,
    )
