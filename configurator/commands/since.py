"""`configurator since`: what changed since an earlier answer, and what each change does to the price."""

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
    PricesOption,
    WaiversOption,
    catalog_of,
)
from configurator.commands.telling import show, told

if TYPE_CHECKING:
    from configurator.solved import Status

EXIT_CODES: dict[Status, int] = {"cheapest": 0, "cannot be met": 3, "best found": 4, "not decided": 4}
EPILOG = """\b
Examples:
  configurator since answer.json demand.yaml --catalog catalog --prices prices.csv
  configurator since answer.json --prices new.csv --earlier-prices old.csv
  configurator since answer.json demand.yaml --format markdown > changes.md

\b
Told are: statements of the demand, catalog, prices, rules and version that are not as they were; what
each change does to the price by itself, and all together; what the earlier parts cost today; which
rules object to the earlier order today.  An answer holds its demand and the hashes of its other files:
where these changed, --earlier-catalog, --earlier-prices and --earlier-discounts let each be priced by
itself.

\b
Exit codes: 0 today's order is proved cheapest; 1 fault in the tool; 2 bad input;
3 today's demand cannot be met; 4 not proved cheapest or not decided.
"""


class Form(StrEnum):
    """How the changes are written."""

    table = "table"
    json = "json"
    markdown = "markdown"


def since(
    earlier: Annotated[
        str, typer.Argument(metavar="EARLIER", help="Earlier answer (JSON) or audit; - reads standard input.")
    ],
    demand: Annotated[
        str | None,
        typer.Argument(metavar="DEMAND", help="Demand file of today (YAML); none: the one in the earlier answer."),
    ] = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    earlier_prices: Annotated[
        Path | None,
        typer.Option("--earlier-prices", metavar="FILE", help="Price list that the earlier answer was made from."),
    ] = None,
    earlier_catalog: Annotated[
        Path | None,
        typer.Option("--earlier-catalog", metavar="DIR", help="Catalog that the earlier answer was made from."),
    ] = None,
    earlier_discounts: Annotated[
        Path | None,
        typer.Option("--earlier-discounts", metavar="FILE", help="Discounts that the earlier answer was made with."),
    ] = None,
    waivers: WaiversOption = None,
    form: Annotated[Form, typer.Option("--format", help="How the changes are written.")] = Form.table,
) -> None:
    """Tell what changed since an earlier answer, and what each change does to the price."""
    with told():
        from configurator import api, reading
        from configurator.errors import BadInput, Problem
        from configurator.render import changes as as_form
        from configurator.render.style import style_for
        from configurator.review import comparing

        then = reading.load_audit(earlier)
        found, day = catalog_of(catalog, prices, on, discounts)
        if demand is not None:
            asked = api.load_demand(demand, found, day)
        elif then.demand is not None:
            asked = reading.demand_from(then.demand, found, day)
        else:
            text = "the earlier answer holds no demand"
            raise BadInput([Problem(earlier, None, None, "demand", None, text, "name today's demand file")])
        names, ids = [ask.stack.name for ask in asked.asks], [rule.id for rule in api.rule_book()]
        listed = None if earlier_prices is None else reading.load_prices(earlier_prices)
        result = comparing.since(
            then,
            asked,
            found,
            api.rule_book(),
            earlier_catalog=None if earlier_catalog is None else api.load_technical(earlier_catalog),
            earlier_prices=listed,
            earlier_discounts=None
            if earlier_discounts is None
            else reading.load_discounts(earlier_discounts, listed or found.prices, then.order_date),
            waivers=() if waivers is None else reading.load_waivers(waivers, ids, names, day),
        )
        if form is Form.table:
            show(as_form.text(result, style_for(sys.stdout)))
        else:
            show(as_form.render(result) if form is Form.json else as_form.markdown(result), exact=True)
        raise typer.Exit(EXIT_CODES[result.status])
