"""The forms of an answer say the same: Markdown what the terminal does, and waivers are in all of them."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace

import pytest

from configurator import api, messages
from configurator.answer import Answer
from configurator.answer_proof import Waived
from configurator.catalog import Catalog
from configurator.engine.search import solve_stack
from configurator.render import contents, facility, markdown, proof, table
from configurator.render import csv as as_csv
from configurator.render import json as as_json
from configurator.render.sections import Bullets, Lines, Listing, Table, as_markdown, as_text, section, title
from configurator.render.style import escaped
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved
from tests.unit import earlier

WAIVED = Waived(rule="racking.depth", stack="Plain", by="R. Viewer", reason="the door stays open", until=None)
ANSWERS = {
    "tiny": earlier.tiny()[0],
    "refused": earlier.impossible()[0],
    "coupled": earlier.coupled()[0],
    "waived": earlier.tiny()[0].model_copy(update={"waivers": (WAIVED,)}),
}


def words(text: str) -> list[str]:
    """Its words in order, without what draws tables and marks headings."""
    bare = re.sub(r"\\(.)", r"\1", text)
    return re.findall(r"[A-Za-z0-9]+", bare)


# --- the same in both -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ANSWERS)
def test_markdown_says_what_the_terminal_says(name: str) -> None:
    answer = ANSWERS[name]
    ids = as_markdown("Answer", proof.not_applicable(answer))
    expected = ["Answer", *words(table.render(answer)), *words(ids)[1:]]
    assert words(markdown.render(answer)) == expected


@pytest.mark.parametrize("name", ANSWERS)
def test_tables_of_markdown_are_whole(name: str) -> None:
    """Every row of a table has as many cells as its head."""
    for block in markdown.render(ANSWERS[name]).split("\n\n"):
        if block.startswith("|"):
            rows = [len(re.findall(r"(?<!\\)\|", line)) for line in block.splitlines()]
            assert len(set(rows)) == 1
            assert len(rows) > 2


def test_the_same_answer_is_the_same_text_each_time() -> None:
    assert markdown.render(ANSWERS["coupled"]) == markdown.render(ANSWERS["coupled"])


def test_what_others_wrote_marks_nothing_up() -> None:
    nasty = "# *x* | `y` [z](javascript:1) <b>\n## w \x1b[31m"
    told = [title(nasty), section(nasty, Lines((nasty,)), Bullets((nasty,)), Listing(((nasty, nasty),)))]
    told.append(section(nasty, Table((nasty, ""), ((nasty, nasty),))))
    text = as_markdown(nasty, told)
    assert "\x1b" not in text
    assert not re.search(r"(?<!\\)[*`<\[]", text)
    marks = re.findall(r"^#+ ", text, re.MULTILINE)
    assert marks == ["# ", "## ", "### ", "### "]
    assert "\x1b" not in as_text(told)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("&lt;b&gt;", r"\&lt;b\&gt;"),
        ("$x$", r"\$x\$"),
        ("see http://a.example/b", r"see http\://a.example/b"),
        ("see WWW.a.example", r"see WWW\.a.example"),
        ("a@b.example", r"a\@b.example"),
        ("1. first", r"1\. first"),
        ("12) first", r"12\) first"),
        ("17.5 W: half", "17.5 W: half"),
    ],
)
def test_nothing_becomes_a_link_a_formula_or_a_list(text: str, shown: str) -> None:
    assert escaped(text) == shown


# --- the proof --------------------------------------------------------------------------------------


def test_the_proof_says_what_was_proved_and_by_how_many_rules() -> None:
    answer = ANSWERS["tiny"]
    text = table.render(answer).partition("\nProof\n")[2].partition("\n\n")[0]
    checks = answer.proof.checks
    prices = next(one for one in answer.inputs if one.role == "prices")
    assert answer.proof.how in text
    assert f"{len(checks.passed)} rules looked" in text
    assert f"{len(checks.not_applicable)} rules did not apply: the catalog has no figures for them" in text
    assert f"issued 2026-11-02, valid until 2027-03-31, sha256 {prices.sha256[:12]}" in text
    assert prices.sha256[:13] not in text


def test_markdown_and_json_name_the_rules_that_did_not_apply() -> None:
    answer = ANSWERS["tiny"]
    bare = markdown.render(answer).replace("\\", "")
    told = json.loads(as_json.render(answer))["proof"]["checks"]["not_applicable"]
    assert told == list(answer.proof.checks.not_applicable)
    assert told
    for rule in told:
        assert f"- {rule}" in bare


def test_a_refusal_proves_no_price() -> None:
    text = table.render(ANSWERS["refused"])
    assert "There is no order of all stacks." in text
    assert "nothing was found that rules could look at" in text


def test_the_proof_of_an_order_tells_how_its_stacks_hang_together() -> None:
    assert messages.TOGETHER in ANSWERS["tiny"].proof.how
    assert messages.TOGETHER in ANSWERS["coupled"].proof.how  # one stack, with cold spares
    assert messages.TOGETHER not in ANSWERS["refused"].proof.how


def test_the_proof_of_a_refusal_names_what_cannot_be_met() -> None:
    answer = ANSWERS["refused"]
    assert f"that these can't be met: {answer.stacks[0].name}." in answer.proof.how
    assert answer.proof.gap_minor is None


def test_an_unproved_price_has_its_gap_in_words() -> None:
    """Of 920.00 and 1440.00 EUR the first stack is only known to cost no less than 900.00."""

    def engine(ask: Ask, catalog: Catalog, rules: tuple[Rule, ...], _limit_s: float | None) -> Solved:
        solved = solve_stack(ask, catalog, rules)
        return replace(solved, status="best found", bound_minor=90000) if ask.stack.name == "Plain" else solved

    _, asked, catalog = earlier.tiny()
    answer = api.solve(asked, catalog, engine=engine)
    assert (answer.proof.price, answer.proof.gap_minor) == ("best found", 2000)
    proof_ = table.render(answer).partition("\nProof\n")[2].partition("\n\n")[0]
    assert re.search(r"gap +20\.00 EUR", proof_)
    rows = {row["stack"]: row["proof"] for row in csv.DictReader(io.StringIO(as_csv.render(answer), newline=""))}
    count = len(answer.proof.checks.passed)
    assert rows == {
        "Plain": f"not proved cheapest, gap 20.00 EUR; {count} rules passed",
        "Powered": f"proved cheapest; {count} rules passed",
    }


@pytest.mark.parametrize("form", ["table", "markdown", "json", "csv", "facility"])
@pytest.mark.parametrize("name", ["tiny", "refused", "coupled"])
def test_the_checks_are_told_in_every_form(form: str, name: str) -> None:
    answer = ANSWERS[name]
    count = len(answer.proof.checks.passed)
    told = FORMS[form](answer)
    if form == "json":
        assert len(json.loads(told)["proof"]["checks"]["passed"]) == count
    elif name == "refused":
        assert (
            "proved that it can't be met" if form == "csv" else "nothing was found that rules could look at"
        ) in told
    else:
        assert f"{count} rules {'passed' if form == 'csv' else 'looked at what was found'}" in told


# --- waivers ----------------------------------------------------------------------------------------

FORMS = {
    "table": table.render,
    "markdown": lambda answer: markdown.render(answer).replace("\\", ""),
    "json": as_json.render,
    "csv": as_csv.render,
    "facility": facility.render,
}


@pytest.mark.parametrize("form", FORMS)
def test_waivers_are_on_every_form(form: str) -> None:
    text = FORMS[form](ANSWERS["waived"])
    for word in (WAIVED.rule, WAIVED.by, WAIVED.reason):
        assert word in text
    assert WAIVED.by not in FORMS[form](ANSWERS["tiny"])


def waived(answer: Answer, **values: str) -> Answer:
    return answer.model_copy(update={"waivers": (WAIVED.model_copy(update=values),)})


def test_a_waiver_stands_in_the_rows_of_its_stack() -> None:
    rows = list(csv.DictReader(io.StringIO(as_csv.render(ANSWERS["waived"]), newline="")))
    told = {row["stack"]: row["waivers"] for row in rows}
    assert told == {
        "Plain": "racking.depth for Plain: accepted by R. Viewer: the door stays open",
        "Powered": "",
    }


def test_no_waiver_is_a_formula() -> None:
    """A forged one may begin like one."""
    text = as_csv.render(waived(ANSWERS["tiny"], rule="=1+1"))
    (cell,) = {row["waivers"] for row in csv.DictReader(io.StringIO(text, newline="")) if row["stack"] == "Plain"}
    assert cell.startswith("'=1+1")


def test_contents_are_all_that_the_forms_know() -> None:
    told = list(contents.contents(ANSWERS["waived"]))
    assert [one.heading for one in told if one.title] == [
        "Stack 1 of 2: Plain",
        "Stack 2 of 2: Powered",
        "Closets",
        "Order",
    ]
    assert proof.NOT_NEEDED in [one.heading for one in told]
