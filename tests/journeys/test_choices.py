"""`configurator alternatives` and `configurator frontier` as people run them."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
from importlib import resources
from pathlib import Path

import jsonschema
import pytest
import yaml

import configurator
from configurator import api, reading
from configurator.render import choices as as_form
from tests.journeys.running import TINY, TINY_DAY, run

ON = reading.load_prices(TINY / "prices.csv").issued


def tiny(command: str, *arguments: str | Path, stdin: str = "") -> subprocess.CompletedProcess[str]:
    """Other builds for the tiny catalog's demand, or for one on standard input."""
    demand = "-" if stdin else TINY / "demand.yaml"
    options = ("--catalog", TINY / "parts", "--prices", TINY / "prices.csv", "--on", TINY_DAY)
    return run(command, demand, *options, *arguments, stdin=stdin)


def rows(text: str) -> list[dict[str, str]]:
    """Lines of a CSV file by their heads."""
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_alternatives_by_hand() -> None:
    """Two pond.8t with a 100 W supply each cost 920.00; one more supply 60.00, a 300 W one in its place 90.00.

    Both bays of both units filled with 100 W supplies cost 120.00 more, so that is the next.
    """
    found = tiny("alternatives", "-k", "3", "--stack", "Plain", "--format", "csv")
    assert (found.returncode, found.stderr) == (0, "")
    assert [(one["price"], one["more"], one["watts_left"], one["supplies"]) for one in rows(found.stdout)] == [
        ("920.00", "0.00", "158", "2 x pond.supply.100"),
        ("980.00", "60.00", "258", "3 x pond.supply.100"),
        ("1010.00", "90.00", "358", "1 x pond.supply.100, 1 x pond.supply.300"),
    ]
    text = tiny("alternatives", "-k", "3", "--stack", "Plain").stdout
    assert "The next one costs 1 040.00 EUR." in text
    assert "gains     200 W more left" in text


def test_a_frontier_by_hand() -> None:
    """Twelve desks and two uplinks: two units have 2 x (8 + 2) ports, three 30, for 300 + 60 + 20 more."""
    found = tiny("frontier", "--against", "spare-ports", "--stack", "Plain", "--format", "csv")
    assert (found.returncode, found.stderr) == (0, "")
    assert [(one["value"], one["price"], one["more"], one["units"]) for one in rows(found.stdout)] == [
        ("6", "920.00", "0.00", "2"),
        ("16", "1300.00", "380.00", "3"),
    ]
    text = tiny("frontier", "--against", "spare-ports", "--stack", "Plain").stdout
    assert "At no price any build has more spare ports than the last." in text
    assert "gives up  1 more unit, 1 more rack unit" in text


def test_a_frontier_says_where_it_was_cut_off() -> None:
    found = tiny("frontier", "--against", "watts-left", "--stack", "Plain", "--most", "4")
    assert found.returncode == 0
    assert "Cut off after 4 builds: dearer ones follow; see --most." in found.stdout
    assert len(re.findall(r"^\d+\. ", found.stdout, re.MULTILINE)) == 4
    whole = tiny("frontier", "--against", "watts-left", "--stack", "Plain", "--format", "csv", "--most", "100")
    assert len(rows(whole.stdout)) > 4


def test_no_support_is_sold() -> None:
    """The tiny catalog has no contracts: one point."""
    (only,) = rows(tiny("frontier", "--against", "support-years", "--stack", "Plain", "--format", "csv").stdout)
    assert (only["value"], only["price"]) == ("0", "920.00")


def test_stacks_that_ask_for_the_same_are_listed_once() -> None:
    sheet = yaml.safe_load((TINY / "demand.yaml").read_text(encoding="utf-8"))
    first = json.dumps(sheet["stacks"][0])  # twice, with nothing shared
    sheet["stacks"] = [json.loads(first), {**json.loads(first), "name": "Plain too"}]
    found = tiny("alternatives", stdin=yaml.safe_dump(sheet))
    assert found.returncode == 0
    assert "Stack 1 of 1: Plain\n" in found.stdout
    assert "The same holds of: Plain too." in found.stdout


def test_spares_are_not_in_the_prices_of_one_stack() -> None:
    sheet = yaml.safe_load((TINY / "demand.yaml").read_text(encoding="utf-8"))
    sheet["spares"] = [{"part": "pond.supply.100", "count": 1}]
    found = tiny("alternatives", stdin=yaml.safe_dump(sheet))
    assert "Prices are those of one stack by itself; packs, spares" in found.stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("alternatives", "--stack", "plain"), 'did you mean "Plain"?'),
        (("alternatives", "-k", "0"), "write a number from 1 to 100"),
        (("frontier", "--against", "spare-port"), 'did you mean "spare-ports"?'),
        (("frontier",), "rack-units"),
        (("frontier", "--against", "rack-units", "--most", "0"), "write a number from 1 to 200"),
    ],
)
def test_a_name_or_number_that_is_not_known(arguments: tuple[str, ...], said: str) -> None:
    found = tiny(*arguments)
    assert (found.returncode, found.stdout) == (2, "")
    assert said in found.stderr


@pytest.mark.parametrize("command", [("alternatives",), ("frontier", "--against", "watts-left")])
def test_a_stack_that_cannot_be_met_is_refused_as_solve_refuses_it(command: tuple[str, ...]) -> None:
    text = (TINY / "demand.yaml").read_text(encoding="utf-8").replace("length_m: 50", "length_m: 5000")
    found = tiny(*command, "--stack", "Plain", stdin=text)
    assert found.returncode == 3
    assert "Cannot be met: no build meets this demand" in found.stdout
    assert "(modules.reach)" in found.stdout
    (only,) = rows(tiny(*command, "--stack", "Plain", "--format", "csv", stdin=text).stdout)
    assert (only["status"], only["price"]) == ("cannot be met", "")


@pytest.mark.parametrize("name", list(as_form.SCHEMAS))
def test_json_keeps_the_schema(name: str) -> None:
    kept = (resources.files("configurator") / "schema" / f"{name}.schema.json").read_text(encoding="utf-8")
    assert kept == as_form.schema(name), (
        f"python -m configurator.render.choices {name} > configurator/schema/{name}.schema.json"
    )
    schema = json.loads(kept)
    jsonschema.Draft202012Validator.check_schema(schema)
    more = () if name == "alternatives" else ("--against", "rack-units")
    data = json.loads(tiny(name, *more, "--format", "json").stdout)
    jsonschema.validate(data, schema)
    assert json.loads(as_form.SCHEMAS[name].model_validate(data).model_dump_json(by_alias=True)) == data
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**data, "schema": "2.0"}, schema)


def test_markdown_has_the_same_figures(tmp_path: Path) -> None:
    file = tmp_path / "choices.md"
    found = tiny("alternatives", "--format", "markdown", "--output", file)
    assert (found.returncode, found.stdout) == (0, "")
    text = file.read_text(encoding="utf-8")
    assert text.startswith("# Alternatives\n")
    assert re.search(r"^\| 2 \| 980\.00 \| 60\.00 \| 2 \| 2 \| 6 \| 258 \|", text, re.MULTILINE)


def test_the_demonstration_gains_ports_for_money() -> None:
    """More of one thing is bought with more money, and each point's lines add up to its difference."""
    catalog = api.load_catalog()
    asked = api.load_demand(None, catalog)
    (one,) = configurator.frontier(asked, catalog, against="spare-ports", stack="Library, floor 2").stacks
    assert len(one.points) > 2
    for before, after in zip(one.points, one.points[1:], strict=False):
        assert before.value < after.value
        assert before.choice.price_minor < after.choice.price_minor
    for point in one.points:
        assert sum(change.difference_minor for change in point.choice.changes) == point.choice.difference_minor
        assert sum(line.amount_minor for line in point.choice.bill) == point.choice.price_minor


def test_longer_support_costs_more_in_the_demonstration() -> None:
    catalog = api.load_catalog()
    asked = api.load_demand(None, catalog)
    (one,) = configurator.frontier(asked, catalog, against="support-years", stack="Gatehouse").stacks
    months = [point.choice.figures.support_months for point in one.points]
    assert months == [int(point.value) for point in one.points]
    assert months == sorted(set(months))
    assert len(months) > 2


def test_the_python_interface_tells_the_same() -> None:
    catalog = api.load_catalog(TINY, on=ON)
    asked = api.load_demand(TINY / "demand.yaml", catalog, ON)
    found = configurator.alternatives(asked, catalog, k=2, stack="Powered")
    assert [one.price_minor for one in found.stacks[0].builds] == [1440_00, 1600_00]
    assert found.stacks[0].proved
    with pytest.raises(configurator.BadInput, match="--stack"):
        configurator.alternatives(asked, catalog, stack="none")
