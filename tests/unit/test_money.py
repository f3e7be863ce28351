from __future__ import annotations

import pytest

from configurator.money import grouped, plain, with_code


@pytest.mark.parametrize(
    ("minor", "decimals", "text"),
    [
        (0, 2, "0.00"),
        (7, 2, "0.07"),
        (1234567, 2, "12345.67"),
        (-7, 2, "-0.07"),
        (1234567, 0, "1234567"),  # JPY
        (1234567, 3, "1234.567"),  # KWD
        (5, 3, "0.005"),
    ],
)
def test_files_get_dot_decimals_and_no_thousands_mark(minor: int, decimals: int, text: str) -> None:
    assert plain(minor, decimals) == text


@pytest.mark.parametrize(
    ("minor", "decimals", "text"),
    [
        (99999, 2, "999.99"),
        (100000, 2, "1 000.00"),
        (123456789012, 2, "1 234 567 890.12"),
        (-100000, 2, "-1 000.00"),
        (1000, 0, "1 000"),
    ],
)
def test_people_get_thousands_apart(minor: int, decimals: int, text: str) -> None:
    assert grouped(minor, decimals) == text


def test_an_amount_names_its_currency() -> None:
    assert with_code(317500, 2, "EUR") == "3 175.00 EUR"
