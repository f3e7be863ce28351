"""Options that several commands share, and those that are a demand in one line."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from configurator.catalog import Catalog

CatalogOption = Annotated[
    Path | None,
    typer.Option("--catalog", metavar="DIR", help="Folder of the catalog's YAML files; none: the demonstration."),
]
PricesOption = Annotated[
    Path | None,
    typer.Option("--prices", metavar="FILE", help="Price list (CSV); none: prices.csv in DIR or in DIR/prices."),
]
DiscountsOption = Annotated[
    Path | None,
    typer.Option("--discounts", metavar="FILE", help="Discounts on the prices (CSV); none: there are none."),
]
WaiversOption = Annotated[
    Path | None,
    typer.Option("--waivers", metavar="FILE", help="Breaches that a reviewer accepts (YAML); none: nobody did."),
]

OutputOption = Annotated[
    Path | None,
    typer.Option("--output", metavar="FILE", help="File to write, whole or not at all; none: standard output."),
]


def _day(text: str) -> date:
    from configurator.reading.shapes import iso_date

    day, wrong = iso_date(text)
    if day is None:
        raise typer.BadParameter("; ".join(wrong or ()))
    return day


OnOption = Annotated[
    date | None,
    typer.Option("--on", metavar="DATE", parser=_day, help="Order date, as 2031-05-17; none: today."),
]

# --- a demand in one line: each is text, so that it is read as a file's would be -------------------

PortsOption = Annotated[
    list[str] | None,
    typer.Option(
        "--ports",
        metavar="WORDS",
        help="Access ports: count, speed, PoE class, powered or capable: 180,1G,class4,capable. May be repeated.",
    ),
]
DevicesOption = Annotated[
    list[str] | None,
    typer.Option(
        "--devices",
        metavar="WORDS",
        help='Devices: count, kind, speed, PoE class or watts: "12 access points, 2.5G, class6". May be repeated.',
    ),
]
UplinksOption = Annotated[
    list[str] | None,
    typer.Option(
        "--uplinks",
        metavar="WORDS",
        help="Uplinks: count, speed, fibre or direct or copper, length: 2,10G,OM4,80m. May be repeated.",
    ),
]
UnitsAtLeastOption = Annotated[
    str | None, typer.Option("--units-at-least", metavar="NUMBER", help="Fewest units of the stack.")
]
UnitsAtMostOption = Annotated[
    str | None, typer.Option("--units-at-most", metavar="NUMBER", help="Most units of the stack.")
]
SupplyLossOption = Annotated[
    str | None,
    typer.Option(
        "--on-supply-loss",
        metavar="WORD",
        help="What a unit does when it loses a supply: stops, sheds_poe, carries_all.",
    ),
]
AirflowOption = Annotated[
    str | None, typer.Option("--airflow", metavar="WORD", help="front-to-back or back-to-front; none: either.")
]
CountryOption = Annotated[
    str | None, typer.Option("--country", metavar="CODE", help="Where it is plugged in: NL, US … (ISO 3166).")
]
HeadroomOption = Annotated[
    str | None, typer.Option("--headroom", metavar="GROWTH", help="Growth of ports and devices: 10% or a number.")
]
FeatureOption = Annotated[
    list[str] | None,
    typer.Option("--feature", metavar="NAME", help="What the software of every unit must do. May be repeated."),
]
WishOption = Annotated[
    list[str] | None,
    typer.Option(
        "--wish",
        metavar="KEY=VALUE",
        help="Any other wish of a demand file: topology=chain, deliver_by=2031-05-17. May be repeated.",
    ),
]
CopiesOption = Annotated[str | None, typer.Option("--copies", metavar="NUMBER", help="So many stacks alike.")]


def said(**given: str | list[str] | None) -> dict[str, list[str]]:
    """The options of a line that were given, each with its values."""
    return {
        option: [value] if isinstance(value, str) else value for option, value in given.items() if value is not None
    }


def catalog_of(
    folder: Path | None, prices: Path | None, on: date | None, discounts: Path | None = None
) -> tuple[Catalog, date]:
    """The catalog that the options name, and the order date."""
    from configurator import api

    day = on if on is not None else api.order_day(demonstration=folder is None and prices is None)
    return api.load_catalog(folder, prices, day, discounts=discounts), day
