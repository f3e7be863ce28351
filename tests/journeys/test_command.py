"""What the command does besides solving: help, mistakes, broken pipes, its own faults."""

from __future__ import annotations

import json
import shlex
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from configurator import api
from configurator.cli import EXIT_CODES, app
from configurator.setting import Ask
from configurator.solved import Solved
from tests.journeys.running import DEMO, TINY, run, tiny
from tests.unit import hand_made

# --- help -----------------------------------------------------------------------------------------


COMMANDS = ("", "solve", "check", "since", "check-catalog", "rules", "demand", "demand new")


@pytest.mark.parametrize("command", [words.split() for words in COMMANDS])
def test_help_has_examples(command: list[str]) -> None:
    done = run(*command, "--help")
    assert done.returncode == 0
    assert f"\n    configurator {' '.join(command)}".rstrip() in done.stdout
    assert "Examples:" in done.stdout


def test_the_version_is_one_line() -> None:
    done = run("--version")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("configurator ")
    assert done.stdout.count("\n") == 1


def test_the_solver_is_loaded_only_to_solve() -> None:
    program = (
        "import sys; from typer.testing import CliRunner; from configurator.cli import app; "
        "done = [CliRunner().invoke(app, words).exit_code for words in (['--help'], ['rules'], ['check-catalog'])]; "
        "print(done, sorted({'ortools', 'numpy', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[0, 0, 0] []"


# --- rules and catalogs ---------------------------------------------------------------------------


def test_the_rule_book_is_the_same_in_every_form() -> None:
    told = json.loads(run("rules", "--format", "json").stdout)["rules"]
    ids = [rule["id"] for rule in told]
    assert ids == [rule.id for rule in api.rule_book()]
    text, markdown = run("rules").stdout, run("rules", "--format", "markdown").stdout
    for rule in told:
        assert rule["id"] in text
        assert f"| `{rule['id']}` | {rule['sentence']} |" in markdown


def test_the_packaged_catalog_has_no_faults() -> None:
    done = run("check-catalog")
    assert (done.returncode, done.stderr) == (0, "")
    assert "No faults found." in done.stdout


def test_a_catalog_with_a_fault_is_refused_with_its_place(tmp_path: Path) -> None:
    parts = (TINY / "parts" / "parts.yaml").read_text(encoding="utf-8")
    (tmp_path / "parts.yaml").write_text(parts.replace("base_draw_w: 20", "base_draw_w: twenty"), encoding="utf-8")
    done = run("check-catalog", "--catalog", tmp_path, "--prices", TINY / "prices.csv", "--on", "2026-11-16")
    assert (done.returncode, done.stdout) == (2, "")
    line = 1 + next(n for n, text in enumerate(parts.splitlines()) if "base_draw_w: 20" in text)
    assert f"parts.yaml:{line}:" in done.stderr
    assert "twenty" in done.stderr


# --- mistakes -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["solve", "missing.yaml"], "missing.yaml: there is no such file"),
        (["solve", "--catalog", "missing"], "missing"),
        (["solve", "--on", "17.05.2031"], "--on"),
        (["solve", "--format", "pdf"], "--format"),
        (["solve", "--time-limit", "0"], "a number of seconds above 0"),
        (["solve", "--time-limit", "nan"], "a number of seconds above 0"),
        (["solve", "--time-limit", "inf"], "a number of seconds above 0"),
        (["solve", "--output", "."], "the output is a folder"),
        (["solve", "--output", "missing/answer.json"], "the output's folder does not exist"),
        (["slove"], "slove"),
        (["check-catalog", "--on", "2001-01-01"], "after the order date"),
    ],
)
def test_a_mistake_is_told_on_standard_error_with_exit_code_2(arguments: list[str], words: str) -> None:
    done = run(*arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_a_catalog_without_a_price_list_is_refused_with_a_way_out() -> None:
    done = run("solve", "--catalog", TINY / "parts")
    assert done.returncode == 2
    assert "no price list" in done.stderr
    assert "hint: name the price list with --prices FILE" in done.stderr


def test_a_mistyped_word_of_the_demand_is_told_with_its_line_and_the_right_word(tmp_path: Path) -> None:
    demand = tmp_path / "demand.yaml"
    demand.write_text("stacks:\n  - name: One\n    prots:\n      - {count: 3}\n", encoding="utf-8")
    done = run("solve", demand)
    assert (done.returncode, done.stdout) == (2, "")
    assert "demand.yaml:3:" in done.stderr
    assert "prots" in done.stderr
    assert "ports" in done.stderr.replace("prots", "")


def test_a_mistake_leaves_the_output_file_as_it_was(tmp_path: Path) -> None:
    target = tmp_path / "answer.json"
    target.write_text("old", encoding="utf-8")
    assert tiny("--output", target, demand="missing.yaml").returncode == 2
    assert target.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [target]


# --- pipes and terminals --------------------------------------------------------------------------


@pytest.mark.parametrize("arguments", [["rules"], ["solve", "--format", "json"], ["--help"]])
def test_a_reader_that_goes_away_ends_the_command_quietly(arguments: list[str]) -> None:
    command = [sys.executable, "-m", "configurator", *arguments]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        errors = process.stderr.read()
        code = process.wait()
    assert errors == ""
    assert code in (0, 1, 141) if arguments == ["--help"] else code in (0, 141)


def test_a_terminal_that_knows_only_ascii_gets_its_answer(tmp_path: Path) -> None:
    demand = tmp_path / "demand.yaml"
    demand.write_text("stacks: [{name: Ångby, ports: [{count: 3}]}]\n", encoding="utf-8")
    command = ["solve", str(demand), "--catalog", str(TINY / "parts"), "--prices", str(TINY / "prices.csv")]
    ascii_only = {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}
    done = run(*command, "--on", "2026-11-16", cwd=None, **ascii_only)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Stack 1 of 1: ?ngby" in done.stdout


@pytest.mark.parametrize("arguments", [["rules"], ["rules", "--format", "json"], ["solve"], ["check-catalog"]])
def test_a_closed_output_is_told_as_such(arguments: list[str]) -> None:
    command = shlex.join([sys.executable, "-m", "configurator", *arguments])
    done = subprocess.run(["sh", "-c", f"{command} >&-"], stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 1
    assert "the answer can't be written: standard output is closed" in done.stderr


def test_a_closed_input_is_told_as_such() -> None:
    command = shlex.join([sys.executable, "-m", "configurator", "solve", "-"])
    done = subprocess.run(["sh", "-c", f"{command} <&-"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert "standard input is closed" in done.stderr


@pytest.mark.parametrize("day", ["2031-02-29", "17.05.2031", "today"])
def test_an_order_date_that_is_none_is_told_with_a_way_out(day: str) -> None:
    done = run("check-catalog", "--on", day)
    assert (done.returncode, done.stdout) == (2, "")
    assert f'"{day}" is not a da' in done.stderr
    assert "write " in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("arguments", [["rules"], ["--help"], ["solve", "--help"], ["--version"]])
def test_an_output_that_is_full_is_told_without_a_trace(arguments: list[str]) -> None:
    command = [sys.executable, "-m", "configurator", *arguments]
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 1
    assert "can't be written" in done.stderr
    assert "Traceback" not in done.stderr


# --- exit codes and faults of the tool's own, with an engine put in its place ---------------------


@pytest.fixture
def in_place(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """A catalog, an order and an engine of our own behind the command."""
    catalog = hand_made.catalog()
    monkeypatch.setattr("configurator.api.load_catalog", lambda *_, **__: catalog)
    monkeypatch.setattr("configurator.api.load_demand", lambda *_: hand_made.asked(*asks()))
    monkeypatch.setattr("configurator.api.rule_book", lambda: ())
    return monkeypatch


def asks() -> list[Ask]:
    return [hand_made.ask(), hand_made.ask("Annexe", headroom_percent=5)]


@pytest.mark.parametrize(
    ("statuses", "code"),
    [
        (["cheapest", "cheapest"], 0),
        (["cheapest", "best found"], 4),
        (["not decided", "cheapest"], 4),
        (["cannot be met", "cheapest"], 3),
        (["best found", "cannot be met"], 3),
        (["cannot be met", "not decided"], 3),
    ],
)
def test_exit_codes_tell_the_worst_of_the_stacks(in_place: pytest.MonkeyPatch, statuses: list[str], code: int) -> None:
    solved = iter(
        {
            "cheapest": hand_made.solved(),
            "best found": replace(hand_made.solved(), status="best found", bound_minor=1),
            "not decided": Solved("not decided"),
            "cannot be met": Solved("cannot be met"),
        }[status]
        for status in statuses
    )
    in_place.setattr("configurator.engine.order.solve_stack", lambda *_: next(solved))
    done = CliRunner().invoke(app, ["solve", "any.yaml"])
    assert done.exit_code == code
    assert "Order" in done.stdout


def test_every_status_has_an_exit_code() -> None:
    assert EXIT_CODES == {"cheapest": 0, "cannot be met": 3, "best found": 4, "not decided": 4}


def test_a_fault_is_one_line_and_a_hint(in_place: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> Solved:
        raise ZeroDivisionError("a slip of ours")

    in_place.setattr("configurator.engine.order.solve_stack", broken)
    done = CliRunner().invoke(app, ["solve", "any.yaml"])
    assert (done.exit_code, done.stdout) == (1, "")
    assert "error: fault in the tool: ZeroDivisionError: a slip of ours\n\nhint: " in done.stderr
    assert "Traceback" not in done.stderr
    traced = CliRunner().invoke(app, ["solve", "any.yaml"], env={"CONFIGURATOR_TRACE": "1"})
    assert traced.exit_code == 1
    assert "Traceback" in traced.stderr


def test_a_build_that_fails_its_check_is_dumped_and_never_shown(in_place: pytest.MonkeyPatch, tmp_path: Path) -> None:
    in_place.setattr("tempfile.tempdir", str(tmp_path))
    wrong = replace(hand_made.solved(), price_minor=1)
    in_place.setattr("configurator.engine.order.solve_stack", lambda *_: wrong)
    target = tmp_path / "bill.csv"
    done = CliRunner().invoke(app, ["solve", "any.yaml", "--format", "csv", "--output", str(target)])
    assert (done.exit_code, done.stdout) == (1, "")
    assert "bill.total: the bill comes to 317500, the price found is 1" in done.stderr
    assert not target.exists()
    (dump,) = tmp_path.iterdir()
    assert str(dump) in done.stderr
    kept = json.loads(dump.read_text(encoding="utf-8"))
    assert kept["build"] == hand_made.build().model_dump(mode="json")
    assert kept["breaches"][0]["rule"] == "bill.total"


def test_a_place_where_nothing_can_be_written_is_told_before_anything_is_solved(
    in_place: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    solved: list[object] = []
    in_place.setattr("configurator.engine.order.solve_stack", lambda *ask: solved.append(ask))
    done = CliRunner().invoke(app, ["solve", "any.yaml", "--output", str(tmp_path)])
    assert (done.exit_code, solved) == (2, [])


def test_an_interruption_ends_quietly(in_place: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> Solved:
        raise KeyboardInterrupt

    in_place.setattr("configurator.engine.order.solve_stack", interrupted)
    done = CliRunner().invoke(app, ["solve", "any.yaml"])
    assert (done.exit_code, done.stdout, done.stderr) == (130, "", "")


def test_the_demonstration_is_in_force_whatever_the_day() -> None:
    catalog = api.load_catalog()
    assert api.order_day(demonstration=True) == catalog.prices.issued
    asked = api.load_demand(DEMO / "demands" / "main.yaml", catalog)
    assert {ask.setting.order_date for ask in asked.asks} == {catalog.prices.issued}
