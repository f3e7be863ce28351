"""Every contract runs for the months asked; where a day is asked, all contracts end on that day."""

from __future__ import annotations

import pytest

from configurator.build import Along
from configurator_rules.support.term import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask, make_catalog

# ordered on 1 March 2030
CATALOG = world(
    typed("T"),
    support=[
        contract("Y1"),
        contract("Y3", term_months=36),
        contract("MONTH", by_month=True, term_months=60),
        contract("PART", covers_parts=["SR"]),
    ],
)


@pytest.mark.parametrize("along", [has("Y1"), has("Y3"), has(MONTH=12)])
def test_the_months_asked(along: tuple[Along, ...]) -> None:
    """Just as many, more, month by month."""
    assert told(RULE, build(*units(along)), make_ask(support_months=12), CATALOG) == []


@pytest.mark.parametrize(
    ("along", "text"),
    [
        (has("Y1"), "Y1 runs 12 months, 24 are asked"),
        (has(MONTH=23), "MONTH for 23 months, it takes 24"),
        (has(MONTH=25), "MONTH for 25 months, it takes 24"),
    ],
)
def test_other_months(along: tuple[Along, ...], text: str) -> None:
    found = told(RULE, build(*units(has("Y3"), along)), make_ask(support_months=24), CATALOG)
    assert found == [f"unit 2: {text}"]


def test_all_end_on_the_day() -> None:
    """A year on 1 March 2031; the months to 15 June 2031 are 16, the last begun."""
    assert told(RULE, build(*units(has("Y1"), has(MONTH=12))), make_ask(support_until="2031-03-01"), CATALOG) == []
    assert told(RULE, build(*units(has(MONTH=16))), make_ask(support_until="2031-06-15"), CATALOG) == []


@pytest.mark.parametrize(
    ("along", "text"),
    [
        (has("Y1"), "Y1 ends on 2031-03-01 after 12 months, 2031-06-15 is asked"),
        (has("Y3"), "Y3 ends on 2033-03-01 after 36 months, 2031-06-15 is asked"),
        (has(MONTH=15), "MONTH for 15 months, it takes 16"),
    ],
)
def test_ending_on_another_day(along: tuple[Along, ...], text: str) -> None:
    """Sooner, later, a month short."""
    found = told(RULE, build(*units(along)), make_ask(support_until="2031-06-15"), CATALOG)
    assert found == [f"unit 1: {text}"]


def test_contracts_of_parts_run_as_long() -> None:
    one = build(*units(has("Y3")), along=has("PART"))
    assert told(RULE, one, make_ask(support_months=24), CATALOG) == ["PART runs 12 months, 24 are asked"]


def test_where_no_months_are_asked() -> None:
    """Any term will do, and one by the month runs as long as it is sold."""
    ask = make_ask(support_level="basic")
    assert told(RULE, build(*units(has("Y1"), has(MONTH=60))), ask, CATALOG) == []
    assert told(RULE, build(*units(has(MONTH=1))), ask, CATALOG) == ["unit 1: MONTH for 1 months, it takes 60"]


def test_a_catalog_without_contracts_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog())
