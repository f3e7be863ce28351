"""`demand new`: a commented file that loads, with every field that a demand knows."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from pydantic import BaseModel

from configurator import api, reading
from configurator.catalog import Catalog
from configurator.commands.demand import QUESTIONS, starting_file
from configurator.demand import AccessPorts, Demand, Devices, Life, Spares, Stack, Uplinks, Wishes
from configurator.reading.line import OPTIONS
from configurator.reading.yaml_source import parse
from configurator.render.starting import SUPPORT
from tests.journeys.running import TINY, TINY_DAY, run
from tests.reading.small import ON, catalog_of

DEMO_DAY = api.order_day(demonstration=True)
DEMO = api.load_catalog()
TINY_CATALOG = api.load_catalog(TINY / "parts", TINY / "prices.csv", date.fromisoformat(TINY_DAY))
CATALOGS = [pytest.param(DEMO, DEMO_DAY, id="demonstration"), pytest.param(TINY_CATALOG, DEMO_DAY, id="tiny")]


def load(text: str, catalog: Catalog, on: date, tmp_path: Path) -> reading.Asked:
    file = tmp_path / "demand.yaml"
    file.write_text(text, encoding="utf-8")
    return reading.load_demand(file, catalog, on)


# --- the file -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("catalog", "on"), CATALOGS)
def test_the_file_loads_as_it_is(catalog: Catalog, on: date, tmp_path: Path) -> None:
    asked = load(starting_file({}, catalog, on), catalog, on, tmp_path)
    (stack,) = asked.demand.stacks
    assert [ports.count for ports in stack.ports] == [24]
    assert [uplinks.count for uplinks in stack.uplinks] == [2]


def test_the_file_uses_the_names_of_the_catalog(tmp_path: Path) -> None:
    catalog = catalog_of(tmp_path)
    text = starting_file({}, catalog, ON)
    assert "  country: GB " in text
    assert "fibre: OM3 " in text or "fibre: OM4 " in text
    load(text, catalog, ON, tmp_path)


@pytest.mark.parametrize(
    ("model", "indent"), [(Wishes, "  "), (AccessPorts, "        "), (Stack, "    "), (Demand, "")]
)
def test_every_field_is_in_the_file(model: type[BaseModel], indent: str) -> None:
    """Of a stack: its own fields; its wishes stand among the order's."""
    text = starting_file({}, DEMO, DEMO_DAY)
    fields = set(model.model_fields) - (set(Wishes.model_fields) if model is Stack else set())
    missing = {key for key in fields if not re.search(rf"^ *(# |- |{indent})?{key}:", text, re.MULTILINE)}
    assert missing == set()


@pytest.mark.parametrize("model", [Devices, Uplinks, Spares, Life])
def test_every_field_of_a_statement_is_in_the_file(model: type[BaseModel]) -> None:
    text = starting_file({}, DEMO, DEMO_DAY)
    missing = {key for key in model.model_fields if not re.search(rf"^[ #-]*\b{key}:", text, re.MULTILINE)}
    assert missing == set()


def test_every_wish_is_told_with_its_meaning_and_default() -> None:
    text = starting_file({}, DEMO, DEMO_DAY)
    for key in Wishes.model_fields:
        (told,) = re.findall(rf"^  (?:# )?{key}: .*?  # (.*)$", text, re.MULTILINE)
        meaning, _, default = told.partition("; else: ")
        assert len(meaning) > 5, key
        assert default, key
    assert (
        "# cord_m: 1.5                       # shortest cord that reaches the outlet (m; 0 to 1,000,000); else: 0"
        in text
    )


@pytest.mark.parametrize(("catalog", "on"), CATALOGS)
@pytest.mark.parametrize("key", [key for key in Wishes.model_fields if key != "country"])
def test_each_wish_loads_when_its_comment_sign_is_taken_away(
    key: str, catalog: Catalog, on: date, tmp_path: Path
) -> None:
    text = starting_file({}, catalog, on)
    if re.search(rf"^  # {key}: .*; this catalog has none$", text, re.MULTILINE):
        assert key in ("features", "release", "marks", *SUPPORT)
        return
    also = ["support_months"] if key in ("optics_covered", "failed_parts_kept", "depot_km") else []
    said = re.sub(rf"^  # ({'|'.join([key, *also])}): ", r"  \1: ", text, flags=re.MULTILINE)
    assert said.count("# ") == text.count("# ") - 1 - len(also)
    asked = load(said, catalog, on, tmp_path)
    assert getattr(asked.demand.defaults, key) is not None


@pytest.mark.parametrize(("catalog", "on"), CATALOGS)
def test_the_years_of_ownership_load_when_their_comment_signs_are_taken_away(
    catalog: Catalog, on: date, tmp_path: Path
) -> None:
    text = starting_file({}, catalog, on)
    said = re.sub(r"^# (life:|  years:|  energy_per_kwh:|  # load_profile:)", r"\1", text, flags=re.MULTILINE)
    life = load(said.replace("  # load_profile:", "  load_profile:"), catalog, on, tmp_path).demand.life
    assert life is not None
    assert life.years > 1
    assert life.energy_per_kwh > 0
    assert sum(level.hours_a_day for level in life.load_profile) == 24


def test_what_the_catalog_has_nothing_of_is_told() -> None:
    noted = {
        name: set(
            re.findall(r"^  # (\w+): .*; this catalog has none$", starting_file({}, catalog, DEMO_DAY), re.MULTILINE)
        )
        for name, catalog in (("demonstration", DEMO), ("tiny", TINY_CATALOG))
    }
    assert noted["demonstration"] <= {"release", "marks"}
    assert noted["tiny"] == {"features", "release", "marks", *SUPPORT}


@pytest.mark.parametrize(("catalog", "on"), CATALOGS)
@pytest.mark.parametrize("block", ["spares", "devices"])
def test_a_block_loads_when_its_comment_signs_are_taken_away(
    block: str, catalog: Catalog, on: date, tmp_path: Path
) -> None:
    lines = starting_file({}, catalog, on).splitlines()
    start = next(n for n, text in enumerate(lines) if text.strip().startswith(f"# {block}:"))
    end = next(n for n in range(start, len(lines) + 1) if n == len(lines) or not lines[n].strip())
    lines[start:end] = [re.sub(r"^( *)# ", r"\1", text) for text in lines[start:end]]
    asked = load("\n".join(lines) + "\n", catalog, on, tmp_path)
    found = asked.demand.spares if block == "spares" else asked.demand.stacks[0].devices
    assert [one.count for one in found] == [1 if block == "spares" else 4]


def test_what_the_options_say_is_stated_and_the_rest_is_not() -> None:
    line = {"ports": ["180,class4", "9"], "country": ["NL"], "copies": ["3"]}
    data = parse("new", starting_file(line, DEMO, DEMO_DAY)).data
    assert data == {
        "defaults": {"country": "NL"},
        "stacks": [
            {"name": "Stack", "copies": "3", "ports": [{"count": "180", "powered_at_class": "4"}, {"count": "9"}]}
        ],
    }


def test_a_country_that_nobody_named_is_called_a_guess() -> None:
    assert "a guess" in starting_file({}, DEMO, DEMO_DAY)
    assert "a guess" not in starting_file({"country": ["NL"]}, DEMO, DEMO_DAY)
    assert "a guess" not in starting_file({}, TINY_CATALOG, DEMO_DAY)


# --- the command ------------------------------------------------------------------------------------


def test_a_new_file_is_solved_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "demand.yaml"
    done = run("demand", "new", file)
    assert (done.returncode, done.stdout) == (0, "")
    assert f"configurator solve {file}" in done.stderr
    solved = run("solve", file)
    assert solved.returncode == 0
    assert "Proved cheapest" in solved.stdout


@pytest.mark.parametrize("arguments", [[], ["-"]])
def test_without_a_file_it_goes_to_standard_output(arguments: list[str]) -> None:
    done = run("demand", "new", *arguments)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == starting_file({}, DEMO, DEMO_DAY)


def test_a_file_is_not_overwritten_unless_told(tmp_path: Path) -> None:
    file = tmp_path / "demand.yaml"
    file.write_text("mine", encoding="utf-8")
    done = run("demand", "new", file)
    assert (done.returncode, done.stdout) == (2, "")
    assert "the file is there already\n\nhint: name another file, or replace it with --overwrite" in done.stderr
    assert file.read_text(encoding="utf-8") == "mine"
    assert run("demand", "new", file, "--overwrite").returncode == 0
    assert file.read_text(encoding="utf-8") == starting_file({}, DEMO, DEMO_DAY)


def test_a_slip_in_an_option_writes_nothing(tmp_path: Path) -> None:
    done = run("demand", "new", tmp_path / "demand.yaml", "--ports", "24,clas4")
    assert (done.returncode, done.stdout) == (2, "")
    assert 'did you mean "class4"?' in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_told() -> None:
    done = run("demand", "new", "missing/demand.yaml")
    assert done.returncode == 2
    assert "the output's folder does not exist" in done.stderr


# --- questions ----------------------------------------------------------------------------------------


def at_a_terminal(*arguments: str, typed: str) -> subprocess.CompletedProcess[str]:
    """The command with a terminal for its input."""
    ours, theirs = pty.openpty()
    os.write(ours, typed.encode())
    try:
        return subprocess.run(
            [sys.executable, "-m", "configurator", "demand", "new", *arguments],
            stdin=theirs,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
    finally:
        os.close(ours)
        os.close(theirs)


def test_at_a_terminal_a_few_questions_are_asked() -> None:
    answers = ["NL", "180,class4", "", "2,10G,OM4,80m", "", "sheds_poe", "", "10%"]
    assert len(answers) == len(QUESTIONS)
    done = at_a_terminal(typed="\n".join(answers) + "\n")
    assert done.returncode == 0
    said = {option: [answer] for (option, _), answer in zip(QUESTIONS, answers, strict=True) if answer}
    assert done.stdout == starting_file(said, DEMO, DEMO_DAY)
    assert "Access ports, as 180,1G,class4" in done.stderr


def test_a_question_is_asked_again_until_its_answer_can_be_meant() -> None:
    done = at_a_terminal(typed="NZ\nNL\n24,clas4\n24,class4\n\n\n\n\n\n\n")
    assert done.returncode == 0
    assert '"NZ" is no country that this catalog knows' in done.stderr
    assert 'did you mean "class4"?' in done.stderr
    assert parse("new", done.stdout).data["stacks"][0]["ports"] == [{"count": "24", "powered_at_class": "4"}]


def test_with_options_nothing_is_asked() -> None:
    done = at_a_terminal("--ports", "24", typed="")
    assert (done.returncode, done.stderr) == (0, "")


def test_an_end_of_the_answers_writes_nothing(tmp_path: Path) -> None:
    done = at_a_terminal(str(tmp_path / "demand.yaml"), typed="NL\n\x04")
    assert (done.returncode, done.stdout) == (130, "")
    assert "fault in the tool" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_every_question_is_an_option() -> None:
    assert {option for option, _ in QUESTIONS} <= set(OPTIONS)
