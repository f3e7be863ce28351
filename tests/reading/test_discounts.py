"""Discounts from a file: what is read, what holds when, and every fault with its place and a way out."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from configurator import load_catalog
from configurator.discounts import Discount, Discounts, net_minor
from configurator.errors import Problem
from configurator.groups import CATEGORIES
from configurator.reading import load_discounts, load_prices
from configurator.reading.discounts import COLUMNS, MOST_THRESHOLDS, OPTIONAL
from configurator.reading.prices import LONGEST_PART, PRICES_LIMIT
from configurator.reading.rows import MOST_PROBLEMS
from tests.reading.small import ON, PRICES, catalog_of, changed, only, refused, written

TEXT = """\
part,category,percent,from,until,order_from
ps-a,,12.5,,,
,units,3,2026-05-15,2026-06-30,
,,0.01,,,50000.5
"""
HEADER = ",".join((*COLUMNS, *OPTIONAL))


def read(tmp_path: Path, text: str | bytes, on: date = ON, prices: str = PRICES) -> Discounts:
    listed = load_prices(written(tmp_path, "p.csv", prices))
    return load_discounts(written(tmp_path, "d.csv", text), listed, on)


def refusal(tmp_path: Path, old: str, new: str) -> Problem:
    """Of the small file with one place changed."""
    return only(lambda: read(tmp_path, changed(TEXT, old, new)))


def test_a_good_file_is_read_into_hundredths_of_a_percent_and_minor_units(tmp_path: Path) -> None:
    assert read(tmp_path, TEXT).rows == (
        Discount(2, 1250, part="ps-a"),
        Discount(3, 300, category="units", first_day=date(2026, 5, 15), last_day=date(2026, 6, 30)),
        Discount(4, 1, order_from_minor=5000050),
    )


def test_optional_columns_may_be_missing_and_all_may_stand_in_any_order(tmp_path: Path) -> None:
    assert read(tmp_path, "\ufeffpercent,category,part\r\n\r\n100,,\r\n").rows == (Discount(3, 10000),)


@pytest.mark.parametrize(
    ("day", "holds"),
    [("2026-05-14", False), ("2026-05-15", True), ("2026-06-30", True), ("2026-07-01", False)],
)
def test_the_first_and_the_last_day_are_among_its_days(tmp_path: Path, day: str, holds: bool) -> None:
    read_ = read(tmp_path, TEXT, date.fromisoformat(day))
    assert (read_.rows[1] in read_.in_force) is holds


def test_an_open_end_holds_for_good_and_an_open_beginning_since_ever(tmp_path: Path) -> None:
    rows = read(tmp_path, f"{HEADER}\n,,1,2026-05-15,,\n,,2,,2026-05-15,\n").rows
    assert [row.holds_on(date(1999, 1, 1)) for row in rows] == [False, True]
    assert [row.holds_on(date(2099, 1, 1)) for row in rows] == [True, False]


@pytest.mark.parametrize(
    ("percent", "hundredths"), [("100", 10000), ("0.01", 1), ("12.5", 1250), ("012.50", 1250), ("99.99", 9999)]
)
def test_percents_of_two_decimals(tmp_path: Path, percent: str, hundredths: int) -> None:
    assert read(tmp_path, f"{HEADER}\n,,{percent},,,\n").rows[0].hundredths == hundredths


@pytest.mark.parametrize("currency", ["JPY", "BHD"])
def test_values_of_orders_have_the_decimals_of_the_list(tmp_path: Path, currency: str) -> None:
    prices = PRICES.replace("EUR", currency).replace("1000.50", "1000").replace("5.5,", "5,")
    rows = read(tmp_path, f"{HEADER}\n,,1,,,7\n", prices=prices).rows
    assert rows[0].order_from_minor == {"JPY": 7, "BHD": 7000}[currency]


def test_a_problem_is_told_with_file_line_column_key_value_and_hint(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "ps-a,,12.5", "ps-a,,12.5 %")
    assert (Path(problem.file).name, problem.line, problem.column) == ("d.csv", 2, 7)
    assert (problem.key, problem.value) == ("percent", '"12.5 %"')
    assert '"12.5 %" is no percent' in problem.text
    assert "12.5" in problem.hint
    assert f"{problem.file}:2:7: percent: " in str(problem)


FAULTS = {  # old, new; line, key, in the text, in the hint
    "no percent": (",,12.5", ",,", 2, "percent", "the percent is missing", "above 0 and up to 100"),
    "nothing off": (",,12.5", ",,0", 2, "percent", 'percent out of range: "0"', "above 0 and up to 100"),
    "more than all": (",,12.5", ",,100.01", 2, "percent", 'out of range: "100.01"', "up to 100"),
    "a long number": (",,12.5", f",,{'9' * 30}", 2, "percent", "out of range", "up to 100"),
    "dearer": (",,12.5", ",,-5", 2, "percent", 'out of range: "-5"', "without a sign"),
    "three decimals": (",,12.5", ",,12.125", 2, "percent", "more than two decimals", "two decimals"),
    "other digits": (",,12.5", ",,\u0661", 2, "percent", "is no percent", "12.5"),
    "part and category": ("ps-a,,", "ps-a,units,", 2, "category", "on one part or on one category", "both empty"),
    "no such category": (",units,3", ",unit,3", 3, "category", '"unit" is not a category', 'did you mean "units"?'),
    "an odd category": (",units,3", ",xyzzy,3", 3, "category", '"xyzzy" is not a category', "licences"),
    "others": (",units,3", ",others,3", 3, "category", '"others" is not a category', "write one of"),
    "a long part": ("ps-a,,", "p" * (LONGEST_PART + 1) + ",,", 2, "part", "is too long", f"{LONGEST_PART} characters"),
    "no date": ("2026-05-15", "15/05/2026", 3, "from", "is not a date", "year-month-day"),
    "no day": ("2026-06-30", "2026-06-31", 3, "until", "is not a day of any calendar", "a day that exists"),
    "no days": ("2026-06-30", "2026-05-14", 3, "until", "is before 2026-05-15", "correct one of the two"),
    "no amount": ("50000.5", "50k", 4, "order_from", '"50k" is not an amount of money', "1234.50"),
    "less than nothing": ("50000.5", "-1", 4, "order_from", "is negative", "order_from out of range"),
    "decimals": ("50000.5", "50000.505", 4, "order_from", "has 3 decimals", "EUR has 2 decimals by ISO 4217"),
    "every order": ("50000.5", "0.00", 4, "order_from", "is reached by every order", "leave it empty"),
    "too much": ("50000.5", "1000000001", 4, "order_from", "order_from out of range", "1,000,000,000"),
    "blanks": ("ps-a,,", "ps-a ,,", 2, "part", "has blanks around it", 'write "ps-a"'),
    "too few values": (",units,3,2026-05-15,2026-06-30,", ",units,3", 3, "row", "3 values in 6 columns", "one value a"),
    "a column": (
        "order_from",
        "orders_from",
        1,
        "header",
        "is not a column of discounts",
        'did you mean "order_from"?',
    ),
    "a column twice": ("from,until", "from,from", 1, "header", 'column "from" is there twice', "keep one"),
    "no column": ("part,category,percent,", "part,from,percent,", 1, "header", "is there twice", "keep one"),
    "not commas": (TEXT, TEXT.replace(",", ";"), 1, "", "not separated by commas", "CSV with commas"),
    "a quote": ("ps-a,,", '"ps-a,,', 2, "", "broken CSV", "written twice"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_is_told_where_it_is_and_with_a_way_out(tmp_path: Path, fault: str) -> None:
    old, new, line, key, text, hint = FAULTS[fault]
    problem = refusal(tmp_path, old, new)
    assert (problem.line, problem.key) == (line, key)
    assert text in problem.text
    assert hint in problem.hint


def test_a_header_that_lacks_a_column_is_told(tmp_path: Path) -> None:
    problem = only(lambda: read(tmp_path, "part,percent\nps-a,5\n"))
    assert problem.text == "the header lacks category"


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    problems = refused(lambda: read(tmp_path, f"{HEADER}\na,units,0,x,y,z\n"))
    assert [problem.key for problem in problems] == ["category", "percent", "from", "until", "order_from"]


@pytest.mark.parametrize(
    ("data", "text"),
    [
        ("", "the file is empty"),
        (f"{HEADER}\n", "the file has no discounts"),
        (b"PK\x03\x04", "a spreadsheet or an archive"),
        (b"part,category,percent\n\xff,,1\n", "is not UTF-8"),
        (b"x" * (PRICES_LIMIT + 1), "larger than"),
    ],
)
def test_files_that_are_none_are_refused(tmp_path: Path, data: str | bytes, text: str) -> None:
    problem = only(lambda: read(tmp_path, data))
    assert text in problem.text + problem.hint


def test_a_file_of_another_kind_is_not_told_line_by_line(tmp_path: Path) -> None:
    assert len(refused(lambda: read(tmp_path, f"{HEADER}\n" + ",,x,,,\n" * 5000))) == MOST_PROBLEMS


def test_there_are_no_more_thresholds_than_can_be_compared(tmp_path: Path) -> None:
    rows = [f",,1,,,{value}" for value in range(1, MOST_THRESHOLDS + 2)]
    assert len(read(tmp_path, "\n".join([HEADER, *rows[:-1], rows[0]])).thresholds_minor) == MOST_THRESHOLDS
    problem = only(lambda: read(tmp_path, "\n".join([HEADER, *rows])))
    assert (problem.line, problem.key) == (MOST_THRESHOLDS + 2, "order_from")


# --- what one costs -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("listed", "hundredths", "net"),
    [
        (100, 1000, 90),
        (5, 1000, 5),  # 4.5, half up
        (15, 1000, 14),  # 13.5, half up
        (25, 1000, 23),  # 22.5, half up: not to the even 22
        (104, 1250, 91),  # exactly 91
        (101, 1250, 88),  # 88.375
        (1, 4999, 1),  # 0.5001
        (1, 5000, 1),  # 0.5, half up
        (1, 5001, 0),  # 0.4999
        (999, 10000, 0),
        (10**11, 1, 99990000000),
    ],
)
def test_the_net_price_is_rounded_half_up(listed: int, hundredths: int, net: int) -> None:
    assert net_minor(listed, Discount(2, hundredths)) == net


def test_a_catalog_knows_list_and_net_and_which_row_counts(tmp_path: Path) -> None:
    """Of 10 % on the part, 20 % on its category and 15 % on everything the 20 % count, and nothing else."""
    folder = tmp_path / "parts"
    catalog_of(tmp_path)
    rows = ["ps-a,,10,,,", ",supplies,20,,,", ",,15,,,", "opt-sr,,15,,,", "cord-gb,,99,2026-06-02,,"]
    file = written(tmp_path, "d.csv", "\n".join([HEADER, *rows]))
    catalog = load_catalog(folder, tmp_path / "prices.csv", ON, discounts=file)
    told = {
        part: (
            catalog.list_minor(part),
            catalog.price_minor(part),
            off.line if (off := catalog.discount_on(part)) else 0,
        )
        for part in ("ps-a", "00123", "opt-sr", "cord-gb")
    }
    assert told == {
        "ps-a": (20000, 16000, 3),
        "00123": (100050, 85043, 4),  # 85042.5
        "opt-sr": (8000, 6800, 4),  # of equals the first
        "cord-gb": (550, 468, 4),  # 467.5; the 99 % hold from tomorrow
    }


def test_every_category_is_a_group_of_the_bill(tmp_path: Path) -> None:
    assert read(tmp_path, "\n".join([HEADER, *(f",{name},1,,," for name in CATEGORIES)])).rows
    assert len(CATEGORIES) == 11
