"""The bill as CSV (RFC 4180): a line for each part of each stack, for spreadsheets and order systems.

UTF-8, CRLF, ISO 8601 dates, ISO 4217 currency in a column, dot decimals without thousands marks.
Text that a spreadsheet could take for a formula gets a leading apostrophe (CWE-1236).
"""

from __future__ import annotations

import csv
import io

from configurator.answer import Answer, BillLine, StackAnswer
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
)
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\0")


def render(answer: Answer) -> str:
    """One line a part; a stack without a build has one line without a part, so that it isn't overlooked."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for stack in answer.stacks:
        for line in stack.bill or (None,):
            writer.writerow(_row(answer, stack, line))
    return out.getvalue()


def text(value: str | None) -> str:
    """A text cell that no spreadsheet takes for a formula."""
    value = value or ""
    return f"'{value}" if value.startswith(FORMULA_STARTS) else value


def _row(answer: Answer, stack: StackAnswer, line: BillLine | None) -> tuple[str | int, ...]:
    head = (text(answer.customer), text(answer.project), text(stack.name), stack.copies, stack.status)
    tail = (
        answer.currency,
        answer.price_list.issued.isoformat(),
        answer.price_list.valid_until.isoformat(),
        answer.order_date.isoformat(),
    )
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
