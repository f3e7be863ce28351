"""Prices are in the currency asked."""

from __future__ import annotations

from configurator_rules.ordering.currency import RULE
from tests.rules.worlds import breaches, build, make_ask, make_catalog

EUROS, YEN = make_catalog(), make_catalog(prices={"currency": "JPY", "decimals": 0})


def test_the_currency_asked_or_any() -> None:
    assert breaches(RULE, build(), make_ask(currency="EUR"), EUROS) == []
    assert breaches(RULE, build(), make_ask(), YEN) == []


def test_euros_for_dollars() -> None:
    assert breaches(RULE, build(), make_ask(currency="USD"), EUROS) == ["the price list is in EUR, USD is asked"]


def test_yen_for_euros() -> None:
    assert breaches(RULE, build(), make_ask(currency="EUR"), YEN) == ["the price list is in JPY, EUR is asked"]
