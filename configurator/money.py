"""Money for people: integers of a currency's minor unit written out, nothing computed."""

from __future__ import annotations

SPACE = " "


def plain(minor: int, decimals: int) -> str:
    """`1234567` with two decimals is `12345.67`: dot decimals and no thousands mark, for files."""
    sign, digits = "-" if minor < 0 else "", str(abs(minor)).rjust(decimals + 1, "0")
    return sign + (f"{digits[:-decimals]}.{digits[-decimals:]}" if decimals else digits)


def grouped(minor: int, decimals: int) -> str:
    """`1234567` with two decimals is `12 345.67`: thousands apart by a space, for people."""
    whole, dot, fraction = plain(abs(minor), decimals).partition(".")
    return ("-" if minor < 0 else "") + f"{int(whole):,}".replace(",", SPACE) + dot + fraction


def with_code(minor: int, decimals: int, currency: str) -> str:
    """An amount with its ISO 4217 code: `12 345.67 EUR`."""
    return f"{grouped(minor, decimals)}{SPACE}{currency}"
