"""`configurator compare`: ways to buy one demand side by side, or two demands or answers."""

from __future__ import annotations

import sys
from datetime import date
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
    from configurator.buying.comparison import Comparison
    from configurator.solved import Status

EXIT_CODES: dict[Status, int] = {"cheapest": 0, "cannot be met": 3, "best found": 4, "not decided": 4}
EPILOG = """\b
Examples:
  configurator compare demand.yaml --catalog catalog --prices prices.csv
  configurator compare demand.yaml --stack "Floor 2" --bundle PART
  configurator compare today.yaml tomorrow.yaml --format markdown
  configurator compare january.json june.json
  configurator compare answer.json changed.yaml --format csv

\b
Of one demand: the cheapest order in bundles only, in base units and parts only, and in a free mix,
line by line; why one is cheapest, what of the bundles is used; each unit type bought otherwise; the
price at which each bundle comes into the order or leaves it; a second supply now or later.
Of two demand files, or answers that `solve --format json` wrote (their names end in .json): totals,
lines and what is asked otherwise.

\b
Exit codes: 0 compared, and the order as asked (of two: both) proved cheapest; 1 fault in the tool;
2 bad input; 3 that order cannot be met; 4 not proved or not decided.
"""


class Form(StrEnum):
    """How a comparison is written."""

    table = "table"
    json = "json"
    csv = "csv"
    markdown = "markdown"


def compare(
    demand: Annotated[
        str | None,
        typer.Argument(metavar="DEMAND", help="Demand file (YAML) or answer (JSON); none: the demonstration."),
    ] = None,
    other: Annotated[
        str | None, typer.Argument(metavar="OTHER", help="A second one, to compare the two; none: ways to buy the one.")
    ] = None,
    stack: Annotated[
        str | None, typer.Option("--stack", metavar="NAME", help="One stack by itself; none: the whole order.")
    ] = None,
    bundle: Annotated[
        list[str] | None,
        typer.Option(
            "--bundle",
            metavar="PART",
            help="Bundle whose break-even price is looked for; may be repeated; none: those of the orders.",
        ),
    ] = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: Annotated[Form, typer.Option("--format", help="How the comparison is written.")] = Form.table,
    output: OutputOption = None,
) -> None:
    """Compare ways to buy what a demand asks for, or two demands or answers."""
    with told():
        from configurator import api
        from configurator.buying.compare import compare as compared
        from configurator.output import check_target
        from configurator.render import comparison as as_form
        from configurator.render.style import PLAIN, style_for

        if output is not None:
            check_target(output)
        if other is not None or _is_answer(demand):
            one = _two(demand, other, _options(stack=stack, bundle=bundle), catalog, prices, discounts, on)
        else:
            found, day = catalog_of(catalog, prices, on, discounts)
            one = compared(api.load_demand(demand, found, day), found, bundles=bundle, stack=stack)
        style = style_for(sys.stdout) if output is None else PLAIN
        text = as_form.as_table(one, style) if form is Form.table else as_form.FORMS[form.value](one)
        put(output, text, exact=form is not Form.table)
        raise typer.Exit(EXIT_CODES[one.status])


def _is_answer(file: str | None) -> bool:
    return file is not None and file.lower().endswith(".json")


def _options(*, stack: str | None, bundle: list[str] | None) -> list[str]:
    """Options of one demand that were given."""
    return [*(["--stack"] if stack is not None else []), *(["--bundle"] if bundle else [])]


def _two(
    demand: str | None,
    other: str | None,
    options: list[str],
    catalog: Path | None,
    prices: Path | None,
    discounts: Path | None,
    on: date | None,
) -> Comparison:
    """Two files compared; a catalog is read only where one of them is a demand."""
    from configurator import api, reading
    from configurator.buying.compare_two import Told, compare_two, told_of
    from configurator.buying.orders import Orders
    from configurator.errors import BadInput, Problem

    if other is None:
        hint = "name a second answer or demand, or the demand file alone"
        raise BadInput([Problem(str(demand), None, None, "", None, "an answer alone has nothing beside it", hint)])
    if options:
        text, hint = f"{options[0]} is about the ways to buy one demand", "leave it out, or name one demand only"
        raise BadInput([Problem(options[0], None, None, "", None, text, hint)])
    files = [str(demand), other]
    orders: Orders | None = None
    found = None
    if not all(map(_is_answer, files)):
        found = catalog_of(catalog, prices, on, discounts)
        orders = Orders(found[0], api.rule_book())
    sides = []
    for file in files:
        if found is None or orders is None or _is_answer(file):
            sides.append(Told(file, reading.load_answer(file)))
        else:
            asked = api.load_demand(file, *found)
            sides.append(told_of(file, asked, orders, api.rule_book()))
    return compare_two(*sides)
