"""`configurator budget`: the most that an amount buys of each figure of a demand."""

from __future__ import annotations

import sys
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from configurator.commands.options import (
    CatalogOption,
    DiscountsOption,
    OnOption,
    OutputOption,
    PricesOption,
    catalog_of,
)
from configurator.commands.telling import put, told

if TYPE_CHECKING:
    from configurator.varying.budget import Budget

EPILOG = """\b
Examples:
  configurator budget demand.yaml --amount 25000.00 --stack "Floor 2"
  configurator budget demand.yaml --amount 25000 --vary "Floor 2.devices[access point]"
  configurator budget demand.yaml --amount 25000 --vary support_months --format json

\b
Without --vary: each count of ports and devices, their watts where stated, months of support.
Each figure is moved by itself, all else as stated.  Only figures of which more never costs less
can be asked about; `configurator sweep` shows the price of any other value by value.

\b
Exit codes: 0 some value of every figure fits; 1 fault in the tool; 2 bad input;
3 of some figure nothing fits; 4 some figure was not proved the largest.
"""


class Form(StrEnum):
    """How it is written."""

    table = "table"
    json = "json"
    csv = "csv"
    markdown = "markdown"


def budget(
    demand: Annotated[
        str | None,
        typer.Argument(metavar="DEMAND", help="Demand file (YAML); - reads standard input; none: the demonstration."),
    ] = None,
    amount: Annotated[
        str, typer.Option("--amount", metavar="MONEY", help="In the price list's currency, as 25000.00.")
    ] = "",
    vary: Annotated[
        list[str] | None,
        typer.Option("--vary", metavar="WHAT", help="A figure of the demand file, as for `sweep`.  May be repeated."),
    ] = None,
    stack: Annotated[
        str | None,
        typer.Option("--stack", metavar="NAME", help="The stack that the amount is for; none: the whole order."),
    ] = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: Annotated[Form, typer.Option("--format", help="How it is written.")] = Form.table,
    output: OutputOption = None,
) -> None:
    """Tell the most that a budget buys: ports, devices, watts, months of support."""
    with told():
        from configurator import api
        from configurator.output import check_target
        from configurator.render import budget as as_form
        from configurator.render.style import PLAIN, style_for
        from configurator.varying import budgeting
        from configurator.varying.varying import wrong

        if not amount:
            raise wrong("", "no amount is stated", "add --amount MONEY, as in --amount 25000.00", "--amount")
        if output is not None:
            check_target(output)
        found, day = catalog_of(catalog, prices, on, discounts)
        minor = budgeting.amount_minor(amount, found)
        asked = api.load_demand(demand, found, day)
        one = budgeting.budget(asked, found, minor, vary or (), stack=stack)
        style = style_for(sys.stdout) if output is None else PLAIN
        text = as_form.as_table(one, style) if form is Form.table else as_form.FORMS[form.value](one)
        put(output, text, exact=form is not Form.table)
        raise typer.Exit(_exit_code(one))


def _exit_code(one: Budget) -> int:
    if any(reach.most is None for reach in one.reaches):
        return 3
    return 0 if all(reach.proved for reach in one.reaches) else 4
