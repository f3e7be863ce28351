from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from configurator.errors import Problem
from configurator.reading.yaml_source import DEEPEST, parse, read_yaml
from tests.reading.small import only, refused, written


def refusal(text: str) -> Problem:
    return only(lambda: parse("d.yaml", text))


def place(problem: Problem) -> tuple[str, int | None, int | None]:
    return problem.file, problem.line, problem.column


def test_every_scalar_is_text_and_only_plain_nulls_are_none() -> None:
    sheet = parse("d.yaml", "a: NO\nb: 00123\nc: 12.10\nd: on\ne:\nf: ~\ng: null\nh: 'null'\ni: ''\nj: 2026-01-01\n")
    assert sheet.data == {
        "a": "NO",
        "b": "00123",
        "c": "12.10",
        "d": "on",
        "e": None,
        "f": None,
        "g": None,
        "h": "null",
        "i": "",
        "j": "2026-01-01",
    }


def test_values_and_keys_know_where_they_stand() -> None:
    sheet = parse("d.yaml", "stacks:\n  - name: hall\n    ports:\n      - {count: 5, name: x}\n")
    spot = sheet.spot(("stacks", 0, "ports", 0, "name"))
    assert (spot.line, spot.column, spot.key_line, spot.key_column) == (4, 26, 4, 20)
    assert sheet.spot(("stacks", 0, "ports", 0, "missing")).line == 4
    assert sheet.where(("stacks", 0, "ports")) == "d.yaml:3"


def test_byte_order_mark_and_crlf_are_accepted(tmp_path: Path) -> None:
    sheet = read_yaml(written(tmp_path, "d.yaml", b"\xef\xbb\xbfa: 1\r\nb: 2\r\n"), 100)
    assert sheet.data == {"a": "1", "b": "2"}
    assert sheet.spot(("b",)).line == 2


def test_broken_yaml_is_refused_where_it_breaks() -> None:
    problem = refusal("a: 1\nb: c: 2\n")
    assert place(problem) == ("d.yaml", 2, 5)
    assert "broken YAML" in problem.text
    assert "quotes" in problem.hint


def test_a_tab_for_indentation_is_refused_with_a_way_out() -> None:
    problem = refusal("a:\n\tb: 1\n")
    assert place(problem) == ("d.yaml", 2, 1)
    assert "blanks" in problem.hint


def test_an_open_bracket_is_refused() -> None:
    assert "bracket" in refusal("a: [1, 2\nb: 3\n").hint


@pytest.mark.parametrize("text", ["a: 1\nb: 2\na: 3\n", "a: 1\nb: 2\n'a': 3\n"])
def test_duplicate_keys_are_refused_with_both_lines(text: str) -> None:
    problem = refusal(text)
    assert place(problem) == ("d.yaml", 3, 1)
    assert '"a" is stated twice, first on line 1' in problem.text
    assert "keep one" in problem.hint


def test_duplicate_keys_are_refused_in_nested_mappings_with_their_path() -> None:
    problem = refusal("stacks:\n  - {name: a, name: b}\n")
    assert place(problem) == ("d.yaml", 2, 15)
    assert problem.key == "stacks[0]"


def test_aliases_are_refused_and_nothing_is_expanded() -> None:
    text = "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n"
    problems = refused(lambda: parse("d.yaml", text))
    assert [(p.line, p.column) for p in problems] == [(1, 4), (2, 4), (2, 8), (2, 12), (3, 5), (3, 9)]
    assert all("aliases" in p.text and "write the value out" in p.hint for p in problems)
    assert '"*b"' in problems[-1].text


def test_an_alias_as_a_key_is_refused() -> None:
    assert any('"*a"' in p.text for p in refused(lambda: parse("d.yaml", "x: &a 1\n*a : 2\n")))


def test_merge_keys_are_refused() -> None:
    problem = refusal("a:\n  <<: {b: 1}\n")
    assert place(problem) == ("d.yaml", 2, 3)
    assert "merge keys" in problem.text
    assert "write the keys out" in problem.hint


@pytest.mark.parametrize("tag", ["!!python/object/apply:os.system", "!!int", "!mine"])
def test_tags_are_refused(tag: str) -> None:
    problem = refusal(f"a: {tag} 1\n")
    assert place(problem) == ("d.yaml", 1, 4)
    assert "tags are not accepted" in problem.text
    assert "leave the tag out" in problem.hint


def test_a_second_document_is_refused() -> None:
    problem = refusal("a: 1\n---\nb: 2\n")
    assert place(problem) == ("d.yaml", 2, 1)
    assert "second document" in problem.text


@pytest.mark.parametrize(("text", "what"), [("- a\n- b\n", "a list"), ("just words\n", '"just words"')])
def test_the_top_has_to_be_a_mapping(text: str, what: str) -> None:
    problem = refusal(text)
    assert place(problem) == ("d.yaml", 1, 1)
    assert what in problem.text
    assert "key: value" in problem.hint


def test_a_mapping_as_a_key_is_refused() -> None:
    assert refusal("? {a: 1}\n: 2\n").line == 1


def test_a_missing_key_is_refused() -> None:
    assert "key is missing" in refusal("a: {b: 1, '': 2}\n").text


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
@pytest.mark.parametrize("depth", [DEEPEST + 1, 5000])
def test_deep_nesting_is_refused(opening: str, depth: int) -> None:
    problem = refusal(f"x:\n  {opening * depth}")
    assert f"deeper than {DEEPEST}" in problem.text
    assert problem.line == 2


@pytest.mark.parametrize("data", [b"", b"  \n\n", b"# nothing but a comment\n"])
def test_an_empty_file_is_refused(tmp_path: Path, data: bytes) -> None:
    path = written(tmp_path, "d.yaml", data)
    problem = only(lambda: read_yaml(path, 100))
    assert problem.file == str(path)
    assert problem.line is not None
    assert "empty" in problem.text or "nothing but comments" in problem.text
    assert "name another" in problem.hint


def test_bytes_that_are_not_utf8_are_refused_where_they_stand(tmp_path: Path) -> None:
    path = written(tmp_path, "d.yaml", b"a: 1\nb: caf\xe9\n")
    problem = only(lambda: read_yaml(path, 100))
    assert place(problem) == (str(path), 2, 7)
    assert "0xe9 is not UTF-8" in problem.text
    assert "UTF-8" in problem.hint


@pytest.mark.parametrize("data", [b"a: 1\nb: x\x00y\n", b"a: 1\nb: x\x07y\n", "\ufeffa: 1\nb: x\x00y\n".encode()])
def test_binary_data_is_refused_where_it_stands(tmp_path: Path, data: bytes) -> None:
    path = written(tmp_path, "d.yaml", data)
    problem = only(lambda: read_yaml(path, 100))
    assert place(problem) == (str(path), 2, 5)
    assert "binary" in problem.text


def test_a_spreadsheet_is_told_what_to_do(tmp_path: Path) -> None:
    path = written(tmp_path, "d.yaml", b"PK\x03\x04\x14\x00")
    assert "save it as YAML" in only(lambda: read_yaml(path, 100)).hint


def test_a_file_too_large_is_refused_and_one_just_small_enough_is_read(tmp_path: Path) -> None:
    path = written(tmp_path, "d.yaml", "a: 12345\n")
    assert read_yaml(path, 9).data == {"a": "12345"}
    problem = only(lambda: read_yaml(path, 8))
    assert "larger than 8 bytes" in problem.text
    assert "split" in problem.hint


def test_a_folder_is_refused(tmp_path: Path) -> None:
    problem = only(lambda: read_yaml(tmp_path, 100))
    assert problem.file == str(tmp_path)
    assert "this is a folder" in problem.text
    assert "name a file" in problem.hint


def test_a_missing_file_is_told_with_its_neighbour(tmp_path: Path) -> None:
    written(tmp_path, "demand.yaml", "a: 1\n")
    problem = only(lambda: read_yaml(tmp_path / "demnad.yaml", 100))
    assert "no such file" in problem.text
    assert "demand.yaml" in problem.hint


def test_permission_refused_by_the_system_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path, "d.yaml", "a: 1\n")

    def refuse(*_: object, **__: object) -> io.BytesIO:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    problem = only(lambda: read_yaml(path, 100))
    assert "may not be read" in problem.text
    assert "permission" in problem.hint


@pytest.mark.parametrize("name", ["a\0b", "a" * 5000])
def test_impossible_names_are_refused(name: str) -> None:
    assert only(lambda: read_yaml(name, 100)).hint


def test_standard_input_is_read_and_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    def hand_in(data: bytes) -> None:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))

    hand_in(b"a: 1\n")
    assert read_yaml("-", 100).data == {"a": "1"}
    hand_in(b"a: 1\n" * 100)
    problem = only(lambda: read_yaml("-", 100))
    assert problem.file == "standard input"
    assert "larger than 100 bytes" in problem.text
