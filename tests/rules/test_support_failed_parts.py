"""Where failed parts stay with the customer, every contract says so."""

from __future__ import annotations

from configurator_rules.support.failed_parts import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

CATALOG = world(
    typed("T"),
    support=[
        contract("SWAP"),
        contract("KEEP", keeps_failed_parts=True),
        contract("PART", covers_parts=["SR"]),
    ],
)
KEPT = make_ask(support_months=12, failed_parts_kept=True)


def test_contracts_that_leave_failed_parts() -> None:
    assert told(RULE, build(*units(has("KEEP"), has("KEEP"))), KEPT, CATALOG) == []


def test_contracts_that_take_them_back() -> None:
    assert told(RULE, build(*units(has("SWAP"), has("KEEP"))), KEPT, CATALOG) == [
        "unit 1: SWAP takes failed parts back, they are to be kept"
    ]


def test_contracts_of_parts_leave_them_too() -> None:
    assert told(RULE, build(*units(has("KEEP")), along=has("PART")), KEPT, CATALOG) == [
        "PART takes failed parts back, they are to be kept"
    ]


def test_either_will_do_where_nothing_is_asked() -> None:
    one = build(*units(has("SWAP"), has("KEEP")))
    assert told(RULE, one, make_ask(support_months=12), CATALOG) == []
    assert told(RULE, one, make_ask(support_months=12, failed_parts_kept=False), CATALOG) == []


def test_a_catalog_without_contracts_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog())
