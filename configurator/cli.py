"""The command line.  Answers go to standard output, everything else to standard error.

Exit codes: 0 solved and proved cheapest; 1 the tool's own fault; 2 bad input or usage;
3 some stack cannot be met; 4 answered but not proved cheapest, or not decided in time.
Of several, 1 before 2 before 3 before 4.
"""

from __future__ import annotations

import math
import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from configurator.commands.budget import EPILOG as BUDGET_EPILOG
from configurator.commands.budget import budget
from configurator.commands.capacity import EPILOG as CAPACITY_EPILOG
from configurator.commands.capacity import capacity
from configurator.commands.check import EPILOG as CHECK_EPILOG
from configurator.commands.check import check
from configurator.commands.choices import ALTERNATIVES_EPILOG, FRONTIER_EPILOG, alternatives, frontier
from configurator.commands.compare import EPILOG as COMPARE_EPILOG
from configurator.commands.compare import compare
from configurator.commands.demand import app as demand_app
from configurator.commands.explain import EPILOG as EXPLAIN_EPILOG
from configurator.commands.explain import explain
from configurator.commands.options import (
    AirflowOption,
    CatalogOption,
    CopiesOption,
    CountryOption,
    DevicesOption,
    DiscountsOption,
    FeatureOption,
    HeadroomOption,
    OnOption,
    OutputOption,
    PortsOption,
    PricesOption,
    SupplyLossOption,
    UnitsAtLeastOption,
    UnitsAtMostOption,
    UplinksOption,
    WaiversOption,
    WishOption,
    catalog_of,
    said,
)
from configurator.commands.since import EPILOG as SINCE_EPILOG
from configurator.commands.since import since
from configurator.commands.sweep import EPILOG as SWEEP_EPILOG
from configurator.commands.sweep import sweep
from configurator.commands.telling import FAULT, put, say, show, told

if TYPE_CHECKING:
    from configurator.answer import Answer
    from configurator.solved import Status

EXIT_CODES: dict[Status, int] = {"cheapest": 0, "cannot be met": 3, "best found": 4, "not decided": 4}

app = typer.Typer(
    rich_markup_mode=None,
    add_completion=True,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="""Cheapest valid list of parts for stacks of network switches: proved, checked and explained.

\b
Examples:
  configurator solve                      the packaged demonstration
  configurator solve demand.yaml --catalog catalog --prices prices.csv
  configurator solve --ports 180,class4 --uplinks 2,10G --country NL
  configurator demand new demand.yaml     a demand file to start from
  configurator alternatives -k 4           other builds, and what they gain
  configurator frontier --against spare-ports     what more money buys
  configurator check audit.json           an answer again, without the solver
  configurator since answer.json          what changed, and what it costs
  configurator sweep demand.yaml --vary ports=24..96:24
  configurator budget demand.yaml --amount 25000.00
  configurator capacity answer.json       what a bill carries already
  configurator check-catalog --catalog catalog --prices prices.csv
  configurator rules
""",
)
app.add_typer(demand_app, name="demand")
app.command(epilog=EXPLAIN_EPILOG)(explain)
app.command(epilog=CHECK_EPILOG)(check)
app.command(epilog=SINCE_EPILOG)(since)
app.command(epilog=COMPARE_EPILOG)(compare)
app.command(epilog=ALTERNATIVES_EPILOG)(alternatives)
app.command(epilog=FRONTIER_EPILOG)(frontier)
app.command(epilog=SWEEP_EPILOG)(sweep)
app.command(epilog=BUDGET_EPILOG)(budget)
app.command(epilog=CAPACITY_EPILOG)(capacity)


class Form(StrEnum):
    """How an answer is written."""

    table = "table"
    json = "json"
    csv = "csv"
    markdown = "markdown"
    facility = "facility"


class Goal(StrEnum):
    """What is to be cheapest."""

    purchase = "purchase"
    life = "life"


class BookForm(StrEnum):
    """How the rule book is written."""

    table = "table"
    json = "json"
    markdown = "markdown"


def _seconds(value: float | None) -> float | None:
    if value is not None and not (math.isfinite(value) and value > 0):
        raise typer.BadParameter("write a number of seconds above 0")
    return value


LimitOption = Annotated[
    float | None,
    typer.Option(
        "--time-limit", metavar="SECONDS", callback=_seconds, help="For each different stack; none: no limit."
    ),
]


@app.command(
    epilog="""\b
Examples:
  configurator solve demand.yaml --catalog catalog --prices prices.csv
  configurator solve demand.yaml --on 2031-05-17 --format csv --output bill.csv
  configurator solve - --format json < demand.yaml
  configurator solve                      the packaged demonstration
  configurator solve demand.yaml --objective life

\b
Without a file, a stack in one line:
  configurator solve --ports 180,class4 --uplinks 2,10G --country NL
  configurator solve --devices "12 access points, class6, 2.5G" --ports 24,1G
      --uplinks 2,10G,OM4,80m --units-at-most 2 --airflow front-to-back --country NL
  Words stand in any order; any other field of the file goes as field=value: 24,1G,name=desks.
  Ports of a class count as powered at it; say capable where they only must be able to.

\b
Exit codes: 0 proved cheapest, 1 fault in the tool, 2 bad input,
3 some stack cannot be met, 4 not proved cheapest or not decided.
"""
)
def solve(
    demand: Annotated[
        str | None,
        typer.Argument(metavar="DEMAND", help="Demand file (YAML); - reads standard input; none: the demonstration."),
    ] = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: Annotated[Form, typer.Option("--format", help="How the answer is written.")] = Form.table,
    output: OutputOption = None,
    time_limit: LimitOption = None,
    ports: PortsOption = None,
    devices: DevicesOption = None,
    uplinks: UplinksOption = None,
    units_at_least: UnitsAtLeastOption = None,
    units_at_most: UnitsAtMostOption = None,
    on_supply_loss: SupplyLossOption = None,
    airflow: AirflowOption = None,
    country: CountryOption = None,
    headroom: HeadroomOption = None,
    feature: FeatureOption = None,
    wish: WishOption = None,
    copies: CopiesOption = None,
    audit: Annotated[
        Path | None,
        typer.Option("--audit", metavar="FILE", help="Small record of the answer to write, for `check`."),
    ] = None,
    waivers: WaiversOption = None,
    objective: Annotated[
        Goal,
        typer.Option(
            "--objective", help="What is to be cheapest: to buy, or to own over the years of the demand's `life`."
        ),
    ] = Goal.purchase,
    *,
    print_demand: Annotated[
        bool, typer.Option("--print-demand", help="Print the demand file that the options stand for; solve nothing.")
    ] = False,
) -> None:
    """Find the cheapest valid list of parts for a demand, and prove it."""
    with told():
        from configurator import api, messages, reading
        from configurator.output import check_targets, write_whole
        from configurator.render import demand as as_demand
        from configurator.render import json as as_json
        from configurator.render.style import PLAIN, style_for
        from configurator.review.audit import audit_of

        line = said(
            ports=ports,
            devices=devices,
            uplinks=uplinks,
            units_at_least=units_at_least,
            units_at_most=units_at_most,
            on_supply_loss=on_supply_loss,
            airflow=airflow,
            country=country,
            headroom=headroom,
            feature=feature,
            wish=wish,
            copies=copies,
        )
        reading.check_one_demand(demand, line, printed=print_demand)
        check_targets(output, audit)
        found, day = catalog_of(catalog, prices, on, discounts)
        asked = api.load_line(line, found, day) if line else api.load_demand(demand, found, day)
        if print_demand:
            text = as_demand.render(reading.read_line(line, found))
            put(output, text, exact=True)
            return
        notes = [messages.DEMO_DEMAND_NOTE] if demand is None and not line else []
        accepted = reading.load_waivers(waivers, *api.named(asked), day) if waivers is not None else ()
        answer = api.solve(
            asked, found, time_limit_s=time_limit, notes=notes, waivers=accepted, objective=objective.value
        )
        if audit is not None:
            write_whole(audit, as_json.of_audit(audit_of(answer)).encode())
        style = style_for(sys.stdout) if output is None else PLAIN
        text = _rendered(answer, form, bold=style.bold)
        put(output, text, exact=form in (Form.json, Form.csv, Form.markdown))
        raise typer.Exit(EXIT_CODES[answer.status])


@app.command(
    "check-catalog",
    epilog="""\b
Examples:
  configurator check-catalog --catalog catalog --prices prices.csv
  configurator check-catalog --catalog catalog --on 2031-05-17
""",
)
def check_catalog(
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
) -> None:
    """Read a catalog and its price list and tell everything that is wrong with them."""
    with told():
        from configurator import api, messages

        found, day = catalog_of(catalog, prices, on, discounts)
        show(messages.catalog_summary(found, day, api.catalog_notes(found)))


@app.command(
    epilog="""\b
Examples:
  configurator rules
  configurator rules --format markdown > rules.md
"""
)
def rules(
    form: Annotated[BookForm, typer.Option("--format", help="How the rule book is written.")] = BookForm.table,
) -> None:
    """Print the rule book: every rule, its sentence and its source."""
    with told():
        from configurator import api
        from configurator.render import rulebook
        from configurator.render.style import style_for

        book = api.rule_book()
        if form is BookForm.table:
            show(rulebook.as_table(book, style_for(sys.stdout)))
        else:
            show(rulebook.as_json(book) if form is BookForm.json else rulebook.as_markdown(book), exact=True)


def _print_version(wanted: bool) -> None:
    if wanted:
        from configurator.assemble import tool_version

        typer.echo(f"configurator {tool_version()}")
        raise typer.Exit


VersionOption = Annotated[
    bool, typer.Option("--version", is_eager=True, callback=_print_version, help="Print the version and exit.")
]


@app.callback()
def _main(*, version: VersionOption = False) -> None:
    """Cheapest valid list of parts for stacks of network switches: proved, checked and explained."""


def _rendered(answer: Answer, form: Form, *, bold: bool) -> str:
    from configurator.render import csv as as_csv
    from configurator.render import facility, markdown, table
    from configurator.render import json as as_json
    from configurator.render.style import Style

    if form is Form.json:
        return as_json.render(answer)
    if form is Form.csv:
        return as_csv.render(answer)
    if form is Form.markdown:
        return markdown.render(answer)
    style = Style(bold=bold)
    return facility.render(answer, style) if form is Form.facility else table.render(answer, style)


def main() -> None:
    """The console script."""
    try:
        app()
    except OSError as error:  # of `--help` and `--version`; the commands tell their own
        from configurator import messages

        say(messages.unwritten(error.strerror or type(error).__name__))
        sys.exit(FAULT)
