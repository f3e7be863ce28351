"""A waiver file: whom, what, why and until when; everything else in it is told."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from configurator.answer_proof import Waived
from configurator.errors import BadInput
from configurator.reading import load_waivers
from tests.unit import earlier

ON = date(2026, 11, 25)
IDS = [rule.id for rule in earlier.RULES]
STACKS = ["Plain", "Powered"]
GOOD = """
waivers:
  - rule: racking.depth
    stack: Plain
    by: R. Viewer
    reason: the door stays open
    until: 2027-01-31
  - {rule: power.supply_loss, stack: Powered, by: "00123", reason: spare on site}
"""


def load(folder: Path, text: str) -> tuple[Waived, ...]:
    file = folder / "waivers.yaml"
    file.write_text(text, encoding="utf-8")
    return load_waivers(file, IDS, STACKS, ON)


def refused(folder: Path, text: str) -> str:
    with pytest.raises(BadInput) as error:
        load(folder, text)
    return str(error.value)


def test_waivers_are_read_as_they_stand(tmp_path: Path) -> None:
    first, second = load(tmp_path, GOOD)
    assert (first.rule, first.stack, first.by) == ("racking.depth", "Plain", "R. Viewer")
    assert (first.reason, first.until) == ("the door stays open", date(2027, 1, 31))
    assert (second.by, second.until) == ("00123", None)


def test_on_its_last_day_a_waiver_holds(tmp_path: Path) -> None:
    assert load(tmp_path, GOOD.replace("2027-01-31", "2026-11-25"))


WRONG = {
    "run out": (GOOD.replace("2027-01-31", "2026-11-24"), "waivers[0].until: this waiver ran out on 2026-11-24"),
    "no such rule": (GOOD.replace("racking.depth", "racking.dept"), 'did you mean "racking.depth"?'),
    "no such stack": (GOOD.replace("stack: Plain", "stack: Plane"), 'did you mean "Plain"?'),
    "twice": (GOOD.replace("power.supply_loss, stack: Powered", "racking.depth, stack: Plain"), "is waived twice"),
    "nobody": (GOOD.replace("    by: R. Viewer\n", ""), "waivers[0].by"),
    "no reason": (GOOD.replace("    reason: the door stays open\n", ""), "waivers[0].reason"),
    "an empty reason": (GOOD.replace("the door stays open", '""'), "waivers[0].reason"),
    "a blank reason": (GOOD.replace("the door stays open", '" "'), "waivers[0].reason: nothing is stated but blanks"),
    "a blank name": (GOOD.replace("by: R. Viewer", 'by: " "'), "waivers[0].by: nothing is stated but blanks"),
    "a day that is none": (GOOD.replace("2027-01-31", "2027-02-30"), "waivers[0].until"),
    "a key too many": (GOOD.replace("    reason", "    unit: 3\n    reason"), "waivers[0].unit"),
    "none": ("waivers: []", "waivers"),
    "nothing": ("waivers:", "waivers"),
    "a list": ("- a", "a list where the file's keys are expected"),
    "a key twice": (GOOD + "waivers: []\n", "is stated twice"),
    "an alias": ("waivers: &a [*a]", "anchors and aliases are not accepted here"),
    "empty": ("", "the file is empty"),
    "binary": ("waivers: [\0]", "has no place in a YAML file"),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_is_wrong_is_told_with_a_way_out(what: str, tmp_path: Path) -> None:
    text, said = WRONG[what]
    told = refused(tmp_path, text)
    assert said in told
    assert "hint: " in told


def test_a_message_has_line_and_column(tmp_path: Path) -> None:
    told = refused(tmp_path, GOOD.replace("racking.depth", "racking.dept"))
    assert told.startswith(f"{tmp_path / 'waivers.yaml'}:3:11: waivers[0].rule: there is no rule")


@pytest.mark.parametrize("name", ["absent.yaml", "a\0b"])
def test_a_name_of_no_file_is_told(name: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        load_waivers(tmp_path / name, IDS, STACKS, ON)
