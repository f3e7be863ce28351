"""`configurator check`: an answer or audit checked again, without the solver."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from configurator.commands.options import CatalogOption, DiscountsOption, OnOption, PricesOption, WaiversOption
from configurator.commands.telling import show, told

NOT_PASSED, NOT_THE_SAME = 3, 4
EPILOG = """\b
Examples:
  configurator check answer.json --catalog catalog --prices prices.csv
  configurator check audit.json --waivers waivers.yaml
  configurator solve --audit audit.json && configurator check audit.json

\b
Every rule looks at every build; every price, sum and quantity is compared with the price list;
the figures of every conflict are computed anew from the catalog; of an answer, everything that it
shows is put together anew.  The solver takes no part, so that no build costs less is not checked again.

\b
A waiver accepts a breach of one rule by one stack, and holds if its file is named: those that an
answer names are shown only.

\b
Exit codes: 0 all passed; 1 fault in the tool; 2 bad input; 3 something did not pass;
4 all passed, but some input is not as it was when the answer was made.
"""


class Form(StrEnum):
    """How a review is written."""

    table = "table"
    json = "json"
    markdown = "markdown"


def check(
    file: Annotated[str, typer.Argument(metavar="FILE", help="Answer (JSON) or audit; - reads standard input.")],
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
    demand: Annotated[
        Path | None,
        typer.Option("--demand", metavar="FILE", help="Demand to check against; none: the one in the answer."),
    ] = None,
    waivers: WaiversOption = None,
    form: Annotated[Form, typer.Option("--format", help="How the review is written.")] = Form.table,
) -> None:
    """Check an answer again: rules, prices, sums and the figures of conflicts."""
    with told():
        from configurator import api, reading
        from configurator.errors import BadInput, Problem
        from configurator.render import review as as_form
        from configurator.render.style import style_for
        from configurator.review import reviewing

        audit, answer = reading.load_either(file)
        day = on if on is not None else audit.order_date
        found = api.load_catalog(catalog, prices, day, discounts=discounts)
        if demand is not None:
            asked = api.load_demand(demand, found, day)
        elif audit.demand is not None:
            asked = reading.demand_from(audit.demand, found, day)
        else:
            text = "the answer holds no demand to check it against"
            raise BadInput([Problem(file, None, None, "demand", None, text, "name its file with --demand")])
        book = api.rule_book()
        names = list(dict.fromkeys(one.name for one in audit.stacks))
        accepted = () if waivers is None else reading.load_waivers(waivers, [r.id for r in book], names, day)
        result = reviewing.review(audit, asked, found, book, accepted, answer)
        if form is Form.table:
            show(as_form.text(result, style_for(sys.stdout)))
        else:
            show(as_form.as_json(result) if form is Form.json else as_form.markdown(result), exact=True)
        raise typer.Exit(NOT_PASSED if not result.passed else NOT_THE_SAME if result.differs else 0)
