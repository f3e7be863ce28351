"""The command line.  Answers go to standard output, everything else to standard error.

Exit codes: 0 solved and proved cheapest; 1 the tool's own fault; 2 bad input or usage;
3 some stack cannot be met; 4 answered but not proved cheapest, or not decided in time.
Of several, 1 before 2 before 3 before 4.
"""

from __future__ import annotations

import errno
import json
import math
import os
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from configurator.answer import Answer
    from configurator.catalog import Catalog
    from configurator.solved import Status
    from configurator.verify import CheckFailed

FAULT, BAD_INPUT, INTERRUPTED, BROKEN_PIPE = 1, 2, 130, 141
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
  configurator check-catalog --catalog catalog --prices prices.csv
  configurator rules
""",
)


class Form(StrEnum):
    """How an answer is written."""

    table = "table"
    json = "json"
    csv = "csv"


class BookForm(StrEnum):
    """How the rule book is written."""

    table = "table"
    json = "json"
    markdown = "markdown"


CatalogOption = Annotated[
    Path | None,
    typer.Option("--catalog", metavar="DIR", help="Folder of the catalog's YAML files; none: the demonstration."),
]
PricesOption = Annotated[
    Path | None,
    typer.Option("--prices", metavar="FILE", help="Price list (CSV); none: prices.csv in DIR or in DIR/prices."),
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


def _seconds(value: float | None) -> float | None:
    if value is not None and not (math.isfinite(value) and value > 0):
        raise typer.BadParameter("write a number of seconds above 0")
    return value


OutputOption = Annotated[
    Path | None,
    typer.Option("--output", metavar="FILE", help="File to write, whole or not at all; none: standard output."),
]
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
    on: OnOption = None,
    form: Annotated[Form, typer.Option("--format", help="How the answer is written.")] = Form.table,
    output: OutputOption = None,
    time_limit: LimitOption = None,
) -> None:
    """Find the cheapest valid list of parts for a demand, and prove it."""
    with _told():
        from configurator import api, messages
        from configurator.output import check_target, write_whole
        from configurator.render.style import PLAIN, style_for

        if output is not None:
            check_target(output)
        found, day = _catalog(catalog, prices, on)
        asked = api.load_demand(demand, found, day)
        notes = [messages.DEMO_DEMAND_NOTE] if demand is None else []
        answer = api.solve(asked, found, time_limit_s=time_limit, notes=notes)
        style = style_for(sys.stdout) if output is None else PLAIN
        text = _rendered(answer, form, bold=style.bold)
        if output is not None:
            write_whole(output, text.encode())
        else:
            _print(text, exact=form is not Form.table)
        raise typer.Exit(EXIT_CODES[answer.status])


@app.command(
    "check-catalog",
    epilog="""\b
Examples:
  configurator check-catalog --catalog catalog --prices prices.csv
  configurator check-catalog --catalog catalog --on 2031-05-17
""",
)
def check_catalog(catalog: CatalogOption = None, prices: PricesOption = None, on: OnOption = None) -> None:
    """Read a catalog and its price list and tell everything that is wrong with them."""
    with _told():
        from configurator import api, messages

        found, day = _catalog(catalog, prices, on)
        _print(messages.catalog_summary(found, day, api.catalog_notes(found)))


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
    with _told():
        from configurator import api
        from configurator.render import rulebook
        from configurator.render.style import style_for

        book = api.rule_book()
        if form is BookForm.table:
            _print(rulebook.as_table(book, style_for(sys.stdout)))
        else:
            _print(rulebook.as_json(book) if form is BookForm.json else rulebook.as_markdown(book), exact=True)


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


def _catalog(folder: Path | None, prices: Path | None, on: date | None) -> tuple[Catalog, date]:
    from configurator import api

    day = on if on is not None else api.order_day(demonstration=folder is None and prices is None)
    return api.load_catalog(folder, prices, day), day


def _rendered(answer: Answer, form: Form, *, bold: bool) -> str:
    from configurator.render import csv as as_csv
    from configurator.render import json as as_json
    from configurator.render import table
    from configurator.render.style import Style

    if form is Form.json:
        return as_json.render(answer)
    return as_csv.render(answer) if form is Form.csv else table.render(answer, Style(bold=bold))


def _print(text: str, *, exact: bool = False) -> None:
    """To standard output; data is UTF-8 whatever the terminal, tables show `?` for what it can't."""
    if sys.stdout is None:  # closed before the start: `>&-`
        raise OSError(errno.EBADF, "standard output is closed")
    data = text.encode() if exact else text.encode(sys.stdout.encoding or "utf-8", "replace")
    sys.stdout.flush()
    sys.stdout.buffer.write(data)
    sys.stdout.buffer.flush()


@contextmanager
def _told() -> Iterator[None]:
    """Whatever goes wrong is told in words, with its exit code."""
    from configurator import messages
    from configurator.errors import BadInput
    from configurator.verify import CheckFailed

    try:
        yield
    except typer.Exit:
        raise
    except BadInput as error:
        _say(str(error))
        raise typer.Exit(BAD_INPUT) from None
    except BrokenPipeError:
        # The reader has gone (`| head`): nothing more can be told it, not at exit either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise typer.Exit(BROKEN_PIPE) from None
    except KeyboardInterrupt:
        raise typer.Exit(INTERRUPTED) from None
    except CheckFailed as error:
        _say(messages.check_failed(((rule, one.text) for rule, one in error.breaches), _dump(error)))
        raise typer.Exit(FAULT) from None
    except OSError as error:
        _say(messages.unwritten(error.strerror or type(error).__name__))
        raise typer.Exit(FAULT) from None
    except Exception as error:  # noqa: BLE001 -- the last resort: a fault of ours never shows a trace unasked
        if os.environ.get("CONFIGURATOR_TRACE") == "1":
            traceback.print_exc()
        _say(messages.fault(f"{type(error).__name__}: {error}"))
        raise typer.Exit(FAULT) from None


def _say(text: str) -> None:
    from configurator.render.style import printable

    typer.echo(printable(text), err=True)


def _dump(error: CheckFailed) -> str | None:
    """What is needed to look into a rejected build, in a file of its own; none where none can be written."""
    kept = {
        "stack": error.ask.stack.name,
        "breaches": [{"rule": rule, "unit": one.unit, "text": one.text} for rule, one in error.breaches],
        "ask": repr(error.ask),
        "build": error.build.model_dump(mode="json"),
    }
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", prefix="configurator-fault-", suffix=".json", delete=False
        ) as stream:
            json.dump(kept, stream, indent=2)
    except OSError:
        return None
    return stream.name


def main() -> None:
    """The console script."""
    try:
        app()
    except OSError as error:  # of `--help` and `--version`; the commands tell their own
        from configurator import messages

        _say(messages.unwritten(error.strerror or type(error).__name__))
        sys.exit(FAULT)
