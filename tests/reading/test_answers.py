"""Answers and audits are read as files from outside: whatever is in them is told in one clear error."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from configurator.errors import BadInput
from configurator.reading import load_answer, load_audit
from configurator.render import json as as_json
from configurator.review.audit import Audit, audit_of
from tests.unit import earlier

ANSWER = as_json.render(earlier.coupled()[0])
AUDIT = as_json.of_audit(audit_of(earlier.coupled()[0]))


def written(folder: Path, text: str | bytes) -> Path:
    file = folder / "answer.json"
    file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass"))
    return file


def refused(folder: Path, text: str | bytes) -> str:
    with pytest.raises(BadInput) as error:
        load_audit(written(folder, text))
    return str(error.value)


def changed(**values: Any) -> str:
    return json.dumps({**json.loads(AUDIT), **values})


# --- as they were written ---------------------------------------------------------------------------


def test_an_answer_is_read_as_it_was_written(tmp_path: Path) -> None:
    answer = earlier.coupled()[0]
    assert load_answer(written(tmp_path, ANSWER)) == answer
    assert as_json.render(load_answer(written(tmp_path, ANSWER))) == ANSWER


def test_an_audit_is_read_as_it_was_written(tmp_path: Path) -> None:
    assert load_audit(written(tmp_path, AUDIT)) == audit_of(earlier.coupled()[0])


def test_an_answer_serves_as_its_audit(tmp_path: Path) -> None:
    assert load_audit(written(tmp_path, ANSWER)) == load_audit(written(tmp_path, AUDIT))


def test_a_refusal_survives_the_way_through_a_file(tmp_path: Path) -> None:
    answer = earlier.impossible()[0]
    assert load_answer(written(tmp_path, as_json.render(answer))) == answer


def test_an_audit_is_no_answer(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no answer of this tool"):
        load_answer(written(tmp_path, AUDIT))


# --- what is none -----------------------------------------------------------------------------------

NONE: dict[str, tuple[str | bytes, str]] = {
    "empty": ("", "the file is empty"),
    "no JSON": ("stacks: []", "this is no JSON"),
    "a list": ("[]", "this is JSON, but no answer"),
    "a number": ("1", "this is JSON, but no answer"),
    "something else": ('{"a": 1}', "this is no answer of this tool, and no audit"),
    "not a number": ('{"audit": NaN}', '"NaN" is no number'),
    "no end": ('{"audit": -Infinity}', '"-Infinity" is no number'),
    "too large": ('{"audit": 1e999}', '"1e999" is larger than any figure of an answer'),
    "a huge number": ('{"audit": ' + "9" * 5000 + "}", "is longer than any number of an answer"),
    "a key twice": ('{"audit": "1.0", "audit": "1.0"}', '"audit" is stated twice'),
    "deep": ("[" * 100_000 + "]" * 100_000, "nested too deep"),
    "rather deep": ('{"audit": ' + "[" * 200 + "]" * 200 + "}", "nested too deep"),
    "an archive": (b"PK\x03\x04" + b"\x00" * 100, "a spreadsheet or an archive is not read"),
    "bytes": (b'{"audit": "\xff"}', "is not UTF-8"),
    "a NUL": (b'{"audit": "\x00"}', "has no place in a JSON file"),
    "half a surrogate": ('{"audit": "\\ud800"}', "half of a surrogate pair is no text"),
    "half a key": ('{"\\udfff": 1}', "half of a surrogate pair is no text"),
    "old": ('{"schema": "0.9"}', 'this file is of format "0.9"'),
    "an odd version": ('{"audit": [["1.0"]]}', "this file is of format a list"),
    "no version": ('{"audit": null}', "this file is of format nothing"),
}


@pytest.mark.parametrize("what", NONE)
def test_what_is_no_answer_is_told(what: str, tmp_path: Path) -> None:
    text, said = NONE[what]
    told = refused(tmp_path, text)
    assert said in told
    assert "hint: " in told


WRONG: dict[str, tuple[dict[str, Any], str]] = {
    "text for a list": ({"stacks": "none"}, "stacks: "),
    "a list for text": ({"currency": ["EUR"]}, "currency: "),
    "nothing for a number": ({"decimals": None}, "decimals: "),
    "a half": ({"total_minor": 0.5}, "total_minor: "),
    "a day that is none": ({"order_date": "2031-02-30"}, "order_date: "),
    "a key too many": ({"discount": 1}, "discount: "),
    "a role that is none": ({"inputs": [{"role": "x", "name": "", "sha256": ""}]}, "inputs[0].role: "),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_does_not_fit_is_told_with_its_key(what: str, tmp_path: Path) -> None:
    values, said = WRONG[what]
    told = refused(tmp_path, changed(**values))
    assert said in told
    assert "hint: " in told


@pytest.mark.parametrize("key", list(json.loads(AUDIT)))
def test_every_key_has_to_be_there(key: str, tmp_path: Path) -> None:
    data = json.loads(AUDIT)
    del data[key]
    assert (key if key != "audit" else "no answer") in refused(tmp_path, json.dumps(data))


@pytest.mark.parametrize("part", range(1, 20))
def test_a_cut_file_is_one_clear_error(part: int, tmp_path: Path) -> None:
    cut = AUDIT.rstrip()[: len(AUDIT) * part // 20]
    told = refused(tmp_path, cut)
    assert told.count("hint: ") == 1
    assert "this is no JSON" in told


def test_control_characters_of_others_stay_text(tmp_path: Path) -> None:
    """They are read; what shows them shows a dot."""
    audit = load_audit(written(tmp_path, changed(tool_version="\x1b[31m")))
    assert isinstance(audit, Audit)
    assert audit.tool_version == "\x1b[31m"


@pytest.mark.parametrize("name", ["absent.json", "a\0b", ""])
def test_a_name_of_no_file_is_told(name: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        load_audit(tmp_path / name if name else tmp_path)
