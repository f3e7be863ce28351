"""`configurator explain` as people run it."""

from __future__ import annotations

import json
import re
import subprocess
from importlib import resources
from pathlib import Path

import jsonschema
import pytest
import yaml

from configurator import api, reading
from configurator.reasoning.explanation import Explanation
from configurator.render import explanation as as_form
from tests.journeys.running import TINY, TINY_DAY, run

TIMES = "\N{MULTIPLICATION SIGN}"
ON = reading.load_prices(TINY / "prices.csv").issued


def explain(
    *arguments: str | Path, demand: str | Path = TINY / "demand.yaml", stdin: str = ""
) -> subprocess.CompletedProcess[str]:
    """A demand for the tiny catalog, explained."""
    options = ("--catalog", TINY / "parts", "--prices", TINY / "prices.csv", "--on", TINY_DAY)
    return run("explain", demand, *options, *arguments, stdin=stdin)


def test_a_stack_is_explained() -> None:
    found = explain("--stack", "Plain")
    assert (found.returncode, found.stderr) == (0, "")
    for heading in (
        "What its units are there for",
        "How full it is",
        as_form.CARRIED,
        as_form.LINES,
        as_form.COSTS,
        as_form.OTHERWISE,
    ):
        assert f"\n{heading}\n" in found.stdout
    assert "Powered" not in found.stdout
    assert "what two of them cost together is not the sum of both" in found.stdout


def test_every_stack_is_explained_where_none_is_named() -> None:
    found = explain()
    assert re.findall(r"^Stack \d of 2: (\w+)$", found.stdout, re.MULTILINE) == ["Plain", "Powered"]


def test_with_a_part() -> None:
    """Both units as the 780.00 box: 1 600.00 for 1 440.00."""
    found = explain("--stack", "Powered", "--with", "pond.8p4.full=2")
    assert found.returncode == 0
    assert "The cheapest build with 2 or more of pond.8p4.full costs 160.00 EUR more: 1 600.00 EUR." in found.stdout
    rows = re.findall(r"^(pond\S+) .*?(\d+) +(\d+) +(-?[\d .]+)$", found.stdout, re.MULTILINE)
    money = {part: (int(now), int(then), amount.strip()) for part, now, then, amount in rows}
    assert money == {
        "pond.8p4.bare": (1, 0, "-500.00"),
        "pond.8p4.full": (1, 2, "780.00"),
        "pond.supply.100": (2, 0, "-120.00"),
    }


def test_a_part_that_is_there_already_changes_nothing() -> None:
    found = explain("--stack", "Plain", "--with", "pond.supply.100=2", "--without", "pond.8p4.full")
    assert found.returncode == 0
    assert "The cheapest build is with 2 or more of pond.supply.100 already: it has 2." in found.stdout
    assert "The cheapest build is without pond.8p4.full already: it has none." in found.stdout
    assert "Line by line" not in found.stdout


def test_more_of_a_part_than_there_can_be() -> None:
    """Stacks of this family have three units at most."""
    found = explain("--stack", "Plain", "--with", "pond.8p4.full=9")
    assert found.returncode == 3
    assert "The most of it in any valid build, none of it lying idle, is 3." in found.stdout
    assert "(stacking.size)" in found.stdout


def test_why_not_an_optic_that_does_not_reach() -> None:
    """The nearest use is in a cage, and the fibre that lies there is another."""
    found = run("explain", "--stack", "Library, floor 2", "--with", "optic.sfp+.10g-lr")
    assert found.returncode == 3
    assert "No valid build is with optic.sfp+.10g-lr. None has any that would not lie idle." in found.stdout
    assert f"asked  2 {TIMES} uplink" in found.stdout
    assert "(modules.reach)" in found.stdout
    assert "Time ran out" not in found.stdout


def test_without_a_part_that_is_required() -> None:
    """Fibre uplinks take the only optic there is."""
    found = explain("--stack", "Plain", "--without", "pond.optic.10g-sr")
    assert found.returncode == 3
    assert "No valid build is without pond.optic.10g-sr." in found.stdout
    assert f"asked  2 {TIMES} uplink" in found.stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--with", "pond.8p4.ful"), 'did you mean "pond.8p4.full"?'),
        (("--without", "pond.rear.05m"), 'did you mean "pond.rear.0.5m"?'),
        (("--stack", "plain"), 'did you mean "Plain"?'),
        (("--with", "pond.rear.1m=none"), "write PART=N"),
        (("--with", "pond.rear.1m=0"), "write PART=N"),
    ],
)
def test_a_name_that_is_not_known(arguments: tuple[str, ...], said: str) -> None:
    found = explain(*arguments)
    assert (found.returncode, found.stdout) == (2, "")
    assert said in found.stderr


def test_a_stack_that_cannot_be_met_is_refused_as_solve_refuses_it() -> None:
    text = (TINY / "demand.yaml").read_text(encoding="utf-8").replace("length_m: 50", "length_m: 5000")
    found = explain("--stack", "Plain", demand="-", stdin=text)
    solved = run("solve", "-", "--catalog", TINY / "parts", "--prices", TINY / "prices.csv", "--on", TINY_DAY,
                 stdin=text)  # fmt: skip
    assert (found.returncode, solved.returncode) == (3, 3)
    refusal = solved.stdout.partition("Cannot be met")[2].partition("\n\nStack 2")[0]
    assert len(refusal) > 100
    assert refusal.strip() in found.stdout


def test_json_keeps_the_schema() -> None:
    kept = (resources.files("configurator") / "schema" / "explanation.schema.json").read_text(encoding="utf-8")
    assert kept == as_form.schema(), (
        "python -m configurator.render.explanation > configurator/schema/explanation.schema.json"
    )
    schema = json.loads(kept)
    jsonschema.Draft202012Validator.check_schema(schema)
    for arguments in ((), ("--with", "pond.rear.1m"), ("--without", "pond.optic.10g-sr")):
        data = json.loads(explain("--format", "json", *arguments).stdout)
        jsonschema.validate(data, schema)
        assert json.loads(Explanation.model_validate(data).model_dump_json(by_alias=True)) == data
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate({**data, "schema": "2.0"}, schema)


def test_markdown_has_the_same_sentences() -> None:
    data = Explanation.model_validate_json(explain("--format", "json").stdout)
    text = explain("--format", "markdown").stdout
    bare = re.sub(r"\\(.)", r"\1", text)
    assert text.startswith("# Explanation\n")
    assert [f"## Stack {n} of 2: {one.stack.name}" in bare for n, one in enumerate(data.stacks, 1)] == [True, True]
    for one in data.stacks:
        priced = (*one.statements, *one.assumptions)
        texts = [each.text for each in priced] + [each.text for each in one.lines]
        texts += [each.text for each in one.carries] + [each.text for each in one.drives]
        assert [text for text in texts if text not in bare] == []
    for row in re.findall(r"^\|.*\|$", text, re.MULTILINE):
        assert re.search(r"(?<!\\)\|", row[1:-1])


def test_the_customers_references_are_shown_wherever_the_statement_is() -> None:
    sheet = yaml.safe_load((TINY / "demand.yaml").read_text(encoding="utf-8"))
    sheet["stacks"][0]["uplinks"][0]["ref"] = "4.2b"
    found = explain("--stack", "Plain", demand="-", stdin=yaml.safe_dump(sheet))
    rows = [line for line in found.stdout.splitlines() if f"2 {TIMES} uplink" in line]
    assert len(rows) > 2
    assert all("[4.2b]" in row for row in rows)


def test_spares_are_priced_for_the_order_as_a_whole() -> None:
    """A 100 W supply is in service in both stacks: one spare for 60.00."""
    sheet = yaml.safe_load((TINY / "demand.yaml").read_text(encoding="utf-8"))
    sheet["spares"] = [{"part": "pond.supply.100", "count": 1}]
    found = explain(demand="-", stdin=yaml.safe_dump(sheet))
    after = found.stdout.partition(as_form.ORDER)[2]
    assert "It costs 60.00 EUR: without it the cheapest order costs 2 360.00 EUR." in after


def test_the_python_interface_tells_the_same() -> None:
    import configurator

    catalog = api.load_catalog(TINY, on=ON)
    asked = api.load_demand(TINY / "demand.yaml", catalog, ON)
    found = configurator.explain(asked, catalog, stack="Plain", without_part="pond.rear.0.5m")
    (forced,) = found.stacks[0].forced
    assert (forced.status, forced.difference_minor) == ("cheapest", 40_00)
    assert sum(change.difference_minor for change in forced.changes) == 40_00
    assert found.status == "cheapest"
