"""`configurator explain`: why a build is as it is, what everything costs, and what else could be had."""

from __future__ import annotations

import sys
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from configurator import messages
from configurator.commands.options import (
    CatalogOption,
    DiscountsOption,
    OnOption,
    OutputOption,
    PricesOption,
    catalog_of,
)
from configurator.commands.telling import put, say, show, told

if TYPE_CHECKING:
    from collections.abc import Iterator

    from configurator.reasoning.explanation import StackExplanation
    from configurator.render.explanation import Currency
    from configurator.setting import Ask
    from configurator.solved import Conflict, Status

EXIT_CODES: dict[Status, int] = {"cheapest": 0, "cannot be met": 3, "best found": 4, "not decided": 4}
EPILOG = """\b
Examples:
  configurator explain demand.yaml --stack "Floor 2" --catalog catalog --prices prices.csv
  configurator explain demand.yaml --stack "Floor 2" --with PART=2
  configurator explain demand.yaml --without PART --format markdown
  configurator explain demand.yaml --stack "Floor 3" --nearest 1a --output changed.yaml
  configurator explain                    the packaged demonstration, stack by stack

\b
Without --with and --without: what each unit is there for, how full it is and what it still
carries; for each line of the bill whether a build without it is to be had; what each statement
of the demand costs; what each assumption would cost the other way.

\b
Exit codes: 0 explained, and every build proved cheapest; 1 fault in the tool; 2 bad input;
3 some stack cannot be met, or not with such a part; 4 not proved or not decided.
"""


class Form(StrEnum):
    """How an explanation is written."""

    table = "table"
    json = "json"
    markdown = "markdown"


def _wanted(text: str | None) -> tuple[str, int] | None:
    """`PART`, or `PART=2`."""
    if text is None:
        return None
    part, equals, count = text.rpartition("=")
    if not equals:
        return text, 1
    if not (count.isascii() and count.isdigit() and 0 < int(count) <= 10_000):
        from configurator.errors import BadInput, Problem

        text = f'"{count}" is no number of parts from 1 to 10000'
        raise BadInput([Problem("--with", None, None, "", count, text, "write PART=N, as in PART=2")])
    return part, int(count)


def explain(
    demand: Annotated[
        str | None,
        typer.Argument(metavar="DEMAND", help="Demand file (YAML); - reads standard input; none: the demonstration."),
    ] = None,
    stack: Annotated[
        str | None, typer.Option("--stack", metavar="NAME", help="The stack to explain; none: one after the other.")
    ] = None,
    with_part: Annotated[
        str | None,
        typer.Option("--with", metavar="PART[=N]", help="The cheapest build that has N of a part or more; N: 1."),
    ] = None,
    without_part: Annotated[
        str | None, typer.Option("--without", metavar="PART", help="The cheapest build that has none of a part.")
    ] = None,
    nearest: Annotated[
        str | None,
        typer.Option(
            "--nearest",
            metavar="NUMBER",
            help="For a stack that cannot be met: the demand file of a change that would help, by its number, as 1a.",
        ),
    ] = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: Annotated[Form, typer.Option("--format", help="How the explanation is written.")] = Form.table,
    output: OutputOption = None,
) -> None:
    """Tell why the cheapest build is as it is, what each statement costs, and what a part would change."""
    with told():
        from configurator import api
        from configurator.engine.tiers import earned
        from configurator.output import check_target, write_whole
        from configurator.reasoning import explaining
        from configurator.render import explanation as as_form

        wanted = _wanted(with_part)
        found, day = catalog_of(catalog, prices, on, discounts)
        asked = api.load_demand(demand, found, day)
        book = api.rule_book()
        if output is not None:
            check_target(output)
        if nearest is not None:
            text = explaining.nearest_file(asked, found, book, stack, nearest)
            put(output, text, exact=True)
            return
        found = earned(asked.order, found, book)
        as_found = _as_found if form is Form.table and output is None else None
        each = explaining.explained(
            asked, found, book, stack=stack, with_part=wanted, without_part=without_part, as_found=as_found
        )
        of = len(asked.asks) if stack is None else 1
        if form is Form.table and output is None:
            each = _shown(each, of, as_form.currency_of(found.prices))
        stacks = tuple(each)
        alone = stack is not None or wanted is not None or without_part is not None
        order = () if alone else tuple(explaining.order_prices(asked, found, book))
        whole = explaining.whole(asked, found, stacks, order)
        if output is not None:
            write_whole(output, as_form.FORMS[form.value](whole).encode())
        elif form is not Form.table:
            show(as_form.FORMS[form.value](whole), exact=True)
        else:
            if order:
                show("\n" + as_form.text_of([as_form.order_block(order)]) + "\n")
            show("".join(f"\nNote: {note}\n" for note in whole.notes))
        raise typer.Exit(_exit_code(stacks))


def _shown(each: Iterator[StackExplanation], of: int, currency: Currency) -> Iterator[StackExplanation]:
    """Each stack, printed as soon as it is known."""
    from configurator.render import explanation as as_form
    from configurator.render.style import style_for

    for place, one in enumerate(each, start=1):
        show(("\n" if place > 1 else "") + as_form.stack_text(one, place, of, currency, style_for(sys.stdout)))
        yield one


def _as_found(ask: Ask, conflict: Conflict) -> None:
    """A conflict as soon as it is known, for one who waits at a terminal."""
    if sys.stderr is not None and sys.stderr.isatty():
        say(f"{ask.stack.name}: {messages.cannot_hold(ask.statements[key].text for key in conflict.statements)}")


def _exit_code(stacks: tuple[StackExplanation, ...]) -> int:
    """Of several the first in the order 3, 4, 0."""
    codes = {EXIT_CODES[one.stack.status] for one in stacks}
    codes |= {EXIT_CODES[forced.status] for one in stacks for forced in one.forced}
    return min(codes, key=(3, 4, 0).index)
