"""`configurator alternatives` and `configurator frontier`: other builds than the cheapest, and what they gain."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
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
    from configurator.choices.choice import Alternatives, PriceFrontier

CODES = """\b
Exit codes: 0 proved; 1 fault in the tool; 2 bad input; 3 some stack cannot be met;
4 not proved or not decided.
"""
ALTERNATIVES_EPILOG = f"""\b
Examples:
  configurator alternatives demand.yaml -k 5 --stack "Floor 2" --catalog catalog --prices prices.csv
  configurator alternatives demand.yaml --format csv --output builds.csv
  configurator alternatives -k 4          the packaged demonstration, stack by stack

\b
Builds differ in substance where they have other unit types, other supplies or other modules in
service, or other numbers of them; each is the cheapest of its substance.

{CODES}"""
FRONTIER_EPILOG = f"""\b
Examples:
  configurator frontier demand.yaml --against spare-ports --stack "Floor 2"
  configurator frontier demand.yaml --against support-years --format csv
  configurator frontier --against watts-left --most 5     the packaged demonstration

\b
--against: spare-ports, watts-left, rack-units or support-years.

{CODES}"""

DemandArgument = Annotated[
    str | None,
    typer.Argument(metavar="DEMAND", help="Demand file (YAML); - reads standard input; none: the demonstration."),
]
StackOption = Annotated[
    str | None, typer.Option("--stack", metavar="NAME", help="The stack to look at; none: each that differs.")
]


class Form(StrEnum):
    """How builds are written."""

    table = "table"
    json = "json"
    csv = "csv"
    markdown = "markdown"


FormOption = Annotated[Form, typer.Option("--format", help="How it is written.")]


def alternatives(
    demand: DemandArgument = None,
    k: Annotated[int, typer.Option("-k", metavar="N", help="How many builds, the cheapest among them.")] = 3,
    stack: StackOption = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: FormOption = Form.table,
    output: OutputOption = None,
) -> None:
    """List the cheapest builds that differ in substance, each with what it gains."""
    with told():
        from configurator import api
        from configurator.choices.choosing import alternatives as choose
        from configurator.output import check_target

        if output is not None:
            check_target(output)
        found, day = catalog_of(catalog, prices, on, discounts)
        _tell(choose(api.load_demand(demand, found, day), found, k=k, stack=stack), form, output)


def frontier(
    demand: DemandArgument = None,
    against: Annotated[
        str, typer.Option("--against", metavar="WHAT", help="What the price is set against; see below.")
    ] = "",
    stack: StackOption = None,
    most: Annotated[int, typer.Option("--most", metavar="N", help="Builds to list, from the cheapest up.")] = 20,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: FormOption = Form.table,
    output: OutputOption = None,
) -> None:
    """List the builds that no other beats: none costs no more and has more spare ports, watts or support."""
    with told():
        from configurator import api
        from configurator.choices.choosing import frontier as choose
        from configurator.output import check_target

        if output is not None:
            check_target(output)
        found, day = catalog_of(catalog, prices, on, discounts)
        asked = api.load_demand(demand, found, day)
        _tell(choose(asked, found, against=against, stack=stack, most=most), form, output)


def _tell(found: Alternatives | PriceFrontier, form: Form, output: Path | None) -> None:
    from configurator.render import choices as as_form
    from configurator.render.style import PLAIN, style_for

    style = style_for(sys.stdout) if output is None else PLAIN
    text = as_form.as_table(found, style) if form is Form.table else as_form.FORMS[form.value](found)
    put(output, text, exact=form is not Form.table)
    raise typer.Exit(_exit_code(found))


def _exit_code(found: Alternatives | PriceFrontier) -> int:
    """Of several the first in the order 3, 4, 0."""
    codes = {3 if one.stack.status == "cannot be met" else 0 if one.proved else 4 for one in found.stacks}
    return min(codes, key=(3, 4, 0).index)
