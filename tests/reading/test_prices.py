from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from iso4217 import Currency

from configurator.catalog import PriceList
from configurator.errors import BadInput, Problem
from configurator.reading import load_prices, minor_decimals
from configurator.reading.prices import COLUMNS, PRICES_LIMIT
from configurator.reading.rows import MOST_PROBLEMS
from tests.reading.small import ON, PRICES, changed, only, refused, written

HEADER = ",".join(COLUMNS)


def read(tmp_path: Path, text: str | bytes, on: date | None = ON) -> PriceList:
    return load_prices(written(tmp_path, "p.csv", text), on)


def refusal(tmp_path: Path, old: str, new: str) -> Problem:
    """Of the small price list with one place changed."""
    return only(lambda: read(tmp_path, changed(PRICES, old, new)))


def test_a_good_list_is_read_into_minor_units(tmp_path: Path) -> None:
    prices = read(tmp_path, PRICES)
    assert (prices.currency, prices.decimals) == ("EUR", 2)
    assert (prices.issued, prices.valid_until) == (date(2026, 5, 1), date(2026, 7, 31))
    assert {part: row.price_minor for part, row in prices.rows.items()} == {
        "00123": 100050,
        "ps-a": 20000,
        "cord-gb": 550,
        "cord-no": 600,
        "opt-sr": 8000,
    }
    assert prices.rows["cord-no"].status == "withdrawn"
    assert prices.rows["00123"].lead_time_days == 10


def test_order_of_columns_byte_order_mark_crlf_and_quotes_are_free(tmp_path: Path) -> None:
    text = (
        "\ufeffprice,part,currency,valid_until,issued,status,lead_time_days\r\n"
        '"12.34","a, ""b""",EUR,2026-07-31,2026-05-01,active,0\r\n'
        "\r\n"
    )
    prices = read(tmp_path, text)
    assert prices.rows['a, "b"'].price_minor == 1234


@pytest.mark.parametrize(
    ("currency", "price", "minor"), [("JPY", "100", 100), ("BHD", "1.005", 1005), ("EUR", "7", 700)]
)
def test_decimals_follow_the_currency(tmp_path: Path, currency: str, price: str, minor: int) -> None:
    prices = read(tmp_path, f"{HEADER}\na,{price},{currency},active,0,2026-05-01,2026-07-31\n")
    assert prices.rows["a"].price_minor == minor
    assert prices.decimals == Currency(currency).exponent


@pytest.mark.parametrize(
    ("currency", "price", "decimals"), [("JPY", "100.5", 0), ("EUR", "1.234", 2), ("BHD", "1.2345", 3)]
)
def test_more_decimals_than_the_currency_has_are_refused(
    tmp_path: Path, currency: str, price: str, decimals: int
) -> None:
    problem = only(lambda: read(tmp_path, f"{HEADER}\na,{price},{currency},active,0,2026-05-01,2026-07-31\n"))
    assert f'"{price}"' in problem.text
    assert f"{currency} has {decimals} decimals by ISO 4217" in problem.hint


def test_metals_and_testing_codes_are_no_currencies_of_prices() -> None:
    assert [minor_decimals(code) for code in ("XAU", "XTS", "ZZZ", "eur", "")] == [None] * 5
    assert [minor_decimals(code) for code in ("JPY", "BHD", "EUR")] == [0, 3, 2]


def test_a_problem_is_told_with_file_line_column_key_value_and_hint(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "ps-a,200,", "ps-a,2OO,")
    assert (Path(problem.file).name, problem.line, problem.column) == ("p.csv", 3, 6)
    assert (problem.key, problem.value) == ("price", '"2OO"')
    assert '"2OO" is not a price' in problem.text
    assert "1234.50" in problem.hint
    assert f"{problem.file}:3:6: price: " in str(problem)


@pytest.mark.parametrize("price", ["1e3", "NaN", "Infinity", "0x10", "1_000", "12.", ".5", "", "+5", "\u0663"])
def test_only_plain_digits_are_prices(tmp_path: Path, price: str) -> None:
    assert refusal(tmp_path, "ps-a,200,", f"ps-a,{price},").key == "price"


def test_thousands_marks_are_refused(tmp_path: Path) -> None:
    assert "nothing else" in refusal(tmp_path, "ps-a,200,", 'ps-a,"1,200",').hint


@pytest.mark.parametrize("price", ["-5", "1000000000.01", "9" * 30])
def test_prices_out_of_range_are_refused(tmp_path: Path, price: str) -> None:
    problem = refusal(tmp_path, "ps-a,200,", f"ps-a,{price},")
    assert price in problem.text
    assert "price out of range" in problem.text + problem.hint
    assert "1,000,000,000" in problem.hint


def test_the_highest_price_is_accepted(tmp_path: Path) -> None:
    assert read(tmp_path, changed(PRICES, "ps-a,200,", "ps-a,1000000000,")).rows["ps-a"].price_minor == 10**11


def test_mixed_currencies_are_refused(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "ps-a,200,EUR", "ps-a,200,USD")
    assert (problem.line, problem.column, problem.key) == (3, 10, "currency")
    assert '"USD" differs from "EUR" on line 2' in problem.text
    assert "one currency" in problem.hint


def test_an_unknown_currency_is_told_once_with_a_near_one(tmp_path: Path) -> None:
    problem = only(lambda: read(tmp_path, PRICES.replace("EUR", "EURO")))
    assert '"EURO" is no currency of ISO 4217' in problem.text
    assert '"EUR"' in problem.hint


def test_a_code_that_no_price_is_in_is_not_proposed_in_its_own_place(tmp_path: Path) -> None:
    problem = only(lambda: read(tmp_path, PRICES.replace("EUR", "XXX")))
    assert '"XXX" is no currency of ISO 4217' in problem.text
    assert "XXX" not in problem.hint


@pytest.mark.parametrize("column", ["issued", "valid_until"])
def test_dates_that_differ_between_rows_are_refused(tmp_path: Path, column: str) -> None:
    old = "ps-a,200,EUR,active,5,2026-05-01,2026-07-31"
    new = old.replace("2026-05-01", "2026-05-02") if column == "issued" else old.replace("07-31", "07-30")
    problem = refusal(tmp_path, old, new)
    assert (problem.line, problem.key) == (3, column)


@pytest.mark.parametrize("day", ["2026-02-30", "2026-13-01", "31.07.2026", "20260731", "1785456000", "2026-7-31"])
def test_impossible_dates_are_refused(tmp_path: Path, day: str) -> None:
    problem = only(lambda: read(tmp_path, PRICES.replace("2026-07-31", day)))
    assert (problem.line, problem.key, problem.value) == (2, "valid_until", f'"{day}"')
    assert "write" in problem.hint


def test_a_list_valid_until_before_it_was_issued_is_refused(tmp_path: Path) -> None:
    assert "before the list was issued" in only(lambda: read(tmp_path, PRICES.replace("2026-07-31", "2026-04-30"))).text


def test_an_expired_list_is_refused_with_dates_and_ways_out(tmp_path: Path) -> None:
    assert read(tmp_path, PRICES, date(2026, 7, 31)).valid_until == date(2026, 7, 31)
    problem = only(lambda: read(tmp_path, PRICES, date(2026, 8, 1)))
    assert (problem.line, problem.key) == (2, "valid_until")
    assert "2026-07-31" in problem.text
    assert "2026-08-01" in problem.text
    assert "newer list" in problem.hint
    assert "--on" in problem.hint


def test_a_list_not_yet_issued_is_refused(tmp_path: Path) -> None:
    assert read(tmp_path, PRICES, date(2026, 5, 1)).issued == date(2026, 5, 1)
    problem = only(lambda: read(tmp_path, PRICES, date(2026, 4, 30)))
    assert problem.key == "issued"
    assert "after the order date, 2026-04-30" in problem.text
    assert "--on 2026-05-01" in problem.hint


def test_a_part_twice_is_refused_with_both_lines(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "cord-gb,", "ps-a,")
    assert (problem.line, problem.key, problem.value) == (4, "part", '"ps-a"')
    assert "first on line 3" in problem.text


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("ps-a,", ",", "part"),
        ("ps-a,", f"{'x' * 65},", "part"),
        ("200,EUR,active", "200,EUR,activ", "status"),
        ("EUR,active,5", "EUR,active,3651", "lead_time_days"),
        ("EUR,active,5", "EUR,active,-1", "lead_time_days"),
        ("EUR,active,5", "EUR,active,1.5", "lead_time_days"),
        ("ps-a,", " ps-a,", "part"),
        ("ps-a,200,EUR,active,5,", "ps-a,200,EUR,active,", "row"),
    ],
)
def test_other_wrong_values_are_refused_in_their_column(tmp_path: Path, old: str, new: str, key: str) -> None:
    problem = refusal(tmp_path, old, new)
    assert (problem.line, problem.key) == (3, key)
    assert problem.hint


def test_a_near_status_is_proposed(tmp_path: Path) -> None:
    assert '"withdrawn"' in refusal(tmp_path, "withdrawn", "withdraw").hint


def test_an_unknown_column_is_refused_with_a_near_one(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "currency,status", "currency,state,status")
    assert (problem.line, problem.column, problem.value) == (1, 21, '"state"')
    assert '"status"' in problem.hint


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (PRICES.replace(",valid_until", ""), "lacks valid_until"),
        (PRICES.replace("issued,valid_until", "issued,issued"), "there twice"),
        (PRICES.replace(",", ";"), "not separated by commas"),
        (HEADER + "\n", "no rows"),
    ],
)
def test_a_wrong_header_is_refused(tmp_path: Path, text: str, words: str) -> None:
    problem = only(lambda: read(tmp_path, text))
    assert (problem.line, problem.column) == (1, 1) or words == "there twice"
    assert words in problem.text
    assert problem.hint


@pytest.mark.parametrize("row", ['"ps-a"x,200', '"ps-a,200'])
def test_broken_quoting_is_refused_where_it_begins(tmp_path: Path, row: str) -> None:
    problem = refusal(tmp_path, "ps-a,200", row)
    assert problem.line == 3
    assert "broken CSV" in problem.text
    assert "quote" in problem.hint


def test_a_value_after_a_quoted_one_with_commas_has_its_true_column(tmp_path: Path) -> None:
    assert refusal(tmp_path, "ps-a,200", '"p,s",2x0').column == 7


def test_lines_are_right_after_a_value_of_two_lines(tmp_path: Path) -> None:
    text = changed(changed(PRICES, "00123,", '"00\n123",'), "ps-a,200", "ps-a,x")
    assert {p.line for p in refused(lambda: read(tmp_path, text))} == {4}


@pytest.mark.parametrize(
    ("data", "words"),
    [(b"", "empty"), (b"part\x00", "binary"), (b"caf\xe9", "not UTF-8"), (b"PK\x03\x04", "binary")],
)
def test_what_is_no_text_is_refused(tmp_path: Path, data: bytes, words: str) -> None:
    problem = only(lambda: read(tmp_path, data))
    assert words in problem.text
    assert problem.line == 1


def test_a_list_too_large_is_refused(tmp_path: Path) -> None:
    problem = only(lambda: read(tmp_path, b"x" * (PRICES_LIMIT + 1)))
    assert f"{PRICES_LIMIT:,} bytes" in problem.text


def test_a_folder_and_a_missing_file_are_refused(tmp_path: Path) -> None:
    assert "folder" in only(lambda: load_prices(tmp_path, ON)).text
    assert "no such file" in only(lambda: load_prices(tmp_path / "x.csv", ON)).text


def test_a_file_of_another_kind_is_not_told_line_by_line(tmp_path: Path) -> None:
    text = HEADER + "\n" + "a,b\n" * (MOST_PROBLEMS * 2)
    with pytest.raises(BadInput) as caught:
        read(tmp_path, text)
    assert len(caught.value.problems) == MOST_PROBLEMS
    assert len(str(caught.value).splitlines()) < 200


WITH_PACKS = """\
part,price,currency,status,lead_time_days,issued,valid_until,pack_size,least_quantity
ps-a,200,EUR,active,5,2026-05-01,2026-07-31,4,12
cord-gb,5.5,EUR,active,1,2026-05-01,2026-07-31,,
"""


def test_packs_and_least_quantities_are_read_where_they_are_stated(tmp_path: Path) -> None:
    rows = read(tmp_path, WITH_PACKS).rows
    assert (rows["ps-a"].pack_size, rows["ps-a"].least_quantity) == (4, 12)
    assert (rows["cord-gb"].pack_size, rows["cord-gb"].least_quantity) == (1, 1)
    without = read(tmp_path, PRICES).rows["ps-a"]
    assert (without.pack_size, without.least_quantity) == (1, 1)


@pytest.mark.parametrize(("old", "key"), [(",4,12", "pack_size"), ("4,12", "least_quantity")])
@pytest.mark.parametrize("value", ["0", "-4", "1.5", "100001", "9999999", "1e3", "four", "\u0664"])
def test_quantities_that_cannot_be_meant_are_refused(tmp_path: Path, old: str, key: str, value: str) -> None:
    new = f",{value},12" if key == "pack_size" else f"4,{value}"
    problem = only(lambda: read(tmp_path, changed(WITH_PACKS, old, new)))
    assert (problem.line, problem.key, problem.value) == (2, key, f'"{value}"')
    assert problem.text == f'"{value}" is no {key.replace("_", " ")}'
    assert problem.hint == "write a whole number from 1 to 100,000, or nothing for 1"


def test_the_largest_quantity_is_accepted(tmp_path: Path) -> None:
    assert read(tmp_path, changed(WITH_PACKS, ",4,12", ",100000,100000")).rows["ps-a"].pack_size == 100_000


def test_a_column_of_quantities_that_is_misspelt_is_told_with_a_near_one(tmp_path: Path) -> None:
    problem = only(lambda: read(tmp_path, changed(WITH_PACKS, "pack_size", "packsize")))
    assert problem.hint == 'did you mean "pack_size"?'
