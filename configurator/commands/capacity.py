"""`configurator capacity`: what the bill of an answer, or of a demand, already carries."""

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
    from configurator.catalog import Catalog
    from configurator.reading import Asked
    from configurator.review.audit import Audit

EPILOG = """\b
Examples:
  configurator capacity answer.json --catalog catalog --prices prices.csv
  configurator capacity demand.yaml --stack "Floor 2"
  configurator capacity audit.json --format json --output capacity.json

\b
A file that ends in .json is an answer (`solve --format json`) or audit (`solve --audit`); anything
else is a demand, whose cheapest builds are solved first.  Units, modules, supplies and plugs stay
as they are on the bill; what each port does may change.

\b
Exit codes: 0 told; 1 fault in the tool; 2 bad input, or an answer that is not valid any more;
3 no stack has a build.
"""


class Form(StrEnum):
    """How it is written."""

    table = "table"
    json = "json"
    csv = "csv"
    markdown = "markdown"


def capacity(
    file: Annotated[
        str | None,
        typer.Argument(
            metavar="FILE",
            help="Answer or audit (.json), or demand (YAML; - is standard input); none: the demonstration.",
        ),
    ] = None,
    stack: Annotated[
        str | None, typer.Option("--stack", metavar="NAME", help="The stack to look at; none: all of them.")
    ] = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    form: Annotated[Form, typer.Option("--format", help="How it is written.")] = Form.table,
    output: OutputOption = None,
) -> None:
    """Tell the most of each kind that a bill already carries, all else as asked."""
    with told():
        from configurator.output import check_target
        from configurator.render import capacity as as_form
        from configurator.render.style import PLAIN, style_for
        from configurator.varying import capacities

        if output is not None:
            check_target(output)
        asked, found, audit = _read(file, catalog, prices, discounts, on)
        one = capacities.capacity(asked, found, audit=audit, stack=stack)
        style = style_for(sys.stdout) if output is None else PLAIN
        text = as_form.as_table(one, style) if form is Form.table else as_form.FORMS[form.value](one)
        put(output, text, exact=form is not Form.table)
        raise typer.Exit(0 if any(stack.rooms for stack in one.stacks) else 3)


def _read(
    file: str | None, catalog: Path | None, prices: Path | None, discounts: Path | None, on: date | None
) -> tuple[Asked, Catalog, Audit | None]:
    """The demand, the catalog on its day, and the answer where the file is one."""
    from configurator import api, reading
    from configurator.errors import BadInput, Problem

    if file is None or not file.lower().endswith(".json"):
        found, today = catalog_of(catalog, prices, on, discounts)
        return api.load_demand(file, found, today), found, None
    audit = reading.load_audit(file)
    day = on or audit.order_date
    found, _ = catalog_of(catalog, prices, day, discounts)
    if audit.demand is None:
        text, hint = "the answer holds no demand, so what its bill is for is not known", "solve the demand's file again"
        raise BadInput([Problem(file, None, None, "demand", None, text, hint)])
    return reading.demand_from(audit.demand, found, day), found, audit
