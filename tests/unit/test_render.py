from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable
from decimal import Decimal
from importlib import resources
from typing import Any

import jsonschema
import pytest

from configurator import api, messages
from configurator.answer import Answer
from configurator.build import Build
from configurator.conflicts import refused
from configurator.render import blocks, facility, rulebook, table
from configurator.render import csv as as_csv
from configurator.render import json as as_json
from configurator.render.style import Style, printable
from configurator.rule import COMMON_PRACTICE, Rule, Source
from configurator.setting import Ask
from configurator.solved import Conflict, Refusal, Solved
from tests.unit import hand_made

RULE = Rule(
    "power.supplies_cover_load",
    "power",
    "A unit's supplies cover | everything.",
    Source("IEEE 802.3, clause 33"),
    check=lambda *_: (),
)
CATALOG = hand_made.catalog()


def answer(*asks: Ask, solved: Iterable[Solved] = ()) -> Answer:
    found = iter(solved)
    return api.solve(
        hand_made.asked(*asks),
        CATALOG,
        rules=[RULE],
        engine=lambda ask, *_: next(found, hand_made.solved(ask.stack.name)),
    )


ONE = answer(hand_made.ask())
TWO = answer(hand_made.ask(), hand_made.ask("Annexe", copies=3))
CONFLICT = Conflict(
    ("devices[0]", "airflow"), (RULE.id,), "10 telephones need 70 W; one supply gives 60 W.", smallest=True
)
IMPOSSIBLE = answer(hand_made.ask(), solved=[Solved("cannot be met", refusal=Refusal((CONFLICT,)))])


# --- JSON ---------------------------------------------------------------------------------------------


def test_the_packaged_schema_is_current() -> None:
    kept = (resources.files("configurator") / "schema" / "answer.schema.json").read_text(encoding="utf-8")
    assert kept == as_json.schema(), "python -m configurator.render.json > configurator/schema/answer.schema.json"


@pytest.mark.parametrize("one", [ONE, TWO, IMPOSSIBLE])
def test_answers_keep_the_schema(one: Answer) -> None:
    schema = json.loads(as_json.schema())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(json.loads(as_json.render(one)), schema)


def test_the_schema_refuses_what_is_no_answer() -> None:
    data = json.loads(as_json.render(ONE))
    for wrong in (
        {**data, "schema": "2.0"},
        {**data, "surprise": 1},
        {key: data[key] for key in data if key != "stacks"},
    ):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(wrong, json.loads(as_json.schema()))


def test_json_says_what_was_bought_where_it_goes_and_why() -> None:
    data: dict[str, Any] = json.loads(as_json.render(TWO))
    assert (data["schema"], data["currency"], data["decimals"]) == ("1.3", "EUR", 2)
    assert data["total_minor"] == 4 * 317500
    assert data["status"] == "cheapest"
    first = data["stacks"][0]
    assert (first["price_minor"], first["gap_minor"]) == (317500, 0)
    supply = next(line for line in first["bill"] if line["part"] == "alder.supply")
    assert supply["reasons"] == [
        {
            "rule": "power.supplies_cover_load",
            "text": "Two supplies cover the load.",
            "statement": "devices[0]",
            "said": "devices: 10 telephone",
            "ref": "5.1",
        }
    ]
    assert first["included"][0] == {
        "part": "alder.ears",
        "description": "Part alder.ears",
        "quantity": 1,
        "in": "alder.24p.bare",
    }
    assert (first["links"][0]["from"], first["links"][0]["to"]) == (1, 2)
    assert [(line["part"], line["quantity"], line["stacks"]) for line in data["bill"]][:3] == [
        ("alder.24p.bare", 4, ["Library", "Annexe"]),
        ("alder.24p.kit", 4, ["Library", "Annexe"]),
        ("alder.supply", 8, ["Library", "Annexe"]),
    ]
    assert sum(line["amount_minor"] for line in data["bill"]) == data["total_minor"]


def test_the_build_in_json_is_the_build() -> None:
    data = json.loads(as_json.render(ONE))
    assert Build.model_validate(data["stacks"][0]["build"]) == hand_made.build()


def test_an_order_with_a_stack_that_cannot_be_met_has_no_total() -> None:
    part = answer(hand_made.ask("A", headroom_percent=5), hand_made.ask("B"), solved=[Solved("cannot be met")])
    assert part.total_minor is None
    assert part.status == "cannot be met"
    assert sum(line.amount_minor for line in part.bill) == 317500


def test_a_file_name_that_is_no_utf8_is_still_written() -> None:
    assert refused.encodable("demand\udcff.yaml") == "demand?.yaml"


# --- CSV ----------------------------------------------------------------------------------------------


def rows_of(one: Answer) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(as_csv.render(one), newline=""), strict=True))


def test_csv_lines_end_as_rfc_4180_has_it() -> None:
    text = as_csv.render(ONE)
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n") == 8  # the header and seven parts


def test_csv_amounts_are_of_all_copies() -> None:
    rows = rows_of(TWO)
    supply = next(row for row in rows if row["stack"] == "Annexe" and row["part"] == "alder.supply")
    assert supply == {
        "customer": "Brackenhythe College",
        "project": "",
        "stack": "Annexe",
        "copies": "3",
        "status": "cheapest",
        "group": "supplies",
        "part": "alder.supply",
        "description": "Supply",
        "quantity_each": "2",
        "quantity": "6",
        "included": "3",
        "unit_price": "250.00",
        "amount": "1500.00",
        "currency": "EUR",
        "price_list_issued": "2031-05-01",
        "price_list_valid_until": "2031-06-30",
        "order_date": "2031-05-17",
        "proof": "proved cheapest; 1 rule passed",
        "waivers": "",
    }
    cents = sum(int(row["amount"].replace(".", "")) for row in rows)
    assert cents == TWO.total_minor


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\0"])
def test_text_that_could_be_a_formula_is_neutralised(start: str) -> None:
    assert as_csv.text(f"{start}1+1") == f"'{start}1+1"


def test_other_text_is_left_as_it_is() -> None:
    assert [as_csv.text(text) for text in ("a=b", "'a", "", None, " x", "Ängelholm, 5")] == [
        "a=b",
        "'a",
        "",
        "",
        " x",
        "Ängelholm, 5",
    ]


def test_csv_cells_from_outside_are_neutralised_in_the_file() -> None:
    rows = rows_of(answer(hand_made.ask('@SUM(1+1)*"x",\n2')))
    assert {row["stack"] for row in rows} == {'\'@SUM(1+1)*"x",\n2'}
    optic = next(row for row in rows if row["part"] == "alder.optic")
    assert optic["description"] == "'=Optic, short reach"


def test_a_stack_without_a_build_has_its_line_too() -> None:
    (row,) = rows_of(IMPOSSIBLE)
    assert (row["stack"], row["status"], row["part"], row["amount"], row["currency"]) == (
        "Library",
        "cannot be met",
        "",
        "",
        "EUR",
    )


# --- terminal -----------------------------------------------------------------------------------------


def test_the_table_tells_the_whole_answer() -> None:
    text = table.render(TWO)
    for words in (
        "Brackenhythe College",
        "prices.csv, EUR, issued 2031-05-01, valid until 2031-06-30",
        "Stack 2 of 2: Annexe, 3 copies",
        "Proved cheapest: 3 175.00 EUR",
        "Two supplies cover the load. For devices: 10 telephone [5.1] (power.supplies_cover_load)",
        "Unit 1: alder.24p, ordered as alder.24p.kit",
        "bay 2: alder.supply (cord alder.cord, feed B)",
        "10 on c 1-10 at 1 Gb/s, powered",
        "telephone [5.1]",
        "uses 45 W and 70 W of PoE; 800 W supplied, 685 W left",
        "with one supply lost: 400 W supplied, 285 W left",
        "with its one supply lost: stops",
        "Ring of 2 units, 2 links at 40 Gb/s:",
        "unit 1 to unit 2: alder.rear, 0.5 m long, over a way of 0.34445 m",
        "unit 1, up port 2 at 10 Gb/s: alder.optic; alder.optic ordered for the far end",
        "unit 2, q port 1 way 2 at 10 Gb/s: alder.split; far end not ordered here",
        "229.7 W at the plugs, 241.8 VA; of it 117.6 W PoE",
        "2 x C14, plug CEE 7/7, feed A; each up to 0.5 A, rated 2.1 A at 230 V",
        "Order total: 12 700.00 EUR",
        "Not included: tax, freight, duty, installation.",
        "airflow: front-to-back",
        "licensed people",
    ):
        assert words in text


def test_the_facility_sheet_tells_each_closet() -> None:
    two = answer(hand_made.ask("Library", closet="East", heat_w=100), hand_made.ask("Annexe", copies=3))
    text = facility.render(two)
    for words in (
        "Brackenhythe College",
        "Closet 1 of 2: East",
        "holds  Library",
        "2 rack units; weight 12 kg",
        "A: 165.8 W, 174.6 VA, 0.8 A at 230 V; with feed B lost 241.8 VA, 1.1 A",
        "1 on feed B, one an inlet: up to 0.3 A, 0.6 A with the other feed lost, 2.1 A rated",
        "3 x CEE 7/7",
        "the heaviest unit weighs 6.5 kg: 1 person",
        "heat that stays: 112.1 of 100 W allowed: 12.1 W TOO MUCH",
        "Closet 2 of 2: Annexe",
        "3 alike, one for each copy",
        "licensed people",
    ):
        assert words in text
    assert max(len(line) for line in text.splitlines()) < 240


def test_closets_come_after_the_stacks_in_the_table() -> None:
    text = table.render(TWO)
    closets, order = text.index("Closets\n"), text.index("Order\n=")
    assert text.index("Stack 2 of 2") < closets < order
    row = next(line.split() for line in text[closets:].splitlines() if line.startswith("Annexe"))
    assert row[:7] == ["Annexe", "3", "the", "stack", "2", "12", "229.7"]


def test_what_is_short_is_told_as_short() -> None:
    unit = ONE.stacks[0].units[0]
    assert unit.power.one_lost is not None
    short = unit.power.one_lost.model_copy(update={"left_w": Decimal("-12.50")})
    power = unit.power.model_copy(update={"one_lost": short})
    told = messages.watts(unit.model_copy(update={"power": power}))
    assert told[1] == "with one supply lost: 400 W supplied, 12.5 W short"


def test_part_numbers_and_figures_are_printed_as_they_are() -> None:
    assert "00123" in blocks.table(("Part", "Qty"), [("00123", "1e5")])
    assert "1e5" in blocks.table(("Part", "Qty"), [("00123", "1e5")])


def test_a_refusal_quotes_what_was_said_and_the_rule() -> None:
    text = table.render(IMPOSSIBLE)
    for words in (
        "Cannot be met",
        "any one fewer of these could be met",
        "devices: 10 telephone [5.1] (demand.yaml:7)",
        "airflow: front-to-back",
        "A unit's supplies cover | everything. (power.supplies_cover_load)",
        "10 telephones need 70 W; one supply gives 60 W.",
        "Order total: none, since 1 stack has no build",
    ):
        assert words in text
    assert "Bill" not in text


def test_a_conflict_that_is_not_proved_smallest_says_so() -> None:
    loose = Conflict((), (RULE.id,), "Too little.", smallest=False)
    text = table.render(answer(hand_made.ask(), solved=[Solved("cannot be met", refusal=Refusal((loose,)))]))
    assert "not proved smallest" in text


def test_best_found_tells_its_gap() -> None:
    found = Solved("best found", hand_made.TOTAL_MINOR, hand_made.TOTAL_MINOR - 1234, hand_made.build())
    one = answer(hand_made.ask(), solved=[found])
    assert one.stacks[0].gap_minor == 1234
    text = table.render(one)
    assert "Best found: 3 175.00 EUR; not proved cheapest" in text
    assert "gap 12.34 EUR" in text
    assert "Proved" not in text


def test_plain_text_holds_no_escape_and_bold_text_only_bold() -> None:
    assert "\x1b" not in table.render(TWO)
    bold = table.render(TWO, Style(bold=True))
    assert bold.replace("\x1b[1m", "").replace("\x1b[0m", "") == table.render(TWO)


def test_what_others_wrote_cannot_steer_the_terminal() -> None:
    nasty = answer(hand_made.ask("\x1b[2J\x1b]0;title\x07Library\u202e"))
    for style in (Style(), Style(bold=True)):
        text = table.render(nasty, style).replace("\x1b[1m", "").replace("\x1b[0m", "")
        assert printable(text) == text
        assert "·[2J·]0;title·Library·" in text


# --- rule book ----------------------------------------------------------------------------------------


def test_the_rule_book_tells_sentence_source_and_basis() -> None:
    plain = Rule("ports.once", "ports", "A port is used once.", COMMON_PRACTICE, check=lambda *_: ())
    book = (RULE, plain)
    assert "IEEE 802.3, clause 33 (standard)" in rulebook.as_table(book)
    assert "| `ports.once` | A port is used once. | common practice |" in rulebook.as_markdown(book)
    assert "cover \\| everything" in rulebook.as_markdown(book)
    told = json.loads(rulebook.as_json(book))["rules"]
    assert [(rule["id"], rule["basis"]) for rule in told] == [
        ("power.supplies_cover_load", "standard"),
        ("ports.once", "common practice"),
    ]
