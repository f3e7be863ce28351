"""`configurator demand`: demand files to start from."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

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
    PortsOption,
    PricesOption,
    SupplyLossOption,
    UnitsAtLeastOption,
    UnitsAtMostOption,
    UplinksOption,
    WishOption,
    catalog_of,
    said,
)
from configurator.commands.telling import say, show, told

if TYPE_CHECKING:
    from datetime import date

    from configurator.catalog import Catalog

QUESTIONS = (
    ("country", "Country, as NL or US"),
    ("ports", "Access ports, as 180,1G,class4"),
    ("devices", "Powered devices, as 12 access points, class6"),
    ("uplinks", "Uplinks, as 2,10G,OM4,80m"),
    ("units_at_most", "Most units of the stack, as 4"),
    ("on_supply_loss", "On the loss of a supply: stops, sheds_poe, carries_all"),
    ("airflow", "Airflow: front-to-back, back-to-front"),
    ("headroom", "Head-room, as 10%"),
)

app = typer.Typer(
    rich_markup_mode=None,
    no_args_is_help=True,
    help="""Demand files: what each stack of switches has to serve.

\b
Examples:
  configurator demand new demand.yaml
""",
)


@app.callback()
def _main() -> None:
    """Demand files: what each stack of switches has to serve."""


@app.command(
    epilog="""\b
Examples:
  configurator demand new demand.yaml
  configurator demand new demand.yaml --ports 180,class4 --uplinks 2,10G --country NL
  configurator demand new --catalog catalog --prices prices.csv > demand.yaml

\b
Every field that a demand knows is in the file, with its meaning, unit and default.
At a terminal, and without options, a few questions are asked first; an empty answer says nothing.
"""
)
def new(
    file: Annotated[
        Path | None, typer.Argument(metavar="FILE", help="File to write; - or none: standard output.")
    ] = None,
    catalog: CatalogOption = None,
    prices: PricesOption = None,
    discounts: DiscountsOption = None,
    on: OnOption = None,
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
    *,
    overwrite: Annotated[bool, typer.Option("--overwrite", help="Replace a file that is there.")] = False,
) -> None:
    """Write a commented demand file to start from."""
    with told():
        from configurator.output import check_new, write_whole

        target = None if file is None or str(file) == "-" else file
        if target is not None:
            check_new(target, overwrite=overwrite)
        found, day = catalog_of(catalog, prices, on, discounts)
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
        if not line and sys.stdin is not None and sys.stdin.isatty():
            line = _answers(found, day)
        text = starting_file(line, found, day)
        if target is None:
            show(text, exact=True)
        else:
            write_whole(target, text.encode())
            say(f"{target}: a demand to start from; solve it with: configurator solve {target}")


def starting_file(line: dict[str, list[str]], catalog: Catalog, on: date) -> str:
    """The file for what a line says, and for the least where it says nothing; BadInput where it can't be meant."""
    from configurator import reading
    from configurator.reading.line import SERVED
    from configurator.render import starting

    if not any(line.get(option) for option in SERVED):
        line = {**starting.first_line(catalog), **line}
    country = starting.guessed_country(catalog)
    guessed = country is not None and "country" not in line
    if guessed:
        line = {**line, "country": [str(country)]}
    reading.load_line(line, catalog, on)
    return starting.render(reading.read_line(line, catalog).sheet.data, catalog, on, guessed=guessed)


def _answers(catalog: Catalog, on: date) -> dict[str, list[str]]:
    """What the questions are answered with; a question is asked again until its answer can be meant."""
    from configurator.errors import BadInput

    line: dict[str, list[str]] = {}
    for option, question in QUESTIONS:
        while answer := _answer(question):
            try:
                starting_file({**line, option: [answer]}, catalog, on)
            except BadInput as error:
                say(f"{error}\n")
                continue
            line[option] = [answer]
            break
    return line


def _answer(question: str) -> str:
    """What is typed; the question goes to standard error, as standard output may be the file."""
    typer.echo(f"{question}: ", nl=False, err=True)
    typed = sys.stdin.readline()
    if not typed:
        raise typer.Abort
    return typed.strip()
