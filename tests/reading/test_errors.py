from __future__ import annotations

from configurator.errors import MOST_SHOWN, BadInput, Problem


def test_a_problem_is_told_with_place_line_caret_blank_and_hint() -> None:
    problem = Problem("d.yaml", 3, 10, "stacks[0].name", '"x"', '"x" is wrong', "write y", "  - name: x")
    assert str(problem) == (
        'd.yaml:3:10: stacks[0].name: "x" is wrong\n     3 |   - name: x\n       |          ^\n\nhint: write y'
    )


def test_a_file_as_a_whole_has_no_line() -> None:
    problem = Problem("d.yaml", None, None, "", None, "there is no such file", "check the name")
    assert str(problem) == "d.yaml: there is no such file\n\nhint: check the name"


def test_the_caret_stands_below_its_character_after_wide_ones() -> None:
    problem = Problem("d.yaml", 1, 3, "k", None, "t", "h", "広x: 1")
    line, caret = str(problem).split("\n")[1:3]
    assert line.index(":") == 11
    assert caret.index("^") == 12  # the wide character takes two columns of a terminal


def test_a_long_line_is_cut_around_the_column() -> None:
    problem = Problem("d.yaml", 1, 5001, "k", None, "t", "h", "a" * 5000 + "B" + "c" * 5000)
    line, caret = str(problem).split("\n")[1:3]
    assert len(line) < 130
    assert line[caret.index("^")] == "B"


def test_control_characters_of_a_file_do_not_reach_the_terminal() -> None:
    problem = Problem("d.yaml", 1, 1, "k", None, "t", "h", "a\x1b[2Jb")
    assert "\x1b" not in str(problem)


def test_the_first_problems_are_shown_and_the_rest_counted() -> None:
    problems = [Problem("d.yaml", n, 1, f"k{n}", None, "t", "h") for n in range(1, MOST_SHOWN + 6)]
    told = str(BadInput(problems))
    assert f"k{MOST_SHOWN}:" in told
    assert f"k{MOST_SHOWN + 1}:" not in told
    assert "5 more" in told
