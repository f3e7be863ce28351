"""Demands on hand-made catalogs of which the cheapest build is known: each once came out wrong."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from configurator.engine.search import solve_stack
from configurator.setting import Ask, Statement
from configurator.solved import Solved
from configurator.verify import verify
from configurator_rules import RULES
from tests.rules.worlds import group, make_ask, make_catalog, part, unit_type

REAR = group("rear", 2, connector="SK", speeds_mbps=[80_000], roles=["stack"])
CHAIN = {"id": "F", "largest_stack": 4, "topologies": ["chain"], "two_unit_links": [1]}
CABLE = part("SK", kind="stacking", length_m=3, near="SK", far="SK", speeds_mbps=[80_000])
FAN = part("FAN", kind="passive twinax", length_m=3, near="QSFP", far="SFP", ways=4, speeds_mbps=[10_000, 25_000])


def solved(ask: Ask, prices: dict[str, int], **parts: Any) -> Solved:
    """The answer, whose build no check finds fault with."""
    catalog = make_catalog(**{"families": [{"id": "F"}], "boxes": [part("BOX", unit="T")], **parts})
    rows = {n: r.model_copy(update={"price_minor": prices[n]}) for n, r in catalog.prices.rows.items() if n in prices}
    catalog.prices.rows.clear()
    catalog.prices.rows.update(rows)
    answer = solve_stack(ask, catalog, RULES)
    if answer.build is not None:
        assert verify(answer.build, ask, catalog, RULES) == ()
    return answer


def optic(number: str, mbps: int, form: str = "SFP") -> dict[str, Any]:
    """An optic of one speed that goes over OM4."""
    reaches = [{"fibre": "OM4", "max_m": 100}]
    return part(number, form=form, speeds_mbps=[mbps], interface=number, connector="LC", reaches=reaches)


def over_fibre(count: int, mbps: int) -> dict[str, Any]:
    return {"count": count, "speed_mbps": mbps, "over": "fibre", "fibre": "OM4"}


def direct(count: int, mbps: int) -> dict[str, Any]:
    return {"count": count, "speed_mbps": mbps, "over": "direct", "far_form": "SFP", "length_m": 2}


@pytest.mark.parametrize(("slow", "fast", "price_minor"), [(2, 4, 134), (4, 2, 132), (3, 3, None)])
def test_a_block_that_is_cut_short_may_be_the_slower_one(slow: int, fast: int, price_minor: int | None) -> None:
    """Six ports in blocks of four: four at one speed and two at the other, whichever."""
    ports = group("up", 6, block=4, connector="SFP", cage="C", speeds_mbps=[10_000, 25_000])
    answer = solved(
        make_ask(uplinks=[over_fibre(slow, 10_000), over_fibre(fast, 25_000)]),
        {"BOX": 100, "SLOW": 5, "FAST": 6},
        unit_types=[unit_type(ports)],
        optics=[optic("SLOW", 10_000), optic("FAST", 25_000)],
        optics_matrix=[{"cage": "C", "takes": ["SLOW", "FAST"]}],
    )
    assert answer.price_minor == price_minor


@pytest.mark.parametrize(
    ("uplinks", "price_minor"),
    [
        ([direct(4, 25_000), over_fibre(3, 100_000)], 100 + 9 + 3 * 7),  # all at 100 Gb/s
        ([direct(16, 10_000)], 100 + 4 * 9),
        ([direct(4, 10_000), over_fibre(1, 100_000)], None),
        ([direct(4, 10_000), direct(4, 25_000)], None),
    ],
)
def test_a_split_port_in_a_block_runs_at_the_speed_of_all_its_ways(
    uplinks: list[dict[str, Any]], price_minor: int | None
) -> None:
    ports = group(
        "q", 4, block=4, connector="QSFP", cage="C", speeds_mbps=[40_000, 100_000], roles=["network", "split"]
    )
    answer = solved(
        make_ask(uplinks=uplinks),
        {"BOX": 100, "Q100": 7, "FAN": 9},
        unit_types=[unit_type(ports)],
        optics=[optic("Q100", 100_000, "QSFP")],
        cables=[FAN],
        optics_matrix=[{"cage": "C", "takes": ["Q100", "FAN"]}],
    )
    assert answer.price_minor == price_minor


@pytest.mark.parametrize(("devices", "price_minor"), [(4, 100), (5, None)])
def test_ports_may_share_twice_in_one_unit(devices: int, price_minor: int | None) -> None:
    """Of a and b two ports work at once, and of c and d."""
    shared = [{"groups": ["a", "b"], "at_most": 2}, {"groups": ["c", "d"], "at_most": 2}]
    answer = solved(
        make_ask(devices=[{"kind": "desk", "count": devices}]),
        {"BOX": 100},
        unit_types=[unit_type(*(group(name, 2) for name in "abcd"), shared_ports=shared)],
    )
    assert answer.price_minor == price_minor


def test_what_splits_a_port_may_come_out_of_another_box() -> None:
    """The desk's unit brings the cable that the other unit's port is split with."""
    cage = group("q", 1, connector="QSFP", cage="C", speeds_mbps=[40_000], roles=["network", "split"])
    answer = solved(
        make_ask(devices=[{"kind": "desk", "count": 1}], uplinks=[direct(4, 10_000)]),
        {"BOX": 100, "OTHER": 100, "FAN": 1000, "SK": 1},
        families=[CHAIN],
        unit_types=[unit_type(group("a", 1), REAR), {**unit_type(cage, REAR), "id": "U"}],
        boxes=[part("BOX", unit="T", contents=[{"part": "FAN"}]), part("OTHER", unit="U")],
        cables=[FAN, CABLE],
        optics_matrix=[{"cage": "C", "takes": ["FAN"]}],
    )
    assert answer.price_minor == 201


@pytest.mark.parametrize(("in_box", "price_minor"), [(1, 200 + 2), (2, 200 + 2), (0, 200 + 2 * 50 + 2)])
def test_optics_that_link_units_may_come_out_of_their_boxes(in_box: int, price_minor: int) -> None:
    """A link of two optics and a lead, of which the boxes may hold the optics."""
    rear = group("rear", 2, connector="SFP", cage="C", speeds_mbps=[10_000], roles=["stack"])
    answer = solved(
        make_ask(devices=[{"kind": "desk", "count": 2}]),
        {"BOX": 100, "SLOW": 50, "LEAD": 2},
        families=[CHAIN],
        unit_types=[unit_type(group("a", 1), rear)],
        boxes=[part("BOX", unit="T", contents=[{"part": "SLOW", "count": in_box}] if in_box else [])],
        optics=[optic("SLOW", 10_000)],
        fibre_cables=[part("LEAD", fibre="OM4", length_m=3, near="LC", far="LC")],
        optics_matrix=[{"cage": "C", "takes": ["SLOW"]}],
    )
    assert answer.price_minor == price_minor


@pytest.mark.parametrize("topology", ["chain", "ring"])
def test_units_are_linked_as_they_stand_in_the_rack(topology: str) -> None:
    """Positions may be told in any order; half a metre reaches over four places, not over seven."""
    answer = solved(
        make_ask(devices=[{"kind": "desk", "count": 4}], rack_positions=[1, 7, 3, 5]),
        {"BOX": 100, "SHORT": 1},
        families=[{**CHAIN, "topologies": [topology], "two_unit_links": [1, 2]}],
        unit_types=[unit_type(group("a", 1), REAR)],
        cables=[{**CABLE, "id": "SHORT", "length_m": "0.5"}],
    )
    assert answer.price_minor == 400 + (3 if topology == "chain" else 4)


def test_cords_in_the_box_go_where_no_other_fits() -> None:
    """The first supply takes either cord; the hot one only the hot cord, of which the box holds one."""
    supplies = [
        part(name, outputs=[{"from_v": 100, "to_v": 240, "output_w": 100}], inlet=inlet)
        for name, inlet in (("S1", "C14"), ("S2", "C16"))
    ]
    cords = [
        part(name, countries=["DE"], coupler=coupler, plug="P", rating_a=10, length_m=2)
        for name, coupler in (("HOT", "C15"), ("PLAIN", "C13"))
    ]
    answer = solved(
        make_ask(devices=[{"kind": "desk", "count": 1}], country="DE", input_v=230, on_supply_loss="carries_all"),
        {"BOX": 100, "HOT": 50, "PLAIN": 5, "PAIR": 200},
        unit_types=[unit_type(group("a", 1), supply_bays={"count": 2, "takes": ["S1", "S2"], "mixed": True})],
        boxes=[part("BOX", unit="T", contents=[{"part": "S1"}, {"part": "S2"}, {"part": "HOT"}])],
        supplies=supplies,
        cords=cords,
        kits=[part("PAIR", contents=[{"part": "PLAIN", "count": 2}])],
        couplers=[
            {"connector": "C13", "inlets": ["C14"], "rating_a": 10},
            {"connector": "C15", "inlets": ["C14", "C16"], "rating_a": 10},
        ],
    )
    assert answer.price_minor == 105


# --- conflicts -----------------------------------------------------------------------------------------


def stated(ask: Ask, *keys: str) -> Ask:
    return replace(ask, statements={key: Statement(key, key) for key in keys})


def test_what_only_a_kit_holds_is_to_be_had_in_a_conflict_too() -> None:
    """The optic has no price of its own; the desks are too many, the uplink is innocent."""
    ask = make_ask(devices=[{"kind": "desk", "count": 5}], uplinks=[over_fibre(1, 10_000)])
    answer = solved(
        stated(ask, "devices[0]", "uplinks[0]"),
        {"BOX": 100, "KIT": 3},
        unit_types=[unit_type(group("a", 1), group("up", 2, connector="SFP", cage="C", speeds_mbps=[10_000]))],
        optics=[optic("SLOW", 10_000)],
        kits=[part("KIT", contents=[{"part": "SLOW"}])],
        optics_matrix=[{"cage": "C", "takes": ["SLOW"]}],
    )
    assert answer.refusal.conflicts[0].statements == ("devices[0]",)


def test_a_chain_set_aside_asks_for_no_ring() -> None:
    """The cable is too short to close a ring of three; nobody asks for one, only for too few units."""
    ask = make_ask(devices=[{"kind": "desk", "count": 3}], rack_positions=[1, 9, 17], topology="chain", units_at_most=2)
    answer = solved(
        stated(ask, "devices[0]", "topology", "units_at_most"),
        {"BOX": 100, "SHORT": 1},
        families=[{**CHAIN, "topologies": ["ring", "chain"]}],
        unit_types=[unit_type(group("a", 1), REAR)],
        cables=[{**CABLE, "id": "SHORT", "length_m": "0.7"}],
    )
    assert answer.refusal.conflicts[0].statements == ("devices[0]", "units_at_most")
