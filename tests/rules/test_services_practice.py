"""Licences and support as the trade has them, solved on catalogs that state them.  Source: common practice."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from configurator.build import Build
from configurator.catalog import Catalog, PriceRow
from configurator.conflicts.conflict import refusal
from configurator.engine.search import solve_stack
from configurator.setting import Ask, Statement
from configurator.verify import verify
from configurator_rules import RULES
from tests.rules.service_world import contract, feature, licence
from tests.rules.worlds import cage, copper_optic, group, make_ask, make_catalog, optic, part, unit_type

REAR = group("rear", 2, connector="RS", speeds_mbps=[40_000], roles=["stack"])


def catalog(
    prices: dict[str, int], types: tuple[dict[str, Any], ...] = (), family: dict[str, Any] | None = None, **parts: Any
) -> Catalog:
    """A line-up that stacks through the rear; every part that no price is told for costs 10.00."""
    made = make_catalog(
        families=[{"id": "F", "largest_stack": 8, "two_unit_links": [1, 2], **(family or {})}],
        unit_types=[unit_type(group("access", 4), REAR, built_in_supply="IN"), *types],
        supplies=[part("IN", outputs=[{"from_v": 1, "to_v": 1000, "output_w": 500}])],
        cables=[part("RS-1", kind="stacking", length_m=1, near="RS", far="RS", speeds_mbps=[40_000])],
        **{"boxes": [part("BOX", unit="T")], **parts},
    )
    for number in list(made.prices.rows):
        minor = 100 * prices.get(number, 10)
        made.prices.rows[number] = PriceRow(part=number, price_minor=minor, status="active", lead_time_days=1)
    return made


def second(*ports: dict[str, Any], name: str = "U", **said: Any) -> dict[str, Any]:
    """Another unit type of the family."""
    return unit_type(*ports, REAR, **{"id": name, "built_in_supply": "IN", **said})


def solved(ask: Ask, made: Catalog) -> Build:
    """The cheapest build, which no check rejects."""
    answer = solve_stack(ask, made, RULES)
    assert answer.status == "cheapest"
    assert answer.build is not None
    assert verify(answer.build, ask, made, RULES) == ()
    return answer.build


def ordered(build: Build) -> Counter[str]:
    """What is to be ordered, without stacking cables."""
    lines = [line for unit in build.units for line in unit.bought] + list(build.bought)
    return sum((Counter({line.part: line.count}) for line in lines if line.part != "RS-1"), Counter())


ROUTING: dict[str, Any] = {"features": [feature("routing"), feature("sensing")]}


@pytest.mark.parametrize("units", [1, 2, 5])
def test_a_routing_licence_is_on_all_units_of_a_stack_or_on_none(units: int) -> None:
    made = catalog({"BOX": 1000, "L": 100}, licences=[licence("L", "routing")], **ROUTING)
    ports = [{"count": 4 * units}]
    assert ordered(solved(make_ask(ports=ports, features=["routing"]), made)) == {"BOX": units, "L": units}
    assert ordered(solved(make_ask(ports=ports), made)) == {"BOX": units}


@pytest.mark.parametrize(("units", "bought"), [(2, {"L": 2}), (3, {"ALL": 1})])
def test_a_licence_for_the_stack_where_it_costs_less(units: int, bought: dict[str, int]) -> None:
    """250 against 100 a unit."""
    licences = [licence("L", "routing"), licence("ALL", "routing", scope="stack")]
    made = catalog({"BOX": 1000, "L": 100, "ALL": 250}, licences=licences, **ROUTING)
    found = solved(make_ask(ports=[{"count": 4 * units}], features=["routing"]), made)
    assert ordered(found) == {"BOX": units, **bought}


def test_a_licence_with_two_features_is_bought_once() -> None:
    """120 for both against 100 each, a unit and a stack."""
    for scope in ("unit", "stack"):
        licences = [
            licence("R", "routing", scope=scope),
            licence("S", "sensing", scope=scope),
            licence("RS", "routing", "sensing", scope=scope),
        ]
        made = catalog({"BOX": 1000, "R": 100, "S": 100, "RS": 120}, licences=licences, **ROUTING)
        both = make_ask(ports=[{"count": 4}], features=["routing", "sensing"])
        assert ordered(solved(both, made)) == {"BOX": 1, "RS": 1}
        of_port = make_ask(ports=[{"count": 2, "features": ["sensing"]}], features=["routing"])
        assert ordered(solved(of_port, made)) == {"BOX": 1, "RS": 1}


def test_a_subscription_with_the_feature_is_bought_once() -> None:
    """30 + 100 against 110."""
    types = (second(group("access", 8), subscriptions=["BASE", "MORE"]),)
    licences = [licence("L", "routing"), licence("BASE", term_months=36), licence("MORE", "routing", term_months=36)]
    boxes = [part("BOX", unit="T"), part("U-BOX", unit="U")]
    prices = {"BOX": 1000, "U-BOX": 500, "L": 100, "BASE": 30, "MORE": 110}
    made = catalog(prices, types, boxes=boxes, licences=licences, **ROUTING)
    assert ordered(solved(make_ask(ports=[{"count": 8}]), made)) == {"U-BOX": 1, "BASE": 1}
    routed = make_ask(ports=[{"count": 8}], features=["routing"])
    assert ordered(solved(routed, made)) == {"U-BOX": 1, "MORE": 1}


@pytest.mark.parametrize(("count", "bought"), [(2, {"P": 2}), (3, {"L": 1}), (5, {"L": 2}), (9, {"ALL": 1})])
def test_ports_by_one_a_unit_each_or_all_at_once(count: int, bought: dict[str, int]) -> None:
    """40 a port, 100 a unit of four ports, 250 a stack."""
    licences = [
        licence("P", "sensing", scope="port"),
        licence("L", "sensing"),
        licence("ALL", "sensing", scope="stack"),
    ]
    made = catalog({"BOX": 1000, "P": 40, "L": 100, "ALL": 250}, licences=licences, **ROUTING)
    found = solved(make_ask(ports=[{"count": count, "features": ["sensing"]}]), made)
    assert ordered(found) == {"BOX": -(-count // 4), **bought}


def test_a_port_licence_with_two_features_is_bought_once_a_port() -> None:
    """50 a port against 30 + 30; alone 30."""
    licences = [licence(name, *has, scope="port") for name, has in (("R", ["routing"]), ("S", ["sensing"]))]
    licences.append(licence("RS", "routing", "sensing", scope="port"))
    made = catalog({"BOX": 1000, "R": 30, "S": 30, "RS": 50}, licences=licences, **ROUTING)
    ports = [{"count": 2, "features": ["routing", "sensing"]}, {"count": 1, "features": ["sensing"]}]
    assert ordered(solved(make_ask(ports=ports), made)) == {"BOX": 1, "RS": 2, "S": 1}


def test_port_licences_for_some_types_serve_stacks_of_these() -> None:
    """The cheaper licence is for U, which costs more than it saves at one port, less at three."""
    licences = [
        licence("P", "sensing", scope="port"),
        licence("P-U", "sensing", scope="port", unit_types=["U"]),
    ]
    boxes = [part("BOX", unit="T"), part("U-BOX", unit="U")]
    prices = {"BOX": 1000, "U-BOX": 1050, "P": 40, "P-U": 20}
    made = catalog(prices, (second(group("access", 4)),), boxes=boxes, licences=licences, **ROUTING)
    one, three = (make_ask(ports=[{"count": n, "features": ["sensing"]}]) for n in (1, 3))
    assert ordered(solved(one, made)) == {"BOX": 1, "P": 1}
    assert ordered(solved(three, made)) == {"U-BOX": 1, "P-U": 3}


def test_a_box_that_holds_the_licence_and_the_contract_needs_neither() -> None:
    boxes = [
        part("BOX", unit="T"),
        part("ALL-IN", unit="T", contents=[{"part": "L"}, {"part": "Y3"}]),
    ]
    services: dict[str, Any] = {"licences": [licence("L", "routing")], "support": [contract("Y3", term_months=36)]}
    made = catalog({"BOX": 1000, "ALL-IN": 1250, "L": 200, "Y3": 100}, boxes=boxes, **services, **ROUTING)
    ask = make_ask(ports=[{"count": 8}], features=["routing"], support_months=36)
    assert ordered(solved(ask, made)) == {"ALL-IN": 2}
    assert ordered(solved(make_ask(ports=[{"count": 8}], features=["routing"]), made)) == {"BOX": 2, "L": 2}


def test_a_contract_in_the_box_that_is_too_short_does_not_count() -> None:
    boxes = [part("BOX", unit="T", contents=[{"part": "Y1"}])]
    made = catalog({"BOX": 1000}, boxes=boxes, support=[contract("Y1"), contract("Y3", term_months=36)])
    assert ordered(solved(make_ask(ports=[{"count": 4}], support_months=12), made)) == {"BOX": 1}
    assert ordered(solved(make_ask(ports=[{"count": 4}], support_months=24), made)) == {"BOX": 1, "Y3": 1}


@pytest.mark.parametrize(
    ("optics", "bought"), [(2, {"BASIC": 1, "SR-CARE": 2}), (4, {"FULL": 1})], ids=["two optics", "four optics"]
)
def test_basic_warranty_leaves_optics_out_and_a_parts_contract_covers_them(optics: int, bought: dict[str, int]) -> None:
    """10 an optic on top of 50, against 80 with optics."""
    made = catalog(
        {"U-BOX": 1000, "SR": 20, "BASIC": 50, "FULL": 80, "SR-CARE": 10},
        (second(cage("up", 4)),),
        boxes=[part("U-BOX", unit="U")],
        optics=[optic("SR")],
        optics_matrix=[{"cage": "C-SFP+", "takes": ["SR"]}],
        support=[
            contract("BASIC"),
            contract("FULL", covers_optics=True),
            contract("SR-CARE", covers_parts=["SR"]),
        ],
    )
    links = [{"count": optics, "speed_mbps": 10_000, "over": "fibre", "fibre": "OM4"}]
    asked = make_ask(uplinks=links, support_months=12, optics_covered=True)
    assert ordered(solved(asked, made)) == {"U-BOX": 1, "SR": optics, **bought}
    left_out = make_ask(uplinks=links, support_months=12)
    assert ordered(solved(left_out, made)) == {"U-BOX": 1, "SR": optics, "BASIC": 1}


def test_optics_between_units_are_covered_too() -> None:
    """Two units in two racks: a link of two optics over fibre that lies there, 10 each."""
    fast = cage("fast", 2, roles=["stack"])
    made = catalog(
        {"U-BOX": 1000, "SR": 20, "BASIC": 50, "SR-CARE": 10},
        (unit_type(group("access", 4), fast, id="U", built_in_supply="IN"),),
        boxes=[part("U-BOX", unit="U")],
        optics=[optic("SR"), copper_optic("T")],
        optics_matrix=[{"cage": "C-SFP+", "takes": ["SR"]}],
        support=[contract("BASIC"), contract("SR-CARE", covers_parts=["SR"])],
    )
    ask = make_ask(
        ports=[{"count": 8}],
        topology="chain",
        between_units_m=["20"],
        stack_fibre="OM4",
        support_months=12,
        optics_covered=True,
    )
    assert ordered(solved(ask, made)) == {"U-BOX": 2, "SR": 2, "BASIC": 2, "SR-CARE": 2}


def test_units_of_a_stack_share_level_and_term() -> None:
    """A year is to be had for T alone; with a U beside it, T's is of three years too."""
    made = catalog(
        {"BOX": 1000, "U-BOX": 1000, "Y1": 50, "Y3": 120},
        (second(group("fast", 4, speeds_mbps=[10_000])),),
        {"support_alike": True},
        boxes=[part("BOX", unit="T"), part("U-BOX", unit="U")],
        support=[contract("Y1", unit_types=["T"]), contract("Y3", term_months=36)],
    )
    alone = make_ask(ports=[{"count": 4}], support_months=12)
    assert ordered(solved(alone, made)) == {"BOX": 1, "Y1": 1}
    both = make_ask(ports=[{"count": 4}, {"count": 4, "speed_mbps": 10_000}], support_months=12)
    assert ordered(solved(both, made)) == {"BOX": 1, "U-BOX": 1, "Y3": 2}


def test_contracts_by_the_month_end_on_one_day() -> None:
    """From 1 March 2030 to 15 June 2031 are 16 months begun; what a box holds of them counts."""
    boxes = [part("BOX", unit="T"), part("WITH-12", unit="T", contents=[{"part": "MONTH", "count": 12}])]
    support = [contract("Y2", term_months=24), contract("MONTH", by_month=True, term_months=60)]
    until = make_ask(ports=[{"count": 4}], support_until=date(2031, 6, 15))
    made = catalog({"BOX": 1000, "WITH-12": 1200, "Y2": 50, "MONTH": 5}, boxes=boxes, support=support)
    assert ordered(solved(until, made)) == {"BOX": 1, "MONTH": 16}
    made = catalog({"BOX": 1000, "WITH-12": 1050, "Y2": 50, "MONTH": 5}, boxes=boxes, support=support)
    assert ordered(solved(until, made)) == {"WITH-12": 1, "MONTH": 4}


def test_one_release_common_to_a_stack_is_the_newest_that_all_run() -> None:
    made = catalog(
        {"BOX": 1000, "U-BOX": 1000},
        (second(group("fast", 4, speeds_mbps=[10_000]), releases=["7.1", "7.2", "8.1"]),),
        boxes=[part("BOX", unit="T"), part("U-BOX", unit="U")],
    )
    alone = solved(make_ask(ports=[{"count": 4, "speed_mbps": 10_000}]), made)
    assert [(one.topic, one.choice) for one in alone.agreed] == [("release", "8.1")]
    asked = solved(make_ask(ports=[{"count": 4, "speed_mbps": 10_000}], release="7.1"), made)
    assert [(one.topic, one.choice) for one in asked.agreed] == [("release", "7.1")]
    answer = solve_stack(make_ask(ports=[{"count": 4, "speed_mbps": 10_000}], release="9.9"), made, RULES)
    assert answer.status == "cannot be met"


def conflict(ask: Ask, made: Catalog) -> tuple[set[str], set[str]]:
    """Statements that can't hold together, and the rules that say so."""
    said = {key for key in ("ports[0]", "ports[1]", "support_months", "support_level") if _is_said(ask, key)}
    ask = replace(ask, statements={key: Statement(key, key) for key in said})
    (found,) = refusal(ask, made, RULES).conflicts
    assert found.smallest
    return set(found.statements), set(found.rules)


def _is_said(ask: Ask, key: str) -> bool:
    name, _, place = key.partition("[")
    value = getattr(ask.stack, name)
    return len(value) > int(place[:-1]) if place else value is not None


def test_what_no_type_can_do_is_blamed_on_the_ports_that_ask_for_it() -> None:
    """And not on those beside them."""
    able: dict[str, Any] = {"features": [feature("sensing", unit_types=["X"], licensed=False)]}
    ask = make_ask(ports=[{"count": 1}, {"count": 1, "features": ["sensing"]}])
    assert conflict(ask, catalog({}, **able)) == ({"ports[1]"}, {"licences.capable"})


@pytest.mark.parametrize("alike", [True, False])
def test_a_term_that_is_not_sold_is_the_terms_fault(alike: bool) -> None:
    """Also where all units are to share theirs."""
    made = catalog({}, family={"support_alike": alike}, support=[contract("Y1"), contract("Y3", term_months=36)])
    ask = make_ask(ports=[{"count": 8}], support_months=60)
    assert conflict(ask, made) == ({"ports[0]", "support_months"}, {"support.term", "support.contract"})
