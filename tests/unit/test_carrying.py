"""What the units of a build still carry and how full they are, against figures worked out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from configurator import api, reading
from configurator.book import Book
from configurator.engine.model import StackModel
from configurator.engine.search import Search
from configurator.reasoning.carrying import carried
from configurator.reasoning.explaining import explain
from configurator.reasoning.explanation import StackExplanation
from configurator.setting import Ask
from configurator_rules import RULES
from tests.journeys.running import TINY
from tests.oracles.draft import Draft
from tests.unit.small_shop import shop, stack

ON = reading.load_prices(TINY / "prices.csv").issued


def still(draft: Draft, ask: Ask) -> dict[str, int]:
    """The largest count of each statement that the cheapest build's units carry."""
    search = Search(StackModel(Book(RULES, draft.catalog()), ask))
    status, counts, *_ = search.run()
    assert status == "optimal"
    assert counts is not None
    return {one.statement: one.most for one in carried(search.model, counts)}


def priced(draft: Draft) -> Draft:
    """Type T comes in a box."""
    draft.add("boxes", 100, id="T-A", unit="T")
    return draft


def test_ports_are_what_is_left() -> None:
    """3 desks on one unit of 4 ports; 1 uplink in one of 2 cages."""
    assert still(priced(shop(ports=4, cages=2)), stack(3, 1)) == {"devices[0]": 4, "uplinks[0]": 2}


def test_two_units_carry_what_both_have() -> None:
    """5 desks take two units of 4 ports, which carry 8."""
    assert still(priced(shop(ports=4)), stack(5)) == {"devices[0]": 8}


def test_growth_comes_on_top() -> None:
    """With 50 % of growth 5 desks take 8 ports of 8, and 6 would take 9."""
    assert still(priced(shop(ports=4)), stack(5, headroom_percent=50)) == {"devices[0]": 5}


@pytest.fixture(scope="module")
def tiny() -> dict[str, StackExplanation]:
    """Both stacks of the tiny demand; its file works the figures out."""
    catalog = api.load_catalog(TINY, on=ON)
    found = explain(api.load_demand(TINY / "demand.yaml", catalog, ON), catalog)
    return {one.stack.name: one for one in found.stacks}


def test_watts_bind_where_ports_do_not(tiny: dict[str, StackExplanation]) -> None:
    """8 + 2 devices: 30 + 8 x 30 = 270 of 300 W on one unit, 30 + 2 x 30 = 90 of 100 W on the other."""
    one = tiny["Powered"]
    (only,) = one.carries
    assert (only.asked, only.most, only.binds) == (10, 10, True)
    assert only.no_port  # a ninth device would take 300 of 300 W on the one unit, had it a port
    assert [rule.id for rule in only.rules] == ["power.supply_loss"]  # a third 120 of 100 W on the other
    lost = [f for f in one.fullness if "lost" in f.what]
    assert sorted((f.used, f.of, f.percent, f.full) for f in lost) == [
        (Decimal(90), Decimal(100), 90, False),
        (Decimal(270), Decimal(300), 90, False),
    ]
    ports = sorted((f.used, f.of, f.percent) for f in one.fullness if f.what == "ports c")
    assert ports == [(Decimal(2), Decimal(8), 25), (Decimal(8), Decimal(8), 100)]


def test_ports_bind_where_watts_do_not(tiny: dict[str, StackExplanation]) -> None:
    """Two units of 8 ports, each of which draws 21 of 100 W."""
    desks = next(one for one in tiny["Plain"].carries if one.statement.key == "ports[0]")
    assert (desks.asked, desks.most, desks.binds, desks.no_port, desks.rules) == (12, 16, False, True, ())
    assert desks.text == (
        "12 asked, and these units carry up to 16, 4 more. What stops the next: no port is left for it."
    )


def test_a_line_is_required_or_has_a_next_best(tiny: dict[str, StackExplanation]) -> None:
    """Without the 300 W box part by part: 500 + 2 x 150 = 800 for 780, so 20.00 more; without optics no uplinks."""
    lines = {one.line.part: one for one in tiny["Powered"].lines}
    full = lines["pond.8p4.full"]
    assert (full.need, full.difference_minor, full.without_minor) == ("cheapest", 20_00, 1460_00)
    assert "20.00 EUR more: 1 460.00 EUR" in full.text
    optic = {one.line.part: one for one in tiny["Plain"].lines}["pond.optic.10g-sr"]
    assert (optic.need, optic.without_minor) == ("required", None)


def test_what_a_statement_costs(tiny: dict[str, StackExplanation]) -> None:
    """Without desks one unit, a supply and two optics: 300 + 60 + 160 = 520, so desks cost 400; uplinks two optics."""
    costs = {one.statement.key: one for one in tiny["Plain"].statements}
    assert costs["ports[0]"].difference_minor == -400_00
    assert costs["ports[0]"].text == "It costs 400.00 EUR: without it the cheapest build costs 520.00 EUR."
    assert costs["uplinks[0]"].difference_minor == -160_00
    assert "160.00 EUR" in costs["uplinks[0]"].text


def test_a_chain_saves_a_cable(tiny: dict[str, StackExplanation]) -> None:
    """A ring of two takes two cables of 20.00, a chain one."""
    chain = next(one for one in tiny["Plain"].assumptions if one.tried == "topology: chain")
    assert chain.difference_minor == -20_00
    assert "20.00 EUR less: 900.00 EUR" in chain.text


def test_what_units_are_there_for(tiny: dict[str, StackExplanation]) -> None:
    """One unit would do for the uplinks alone."""
    (only,) = tiny["Plain"].drives
    assert (only.unit_type, only.count) == ("pond.8t", 2)
    assert [given.key for given in only.statements] == ["ports[0]"]
    assert "(1 without it)" in only.text
