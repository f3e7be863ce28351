"""`configurator sweep`: the price of a demand as a figure of it varies, or two."""

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
    from configurator.solved import Status

MOST_POINTS, MOST_ALLOWED = 200, 5000
EXIT_CODES: dict[Status, int] = {"cheapest": 0, "cannot be met": 3, "best found": 4, "not decided": 4}
EPILOG = """\b
Examples:
  configurator sweep demand.yaml --stack "Floor 2" --vary "devices[access point]=8..64:8"
  configurator sweep demand.yaml --vary uplinks[0].speed_mbps=1G..25G --vary ports=24..96:24
  configurator sweep demand.yaml --vary "Floor 2.between_units_m=0.5,3,10,50" --format csv
  configurator sweep demand.yaml --vary support_months=12,36,60 --chart years.svg

\b
WHAT is a figure of a stack as the demand file has it: ports, devices[access point], devices[0],
uplinks[0].length_m, between_units_m, headroom_percent, circuit.amps, copies …; a list without a
field means its count.  Of several stacks write STACK.WHAT, or name one with --stack: then its own
price is told, else that of the order.  A wish such as headroom_percent goes for all of them.
Without a step speeds take those of the catalog; anything else takes steps of 1, 2, 5, 10, 20 …

\b
Exit codes: 0 some value can be met, and every price is proved cheapest; 1 fault in the tool;
2 bad input; 3 no value can be met; 4 not proved or not decided.
"""


class Form(StrEnum):
    """How a sweep is written."""

    table = "table"
    json = "json"
    csv = "csv"
    markdown = "markdown"


def sweep(
    demand: Annotated[
        str | None,
        typer.Argument(metavar="DEMAND", help="Demand file (YAML); - reads standard input; none: the demonstration."),
    ] = None,
    vary: Annotated[
        list[str] | None,
        typer.Option(
            "--vary",
            metavar="WHAT=VALUES",
            help="FROM..TO, FROM..TO:STEP or A,B,C; twice makes a grid.",
        ),
    ] = None,
    stack: Annotated[
        str | None, typer.Option("--stack", metavar="NAME", help="The stack that is priced; none: the whole order.")
    ] = None,
    chart: Annotated[
        Path | None, typer.Option("--chart", metavar="FILE", help="Chart to write, as .svg or .png.")
    ] = None,
    most_points: Annotated[
        int, typer.Option("--most-points", metavar="NUMBER", min=1, max=MOST_ALLOWED, help="Values that are solved.")
    ] = MOST_POINTS,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: Annotated[Form, typer.Option("--format", help="How the sweep is written.")] = Form.table,
    output: OutputOption = None,
) -> None:
    """Tell the price as a demand grows, and where a unit, a supply, a module or a stack is added."""
    with told():
        from configurator import api, charts
        from configurator.output import check_targets
        from configurator.render import sweep as as_form
        from configurator.render.style import PLAIN, style_for
        from configurator.varying import sweeping
        from configurator.varying.varying import wrong

        if not vary:
            raise wrong("", "nothing is said to vary", "add --vary WHAT=FROM..TO, as in --vary ports=24..96:24")
        check_targets(output, chart)
        if chart is not None:
            charts.check_chart(chart)
        found, day = catalog_of(catalog, prices, on, discounts)
        asked = api.load_demand(demand, found, day)
        one = sweeping.sweep(asked, found, vary, stack=stack, most_points=most_points)
        if chart is not None:
            charts.save(charts.chart_of(one), chart)
        style = style_for(sys.stdout) if output is None else PLAIN
        text = as_form.as_table(one, style) if form is Form.table else as_form.FORMS[form.value](one)
        put(output, text, exact=form is not Form.table)
        raise typer.Exit(EXIT_CODES[sweeping.status_of(one.points)])
