"""`configurator compare` as people run it."""

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

from configurator.buying.comparison import Comparison
from configurator.render import comparison as as_form
from tests.journeys.running import DEMO, TINY, TINY_DAY, run, tiny

WHERE = ("--catalog", TINY / "parts", "--prices", TINY / "prices.csv", "--on", TINY_DAY)


def compare(*arguments: str | Path, stdin: str = "") -> subprocess.CompletedProcess[str]:
    """Files for the tiny catalog, compared."""
    return run("compare", *arguments, *WHERE, stdin=stdin)


def ways(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """The tiny demand's ways to buy."""
    return compare(TINY / "demand.yaml", *arguments)


def test_three_ways_to_buy() -> None:
    """Sums by hand: the free mix is that of the demand's comments; `full` only: 4 x 780 + 160 + 80."""
    found = ways()
    assert (found.returncode, found.stderr) == (0, "")
    for row in (
        r"bundles only +3 360\.00 +1 000\.00 +4 +4 ",
        r"base units and parts only +2 380\.00 +20\.00 +4 +0 ",
        r"free mix +2 360\.00 +4 +1 ",
    ):
        assert re.search(row, found.stdout), row
    for heading in (as_form.WHY, as_form.STACKS, as_form.LINES, as_form.TYPES, as_form.BREAK_EVEN, as_form.LATER):
        assert f"\n{heading}\n" in found.stdout
    assert "pond.8p4.full  Stays in the order up to 800.00 EUR (2.5 % above today's)" in found.stdout
    assert "2 parts added later cost 120.00 EUR, as much." in found.stdout


def test_one_stack_by_itself() -> None:
    """Powered in base units: 2 x (500 + 2 x 100-W and 300-W supplies) + 40, by hand 1460."""
    data = json.loads(ways("--stack", "Powered", "--format", "json").stdout)
    assert {side["key"]: side["total_minor"] for side in data["sides"]} == {
        "bundles": 1600_00,
        "base_units": 1460_00,
        "either": 1440_00,
    }
    assert [side["stacks"][0]["name"] for side in data["sides"]] == ["Powered"] * 3


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--bundle", "pond.8p4.ful"), 'did you mean "pond.8p4.full"?'),
        (("--bundle", "pond.8t.bare"), '"pond.8t.bare" is no bundle'),
        (("--stack", "plain"), 'did you mean "Plain"?'),
    ],
)
def test_a_name_that_is_not_known(arguments: tuple[str, ...], said: str) -> None:
    found = ways(*arguments)
    assert (found.returncode, found.stdout) == (2, "")
    assert said in found.stderr


def test_an_answer_alone_has_nothing_beside_it(tmp_path: Path) -> None:
    answer = tmp_path / "answer.json"
    answer.write_text(tiny("--format", "json").stdout, encoding="utf-8")
    found = compare(answer)
    assert found.returncode == 2
    assert "an answer alone has nothing beside it" in found.stderr
    found = compare(answer, answer, "--bundle", "pond.8p4.full")
    assert found.returncode == 2
    assert "--bundle is about the ways to buy one demand" in found.stderr


def test_two_of_a_kind_and_one_of_each(tmp_path: Path) -> None:
    """Eight desks more need a third unit: 300 + 60 + 20 = 380 more."""
    sheet = yaml.safe_load((TINY / "demand.yaml").read_text(encoding="utf-8"))
    sheet["stacks"][0]["ports"][0]["count"] = 20
    more = tmp_path / "more.yaml"
    more.write_text(yaml.safe_dump(sheet), encoding="utf-8")
    answers = []
    for demand in (TINY / "demand.yaml", more):
        answers.append(tmp_path / f"{demand.stem}.json")
        answers[-1].write_text(tiny("--format", "json", demand=demand).stdout, encoding="utf-8")
    for pair in ((TINY / "demand.yaml", more), tuple(answers), (answers[0], more), (TINY / "demand.yaml", answers[1])):
        found = compare(*pair, "--format", "json")
        assert found.returncode == 0, found.stderr
        one = Comparison.model_validate_json(found.stdout)
        assert [side.total_minor for side in one.sides] == [2360_00, 2740_00]
        assert one.sides[1].difference_minor == 380_00
        (change,) = one.changes
        assert (change.stacks, change.kind) == (("Plain",), "changed")
        lines = {line.part: [cell.quantity if cell else None for cell in line.cells] for line in one.lines}
        assert (lines["pond.8t.bare"], lines["pond.rear.0.5m"]) == ([2, 3], [4, 5])
        assert sum(cell.difference_minor or 0 for line in one.lines for cell in line.cells[1:] if cell) == 380_00


def test_what_cannot_be_met_exits_with_3(tmp_path: Path) -> None:
    far = tmp_path / "far.yaml"
    far.write_text(
        (TINY / "demand.yaml").read_text(encoding="utf-8").replace("length_m: 50", "length_m: 5000"), "utf-8"
    )
    assert compare(far).returncode == 3
    found = compare(TINY / "demand.yaml", far)
    assert found.returncode == 3
    assert "There is no order of all stacks of" in found.stdout
    assert "(modules.reach)" in found.stdout


def test_json_keeps_the_schema(tmp_path: Path) -> None:
    kept = (resources.files("configurator") / "schema" / "comparison.schema.json").read_text(encoding="utf-8")
    command = "python -m configurator.render.comparison > configurator/schema/comparison.schema.json"
    assert kept == as_form.schema(), command
    schema = json.loads(kept)
    jsonschema.Draft202012Validator.check_schema(schema)
    whole = tmp_path / "out.json"
    assert ways("--format", "json", "--output", whole).returncode == 0
    data = json.loads(whole.read_text(encoding="utf-8"))
    jsonschema.validate(data, schema)
    assert json.loads(Comparison.model_validate(data).model_dump_json(by_alias=True)) == data
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**data, "schema": "2.0"}, schema)


def test_markdown_says_the_same_and_csv_adds_up() -> None:
    one = Comparison.model_validate_json(ways("--format", "json").stdout)
    bare = re.sub(r"\\(.)", r"\1", ways("--format", "markdown").stdout)
    texts = [*one.why, *(each.text for each in one.types), *(each.text for each in one.break_even)]
    texts += [each.text for each in one.later]
    assert [text for text in texts if text not in bare] == []
    rows = list(csv.DictReader(io.StringIO(ways("--format", "csv").stdout)))
    for side in one.sides:
        amounts = [row["amount"] for row in rows if row["side"] == side.key]
        assert sum(int(amount.replace(".", "")) for amount in amounts) == side.total_minor


def test_the_demonstration_has_a_way_that_one_stack_rules_out() -> None:
    """The tower's own wish is one side more, and dearer than a free mix."""
    found = run(
        "compare", DEMO / "demands" / "styles.yaml", "--stack", "Tower", "--format", "json", "--on", "2026-11-25"
    )
    data = json.loads(found.stdout)
    totals = {side["key"]: side["total_minor"] for side in data["sides"]}
    assert data["against"] == "asked"
    assert totals["asked"] == totals["base_units"] > totals["either"] == totals["bundles"]
