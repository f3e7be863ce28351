"""Discounts in every command that reads prices, on the tiny demonstration.

Its order at list prices comes to 920 + 1440 = 2360; see the comments of its demand.
"""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
from datetime import date
from pathlib import Path

import jsonschema
import pytest

import configurator
from configurator.render import changes as as_changes
from configurator.render import json as as_json
from tests.journeys.running import TINY, run

DAY = "2026-11-25"
DISCOUNTS = TINY / "discounts.csv"
HERE = ("--catalog", TINY, "--on", DAY)
# At 2300 and more 6 % are off, 12.5 % off the two optics: (2360 - 160) x 0.94 + 160 x 0.875 = 2068 + 140
NET = 2208_00


def written(folder: Path, text: str) -> Path:
    file = folder / "discounts.csv"
    file.write_text(text, encoding="utf-8")
    return file


def solve(*arguments: str | Path, discounts: Path = DISCOUNTS) -> subprocess.CompletedProcess[str]:
    return run("solve", TINY / "demand.yaml", *HERE, "--discounts", discounts, *arguments)


@pytest.fixture(scope="module", name="answer")
def _answer(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The answer and its audit."""
    folder = tmp_path_factory.mktemp("answer")
    done = solve("--format", "json", "--output", folder / "answer.json", "--audit", folder / "audit.json")
    assert (done.returncode, done.stderr) == (0, "")
    return folder / "answer.json", folder / "audit.json"


# --- solve ----------------------------------------------------------------------------------------------


def test_every_line_shows_list_discount_and_net_and_the_order_all_three_sums() -> None:
    done = solve()
    assert (done.returncode, done.stderr) == (0, "")
    lines = [" ".join(line.split()) for line in done.stdout.splitlines()]
    assert "Part Description Qty List price EUR Discount % Net price EUR Amount EUR" in lines
    assert "pond.optic.10g-sr SFP+, 10GBASE-SR 2 80.00 12.5 70.00 140.00" in lines
    assert "pond.8t.bare pond.8t, unit alone 2 300.00 6 282.00 564.00" in lines
    assert lines[lines.index("Order at list prices, less discounts") + 1 :][:3] == [
        "list 2 360.00 EUR",
        "discount 152.00 EUR",
        "net 2 208.00 EUR",
    ]
    assert "Order total: 2 208.00 EUR" in lines
    assert any("they don't add up" in line and "half up" in line for line in lines)
    assert "don't hold on the order's day: line 6, from 2027-01-01" in done.stdout
    assert "The order is 140.00 EUR at list prices below the next value from which a discount holds" in done.stdout


def test_markdown_says_the_same() -> None:
    done = solve("--format", "markdown")
    told = done.stdout.replace("\\", "")
    assert done.returncode == 0
    assert "| pond.optic.10g-sr | SFP+, 10GBASE-SR | 2 | 80.00 | 12.5 | 70.00 | 140.00 |" in told
    assert "12.5 % on pond.optic.10g-sr, from 2026-11-01, until 2026-12-31 (line 2)" in told


def test_csv_has_columns_of_list_prices_where_discounts_are_in_force() -> None:
    rows = list(csv.DictReader(io.StringIO(solve("--format", "csv").stdout)))
    optic = next(row for row in rows if row["part"] == "pond.optic.10g-sr")
    told = [optic[key] for key in ("list_price", "discount_percent", "unit_price", "list_amount", "amount")]
    assert told == ["80.00", "12.5", "70.00", "160.00", "140.00"]
    assert sum(int(row["amount"].replace(".", "")) for row in rows) == NET
    assert sum(int(row["list_amount"].replace(".", "")) for row in rows) == 2360_00


def test_nothing_changes_where_no_discount_is_in_force(tmp_path: Path) -> None:
    later = written(tmp_path, "part,category,percent,from\n,,50,2026-11-26\n")
    for form in ("table", "csv", "markdown"):
        told = solve("--format", form, discounts=later).stdout.splitlines()
        plain = run("solve", TINY / "demand.yaml", *HERE, "--format", form).stdout.splitlines()
        assert [line for line in told if line and "iscounts" not in line] == [line for line in plain if line]


def test_the_answer_as_json_keeps_its_schema_and_names_the_file(answer: tuple[Path, Path]) -> None:
    data = json.loads(answer[0].read_text(encoding="utf-8"))
    jsonschema.validate(data, json.loads(as_json.schema()))
    used = data["discounts"]
    assert (used["list_minor"], used["discount_minor"], used["net_minor"]) == (2360_00, 152_00, NET)
    assert (used["threshold_minor"], used["next_minor"], data["total_minor"]) == (2300_00, 2500_00, NET)
    assert [(one["line"], one["percent"], one["reached"]) for one in used["rows"]] == [
        (2, 12.5, True),
        (3, 2.0, True),
        (4, 6.0, True),
        (5, 9.0, False),
    ]
    optic = next(line for line in data["bill"] if line["part"] == "pond.optic.10g-sr")
    assert (optic["list_price_minor"], optic["discount_percent"], optic["discount_line"]) == (80_00, 12.5, 2)
    assert [one["role"] for one in data["inputs"]].count("discounts") == 1


@pytest.mark.parametrize("percent", ["9", "10", "20"])
def test_a_dearer_order_is_taken_where_its_discount_makes_it_cheaper(percent: str, tmp_path: Path) -> None:
    """At 9 and 10 % off, an order of 2500 costs more than 2208: 2275 and 2250; at 20 % no more than some 2000."""
    text = DISCOUNTS.read_text(encoding="utf-8").replace(",,9,,,2500.00", f",,{percent},,,2500.00")
    done = solve("--format", "json", discounts=written(tmp_path, text))
    data = json.loads(done.stdout)
    assert (done.returncode, data["status"]) == (0, "cheapest")
    pays = percent == "20"
    assert data["discounts"]["threshold_minor"] == (2500_00 if pays else 2300_00)
    assert (data["total_minor"] < NET) is pays
    assert data["discounts"]["list_minor"] >= (2500_00 if pays else 2360_00)
    assert len(data["stacks"][0]["units"]) == len(data["stacks"][1]["units"]) == 2


def test_a_fault_is_told_with_its_place_and_nothing_else(tmp_path: Path) -> None:
    file = written(tmp_path, "part,category,percent\n,optic,5\n")
    done = solve(discounts=file)
    assert (done.returncode, done.stdout) == (2, "")
    assert f'{file}:2:2: category: "optic" is not a category' in re.sub(r"\s+", " ", done.stderr)
    assert 'did you mean "optics"?' in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", ["check-catalog", "explain", "demand new", "since", "check"])
def test_every_command_that_reads_prices_reads_discounts(
    command: str, tmp_path: Path, answer: tuple[Path, Path]
) -> None:
    file = written(tmp_path, "part,category,percent\n,,0\n")
    target = {"since": [answer[0]], "check": [answer[0]], "explain": [TINY / "demand.yaml"]}.get(command, [])
    done = run(*command.split(), *target, *HERE, "--discounts", file)
    assert done.returncode == 2
    assert "percent out of range" in done.stderr


# --- check, since, explain --------------------------------------------------------------------------------


@pytest.mark.parametrize("which", [0, 1])
def test_an_answer_made_with_discounts_is_checked_with_them(which: int, answer: tuple[Path, Path]) -> None:
    done = run("check", answer[which], *HERE, "--discounts", DISCOUNTS)
    assert (done.returncode, done.stderr) == (0, "")


def test_without_its_discounts_an_answer_does_not_pass_and_the_reason_is_told(answer: tuple[Path, Path]) -> None:
    done = run("check", answer[1], *HERE)
    assert done.returncode == 3
    assert "pond.8t.bare costs 300.00 EUR, stated 282.00 EUR" in done.stdout
    assert "the answer was made with discounts, and none are named" in done.stdout


def test_a_comment_on_the_discounts_is_told_apart_from_what_is_wrong(answer: tuple[Path, Path], tmp_path: Path) -> None:
    same = written(tmp_path, DISCOUNTS.read_text(encoding="utf-8") + "\n")
    done = run("check", answer[0], *HERE, "--discounts", same)
    assert done.returncode == 4
    assert "the discounts are not the same" in done.stdout


def test_a_discount_that_the_order_does_not_earn_is_found(answer: tuple[Path, Path], tmp_path: Path) -> None:
    """The stated prices are those of an order from 2300; the list says from 2361 now."""
    file = written(tmp_path, DISCOUNTS.read_text(encoding="utf-8").replace("2300.00", "2361.00"))
    done = run("check", answer[1], *HERE, "--discounts", file)
    assert done.returncode == 3
    assert "pond.8t.bare costs 294.00 EUR, stated 282.00 EUR" in done.stdout


def test_since_prices_a_change_of_discounts_by_itself(answer: tuple[Path, Path], tmp_path: Path) -> None:
    """5 % instead of 6 % off 2200: 22 more."""
    file = written(tmp_path, DISCOUNTS.read_text(encoding="utf-8").replace(",,6,", ",,5,"))
    arguments = ("since", answer[0], *HERE, "--discounts", file, "--earlier-discounts", DISCOUNTS)
    done = run(*arguments, "--format", "json")
    assert (done.returncode, done.stderr) == (0, "")
    data = json.loads(done.stdout)
    jsonschema.validate(data, json.loads(as_changes.schema()))
    steps = {one["what"]: (one["price_minor"], one["more_minor"]) for one in data["steps"]}
    assert steps == {"earlier": (NET, None), "discounts": (2230_00, 22_00), "today": (2230_00, 22_00)}
    assert (data["same_prices"], data["same_discounts"], data["earlier"]["price_minor"]) == (True, False, 2230_00)
    assert data["prices"] == []  # list prices are as they were
    assert "Only the discounts changed" in run(*arguments).stdout


def test_since_says_so_where_the_earlier_discounts_are_not_at_hand(answer: tuple[Path, Path], tmp_path: Path) -> None:
    done = run("since", answer[1], *HERE)
    assert done.returncode == 0
    assert "What was asked then, solved today with today's discounts" in done.stdout
    assert "--earlier-discounts FILE" in done.stdout
    other = written(tmp_path, "part,category,percent\n,,1\n")
    done = run("since", answer[1], *HERE, "--discounts", DISCOUNTS, "--earlier-discounts", other)
    assert done.returncode == 2
    assert "these are not the discounts that the earlier answer was made with" in done.stderr


def test_explanations_are_at_the_prices_that_the_order_earns() -> None:
    done = run("explain", TINY / "demand.yaml", *HERE, "--discounts", DISCOUNTS, "--stack", "Plain")
    assert (done.returncode, done.stderr) == (0, "")
    assert "854.40 EUR" in done.stdout  # 760 x 0.94 + 160 x 0.875
    assert "an order from 2 300.00 EUR at list prices, which this order comes to" in done.stdout


# --- from Python ------------------------------------------------------------------------------------------


def test_the_public_functions_take_discounts() -> None:
    catalog = configurator.load_catalog(TINY, on=date.fromisoformat(DAY), discounts=DISCOUNTS)
    asked = configurator.load_demand(TINY / "demand.yaml", catalog, date.fromisoformat(DAY))
    answer = configurator.solve(asked, catalog)
    assert answer.total_minor == NET
    assert answer.discounts is not None
    assert configurator.explain(asked, catalog, stack="Plain").stacks[0].stack.price_minor == 854_40
