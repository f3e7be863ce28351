"""`configurator check`: an answer again, without the solver."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from configurator.render import json as as_json
from configurator.render.formats import EXAMPLE
from configurator.review.audit import audit_of
from tests.journeys.running import TINY, run
from tests.unit import earlier

TINY_AUDIT = as_json.of_audit(audit_of(earlier.tiny()[0]))
REFUSED = as_json.of_audit(audit_of(earlier.impossible()[0]))
WAIVER = "waivers:\n  - {rule: power.supply_loss, stack: Powered, by: R. Viewer, reason: spare on site}\n"


def check(*arguments: str | Path, stdin: str, catalog: Path = TINY) -> subprocess.CompletedProcess[str]:
    return run("check", "-", "--catalog", catalog, *arguments, stdin=stdin)


def without_a_supply() -> str:
    data: Any = json.loads(TINY_AUDIT)
    del data["stacks"][1]["build"]["units"][0]["supplies"][0]
    return json.dumps(data)


# --- passing ----------------------------------------------------------------------------------------


def test_solve_writes_an_audit_that_check_passes(tmp_path: Path) -> None:
    audit = tmp_path / "audit.json"
    solved = run("solve", TINY / "demand.yaml", "--catalog", TINY, "--on", "2026-11-25", "--audit", audit)
    assert (solved.returncode, solved.stderr) == (0, "")
    done = run("check", audit, "--catalog", TINY)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Passed. ")
    held = json.loads(audit.read_text(encoding="utf-8"))
    assert {one["role"] for one in held["inputs"]} == {"demand", "catalog", "prices"}
    assert all(len(one["sha256"]) == 64 for one in held["inputs"])


def test_an_audit_is_not_written_over_the_answer(tmp_path: Path) -> None:
    file = tmp_path / "answer.json"
    done = run("solve", TINY / "demand.yaml", "--catalog", TINY, "--output", file, "--audit", file)
    assert done.returncode == 2
    assert "two outputs go to this file" in done.stderr
    assert not file.exists()


@pytest.mark.parametrize("form", ["table", "json", "markdown"])
def test_a_refusal_passes_in_every_form(form: str) -> None:
    done = check("--format", form, stdin=REFUSED, catalog=EXAMPLE)
    assert (done.returncode, done.stderr) == (0, "")
    assert "figures of 1 conflict were computed anew" in done.stdout or json.loads(done.stdout)["conflicts"] == 1
    assert done.stdout == check("--format", form, stdin=REFUSED, catalog=EXAMPLE).stdout


def test_the_solver_takes_no_part(tmp_path: Path) -> None:
    file = tmp_path / "audit.json"
    file.write_text(REFUSED, encoding="utf-8")
    program = (
        "import sys; from typer.testing import CliRunner; from configurator.cli import app; "
        f"done = CliRunner().invoke(app, ['check', {str(file)!r}, '--catalog', {str(EXAMPLE)!r}]); "
        "print(done.exit_code, sorted({'ortools', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "0 []"


# --- not passing ------------------------------------------------------------------------------------


def test_what_does_not_pass_is_an_answer_with_a_code_of_its_own() -> None:
    done = check(stdin=without_a_supply())
    assert (done.returncode, done.stderr) == (3, "")
    assert done.stdout.startswith("Not passed: ")
    assert "Powered: unit 1: with pond.supply.100 lost" in done.stdout


def test_another_demand_is_checked_against(tmp_path: Path) -> None:
    """20 desks instead of 12: the build serves 12 of them."""
    demand = tmp_path / "demand.yaml"
    text = (TINY / "demand.yaml").read_text(encoding="utf-8")
    demand.write_text(text.replace("name: desks, count: 12", "name: desks, count: 20"), encoding="utf-8")
    done = check("--demand", demand, stdin=TINY_AUDIT)
    assert done.returncode == 3
    assert "20 ports asked, 12 serve it" in done.stdout
    assert "the demand is not the same" in done.stdout


def test_other_inputs_that_still_do_have_a_code_of_their_own(tmp_path: Path) -> None:
    demand = tmp_path / "demand.yaml"
    demand.write_text("# looked at\n" + (TINY / "demand.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    done = check("--demand", demand, stdin=TINY_AUDIT)
    assert (done.returncode, done.stderr) == (4, "")
    assert done.stdout.startswith("Passed, but not with all that the answer was made from.")
    assert "the demand is not the same" in done.stdout


def test_prices_that_are_not_the_lists_do_not_pass(tmp_path: Path) -> None:
    prices = tmp_path / "prices.csv"
    prices.write_text((TINY / "prices.csv").read_text("utf-8").replace("300.00", "299.00"), encoding="utf-8")
    done = check("--prices", prices, stdin=TINY_AUDIT)
    assert done.returncode == 3
    assert "pond.8t.bare costs 299.00 EUR, stated 300.00 EUR (price)" in done.stdout
    assert "the price list is not the same" in done.stdout


# --- waivers ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", ["table", "json", "markdown"])
def test_a_waiver_is_honoured_and_shown(form: str, tmp_path: Path) -> None:
    waivers = tmp_path / "waivers.yaml"
    waivers.write_text(WAIVER, encoding="utf-8")
    done = check("--waivers", waivers, "--format", form, stdin=without_a_supply())
    assert "R. Viewer" in done.stdout
    assert "spare on site" in done.stdout
    assert done.returncode == 0, done.stdout
    assert check("--format", form, stdin=without_a_supply()).returncode == 3


def test_solve_shows_the_waivers_of_its_stacks(tmp_path: Path) -> None:
    waivers = tmp_path / "waivers.yaml"
    waivers.write_text(WAIVER, encoding="utf-8")
    arguments = ("solve", TINY / "demand.yaml", "--catalog", TINY, "--on", "2026-11-25")
    audit = tmp_path / "audit.json"
    done = run(*arguments, "--waivers", waivers, "--audit", audit)
    assert (done.returncode, done.stderr) == (0, "")
    assert "power.supply_loss for Powered: accepted by R. Viewer: spare on site" in done.stdout
    assert json.loads(audit.read_text(encoding="utf-8"))["waivers"][0]["by"] == "R. Viewer"
    again = run("check", audit, "--catalog", TINY)
    assert again.returncode == 0
    assert "Waivers that the answer names" in again.stdout


def test_a_waiver_that_names_no_rule_is_bad_input(tmp_path: Path) -> None:
    waivers = tmp_path / "waivers.yaml"
    waivers.write_text(WAIVER.replace("power.supply_loss", "power.supply"), encoding="utf-8")
    done = check("--waivers", waivers, stdin=TINY_AUDIT)
    assert (done.returncode, done.stdout) == (2, "")
    assert 'there is no rule "power.supply"' in done.stderr


# --- bad input --------------------------------------------------------------------------------------

BAD = {
    "nothing": "",
    "cut": TINY_AUDIT[: len(TINY_AUDIT) // 2],
    "no JSON": "waivers: []",
    "something else": "{}",
    "deep": "[" * 50_000,
    "a bad demand": json.dumps({**json.loads(TINY_AUDIT), "demand": "stacks: [{name: A}]"}),
    "no demand": json.dumps({**json.loads(TINY_AUDIT), "demand": None}),
    "an odd day": json.dumps({**json.loads(TINY_AUDIT), "order_date": "9999-12-31"}),
}


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_one_clear_error(what: str) -> None:
    done = check(stdin=BAD[what])
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("hint: ") == 1
    assert "Traceback" not in done.stderr
