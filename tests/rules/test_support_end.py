"""No contract runs past the day on which support of the unit's type ends."""

from __future__ import annotations

import pytest

from configurator.build import Along
from configurator_rules.support.end import RULE
from tests.rules.service_world import contract, has, told, typed, units, world
from tests.rules.worlds import build, make_ask

# ordered on 1 March 2030
CATALOG = world(
    typed("T", support_ends="2033-02-28"),
    typed("U"),
    support=[
        contract("Y2", term_months=24),
        contract("Y3", term_months=36),
        contract("MONTH", by_month=True, term_months=60),
        contract("PART", covers_parts=["SR"], term_months=60),
    ],
)
ASK = make_ask(support_months=24)


@pytest.mark.parametrize("along", [has("Y2"), has(MONTH=35), has("Y2", "PART")])
def test_a_contract_that_ends_in_time(along: tuple[Along, ...]) -> None:
    """A parts contract is about the part."""
    assert told(RULE, build(*units(along)), ASK, CATALOG) == []


@pytest.mark.parametrize(
    ("along", "text"),
    [(has("Y3"), "Y3 runs until 2033-03-01"), (has(MONTH=37), "MONTH runs until 2033-04-01")],
)
def test_a_contract_that_outlasts_its_type(along: tuple[Along, ...], text: str) -> None:
    """One day too long is too long."""
    found = told(RULE, build(*units(has("Y2"), along)), ASK, CATALOG)
    assert found == [f"unit 2: {text}, support of T ends on 2033-02-28"]


def test_by_the_month_until_the_last_day() -> None:
    """36 months from 1 March 2030 would be a day too many; a contract by the month ends on the day asked."""
    assert told(RULE, build(*units(has(MONTH=36))), make_ask(support_until="2033-02-28"), CATALOG) == []
    found = told(RULE, build(*units(has(MONTH=37))), make_ask(support_until="2033-03-31"), CATALOG)
    assert found == ["unit 1: MONTH runs until 2033-03-31, support of T ends on 2033-02-28"]


def test_a_type_without_an_end() -> None:
    assert told(RULE, build(*units(has("Y3"), name="U")), ASK, CATALOG) == []


def test_types_without_an_end_are_free_of_the_rule() -> None:
    assert not RULE.applies(world(typed("U"), support=[contract("Y3")]))
