"""`configurator since`: what changed since an earlier answer, and what each change does to the price."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import jsonschema
import pytest

from configurator.render import changes as as_changes
from configurator.render import json as as_json
from configurator.review.audit import audit_of
from tests.journeys.running import TINY, run
from tests.unit import earlier

ANSWER = as_json.render(earlier.tiny()[0])
AUDIT = as_json.of_audit(audit_of(earlier.tiny()[0]))
ON = "2026-11-25"
TOTAL = "2 360.00 EUR"  # 920 and 1440, as the comments of the demand work them out


def since(*arguments: str | Path, stdin: str = ANSWER, catalog: Path = TINY) -> subprocess.CompletedProcess[str]:
    return run("since", "-", *arguments, "--catalog", catalog, "--on", ON, stdin=stdin)


def demand(folder: Path, old: str, new: str) -> Path:
    file = folder / "demand.yaml"
    text = (TINY / "demand.yaml").read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    return file


# --- what changed -----------------------------------------------------------------------------------


def test_without_a_demand_the_one_in_the_answer_serves() -> None:
    done = since()
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(f"Today the order costs {TOTAL}, as it did.")


def test_an_audit_serves_as_the_answer() -> None:
    assert since(stdin=AUDIT).stdout == since().stdout


def test_a_statement_more_costs_what_it_adds(tmp_path: Path) -> None:
    """20 desks take a third unit: 300 + 60 + 20 for a third link = 380 more."""
    done = since(demand(tmp_path, "name: desks, count: 12", "name: desks, count: 20"))
    assert (done.returncode, done.stderr) == (0, "")
    assert "20 \N{MULTIPLICATION SIGN} desks, 1 Gb/s: 380.00 EUR more" in done.stdout
    assert "Plain: ports[0] (desks): 20 ports asked, 12 serve it (ports.all_served)" in done.stdout


@pytest.mark.parametrize("form", ["table", "json", "markdown"])
def test_every_form_is_the_same_each_time(form: str, tmp_path: Path) -> None:
    file = demand(tmp_path, "count: 10", "count: 4")
    one, other = since(file, "--format", form), since(file, "--format", form)
    assert (one.returncode, one.stderr, one.stdout) == (0, "", other.stdout)
    if form == "json":
        jsonschema.validate(json.loads(one.stdout), json.loads(as_changes.schema()))


def test_what_cannot_be_met_today_has_a_code_of_its_own(tmp_path: Path) -> None:
    done = since(demand(tmp_path, "count: 12", "count: 2000"))
    assert (done.returncode, done.stderr) == (3, "")
    assert done.stdout.startswith("Today there is no order of all stacks (cannot be met)")


def test_prices_are_told_apart_with_the_earlier_list(tmp_path: Path) -> None:
    text = (TINY / "prices.csv").read_text(encoding="utf-8")
    prices = tmp_path / "prices.csv"
    prices.write_text(text.replace("pond.8t.bare,300.00", "pond.8t.bare,310.00"), encoding="utf-8")
    bare = since("--prices", prices)
    assert "Name it with --earlier-prices FILE." in bare.stdout
    told = since("--prices", prices, "--earlier-prices", TINY / "prices.csv")
    assert (told.returncode, told.stderr) == (0, "")
    assert "What could not be told apart" not in told.stdout
    assert "Only the prices changed" in told.stdout
    assert "2 380.00 EUR, 20.00 EUR more than it did" in told.stdout


def test_waivers_are_shown_and_honoured(tmp_path: Path) -> None:
    waivers = tmp_path / "waivers.yaml"
    waivers.write_text(
        "waivers: [{rule: ports.all_served, stack: Plain, by: R. Viewer, reason: desks come later}]", encoding="utf-8"
    )
    file = demand(tmp_path, "name: desks, count: 12", "name: desks, count: 20")
    done = since(file, "--waivers", waivers)
    assert "ports.all_served for Plain: accepted by R. Viewer: desks come later" in done.stdout
    assert "It is still valid" in done.stdout
    assert "It is not valid any more" in since(file).stdout


# --- bad input --------------------------------------------------------------------------------------

BAD = {
    "cut": ANSWER[: len(ANSWER) // 2],
    "something else": "{}",
    "no answer": "[]",
    "a bad demand": json.dumps({**json.loads(AUDIT), "demand": "stacks: 1"}),
    "no demand": json.dumps({**json.loads(AUDIT), "demand": None}),
    "another currency": json.dumps({**json.loads(AUDIT), "currency": "USD"}),
}


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_one_clear_error(what: str) -> None:
    done = since(stdin=BAD[what])
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("hint: ") == 1
    assert "Traceback" not in done.stderr


def test_a_bad_demand_in_the_answer_is_told_also_beside_a_good_one() -> None:
    done = since(TINY / "demand.yaml", stdin=BAD["a bad demand"])
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("demand in the answer:")


def test_the_wrong_earlier_files_are_refused(tmp_path: Path) -> None:
    prices = tmp_path / "prices.csv"
    prices.write_text((TINY / "prices.csv").read_text("utf-8").replace("300.00", "310.00"), encoding="utf-8")
    done = since("--earlier-prices", prices)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("--earlier-prices: this is not the price list")
