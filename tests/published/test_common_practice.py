"""Facts of the trade on a catalog that states them.  Source: common practice."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from configurator.build import Build
from configurator.catalog import Catalog, PriceRow
from configurator.engine.search import solve_stack
from configurator.setting import Ask
from configurator.verify import verify
from configurator_rules import RULES
from tests.rules.worlds import cage, group, make_ask, make_catalog, part, twinax, unit_type

OUTPUT = [{"from_v": 100, "to_v": 240, "output_w": 200}]
REAR = group("rear", 2, connector="RS", speeds_mbps=[40_000], roles=["stack"])
BAYS = {"count": 2, "takes": ["PS-FB", "PS-BF"]}
FANS = {"takes": ["FAN-FB", "FAN-BF"], "by_supplies": [1, 2]}
PRICES = {"BOX": 1000, "ONE": 1210, "PS-FB": 150, "PS-BF": 150, "FAN-FB": 40, "FAN-BF": 40, "CORD": 8, "RS-1": 30}


def catalog(*ports: dict[str, Any], prices: dict[str, int] | None = None, **parts: Any) -> Catalog:
    """A line-up whose unit takes two supplies, a fan tray for each, and stacks through the rear."""
    made = make_catalog(
        families=[{"id": "F", "largest_stack": 8, "two_unit_links": [1, 2]}],
        unit_types=[unit_type(group("access", 8), *ports, REAR, supply_bays=BAYS, fan_bays=FANS)],
        boxes=[
            part("BOX", unit="T"),
            part("ONE", unit="T", contents=[{"part": "PS-FB"}, {"part": "FAN-FB"}, {"part": "CORD"}]),
        ],
        supplies=[
            part("PS-FB", outputs=OUTPUT, inlet="C14", airflow="front-to-back"),
            part("PS-BF", outputs=OUTPUT, inlet="C14", airflow="back-to-front"),
        ],
        fan_trays=[part("FAN-FB", airflow="front-to-back"), part("FAN-BF", airflow="back-to-front")],
        cords=[part("CORD", countries=["DE"], coupler="C13", plug="CEE 7/7", rating_a=10, length_m=2)],
        couplers=[{"connector": "C13", "inlets": ["C14"], "rating_a": 10}],
        **{
            **parts,
            "cables": [
                part("RS-1", kind="stacking", length_m=1, near="RS", far="RS", speeds_mbps=[40_000]),
                *parts.get("cables", []),
            ],
        },
    )
    for number, euros in (PRICES | (prices or {})).items():
        row = PriceRow(part=number, price_minor=100 * euros, status="active", lead_time_days=1)
        made.prices.rows[number] = row
    return made


def solved(ask: Ask, made: Catalog) -> Build:
    """The cheapest build, which no check rejects."""
    answer = solve_stack(ask, made, RULES)
    assert answer.status == "cheapest"
    assert answer.build is not None
    assert verify(answer.build, ask, made, RULES) == ()
    return answer.build


def ordered(build: Build) -> Counter[str]:
    """What is to be ordered."""
    lines = [line for unit in build.units for line in unit.bought] + list(build.bought)
    return sum((Counter({line.part: line.count}) for line in lines), Counter())


@pytest.mark.parametrize("units", [3, 4, 5, 8])
def test_a_ring_of_three_or_more_takes_as_many_cables_as_units(units: int) -> None:
    ask = make_ask(country="DE", topology="ring", ports=[{"count": 8 * units}])
    build = solved(ask, catalog())
    assert len(build.units) == len(build.links) == ordered(build)["RS-1"] == units


def test_a_second_supply_brings_a_second_tray_and_its_own_cord() -> None:
    ask = make_ask(country="DE", airflow="front-to-back", on_supply_loss="carries_all", ports=[{"count": 8}])
    without_bundle = catalog(prices={"ONE": 5000})
    assert ordered(solved(ask, without_bundle)) == {"BOX": 1, "PS-FB": 2, "FAN-FB": 2, "CORD": 2}


def test_a_box_with_a_supply_and_cord_needs_neither() -> None:
    one = make_ask(country="DE", airflow="front-to-back", ports=[{"count": 8}])
    dear_parts = catalog(prices={"PS-FB": 300})  # 1210 against 1000 + 300 + 40 + 8
    assert ordered(solved(one, dear_parts)) == {"ONE": 1}
    two = make_ask(country="DE", airflow="front-to-back", on_supply_loss="carries_all", ports=[{"count": 8}])
    assert ordered(solved(two, dear_parts)) == {"ONE": 1, "PS-FB": 1, "FAN-FB": 1, "CORD": 1}


def test_an_airflow_that_no_bundle_has_means_base_unit_and_parts() -> None:
    ask = make_ask(country="DE", airflow="back-to-front", ports=[{"count": 8}])
    assert ordered(solved(ask, catalog(prices={"PS-BF": 900}))) == {"BOX": 1, "PS-BF": 1, "FAN-BF": 1, "CORD": 1}


@pytest.mark.parametrize(("length_m", "cable"), [("4.9", "P5"), ("5", "A7"), ("6", "A7")])
def test_passive_twinax_just_under_five_metres_and_active_from_there(length_m: str, cable: str) -> None:
    """Both would do at 4.9 m; passive costs less."""
    made = catalog(
        cage("up", 2),
        cables=[twinax("P5", 5), twinax("P7", 7), twinax("A7", 7, kind="active twinax", draw_w=1)],
        optics_matrix=[{"cage": "C-SFP+", "takes": ["P5", "P7", "A7"]}],
        practice={"passive_twinax_below_m": 5},
        prices={"P5": 50, "P7": 60, "A7": 140},
    )
    uplink = {"count": 1, "speed_mbps": 10_000, "over": "direct", "length_m": length_m, "far_form": "SFP+"}
    build = solved(make_ask(country="DE", ports=[{"count": 4}], uplinks=[uplink]), made)
    assert ordered(build)[cable] == 1
    assert sum(ordered(build)[other] for other in ("P5", "P7", "A7")) == 1


def test_ports_that_stack_are_never_split() -> None:
    """Alone the unit splits its fast ports; in a stack they stack, and uplinks need another port."""
    fast = group("fast", 2, connector="QSFP+", cage="C-Q", speeds_mbps=[40_000], roles=["network", "split", "stack"])
    parts: dict[str, Any] = {
        "families": [{"id": "F", "largest_stack": 4, "two_unit_links": [1, 2]}],
        "unit_types": [
            unit_type(
                group("access", 8),
                fast,
                cage("slow", 1),
                excludes=[[{"group": "fast", "role": "stack"}, {"group": "fast", "role": "split"}]],
            )
        ],
        "boxes": [part("BOX", unit="T")],
        "cables": [
            twinax("D", 3),
            twinax("Y", 3, near="QSFP+", ways=4),
            twinax("Q", 1, near="QSFP+", far="QSFP+", speeds_mbps=[40_000]),
        ],
        "optics_matrix": [{"cage": "C-Q", "takes": ["Y", "Q"]}, {"cage": "C-SFP+", "takes": ["D"]}],
    }
    made = make_catalog(**parts)
    uplinks = [{"count": 2, "speed_mbps": 10_000, "over": "direct", "length_m": 2, "far_form": "SFP+"}]
    alone = solved(make_ask(ports=[{"count": 8}], uplinks=uplinks), made)
    assert [split.group for split in alone.units[0].splits] == ["fast"]
    stack = solved(make_ask(ports=[{"count": 16}], uplinks=uplinks), made)
    assert {unit.stack_group for unit in stack.units} == {"fast"}
    assert all(not unit.splits for unit in stack.units)
    assert {use.group for unit in stack.units for use in unit.uses if use.plug} == {"slow"}
