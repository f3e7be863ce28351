"""Demands that are accepted, and what is made of them."""

from __future__ import annotations

import io
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from configurator.reading import load_demand
from configurator.setting import Setting
from tests.reading.small import DEMAND, ON, PARTS, asked_of, catalog_of, changed, written

FULL = """\
customer: Somebody
defaults:
  country: GB
  airflow: {value: back-to-front, ref: R-17}
  headroom_percent: 20
  between_units_m: 2.5
stacks:
  - name: hall
    airflow: front-to-back
    rack_positions: [10, 12]
    two_unit_links: "2"
    headroom_draws: NO
    circuit: {value: {amps: 20}, ref: R-9}
    outlets: [{plug: plug G, count: 8}]
    stacking_mbps: 10G
    cord_m: 1.50
    deliver_by: 2026-09-30
    ports:
      - {count: 24, powered_at_class: 3, powered_percent: 50}
      - {count: 2, name: ring main, over: OM4, length_m: 30, speed_mbps: 10G}
    devices:
      - {kind: phone, count: 40, poe_class: 4, ref: R-1}
      - {kind: camera, count: 3, device_w: 20.50, speed_mbps: 100M}
    uplinks:
      - {count: 2, speed_mbps: 10G, over: fibre, fibre: OM4, length_m: 300, ends: both, spread_over_units: 2}
  - name: attic
    country: NO
    circuit: {amps: 10, share_percent: 90}
    ports:
      - {count: 10}
"""


def test_wishes_are_the_stacks_own_then_the_orders_then_none(tmp_path: Path) -> None:
    hall, attic = asked_of(tmp_path, FULL).asks
    assert (hall.stack.airflow, attic.stack.airflow) == ("front-to-back", "back-to-front")
    assert (hall.stack.country, attic.stack.country) == ("GB", "NO")
    assert (hall.stack.headroom_percent, attic.stack.headroom_percent) == (20, 20)
    assert attic.stack.deliver_by is None
    assert (hall.headroom_percent, hall.headroom_draws, attic.headroom_draws) == (20, False, True)
    assert (hall.two_unit_links, attic.two_unit_links) == (2, None)


def test_own_rack_positions_set_the_orders_distances_aside(tmp_path: Path) -> None:
    hall, attic = asked_of(tmp_path, FULL).asks
    assert (hall.stack.rack_positions, hall.stack.between_units_m) == ((10, 12), None)
    assert (attic.stack.rack_positions, attic.stack.between_units_m) == (None, (Decimal("2.5"),))


def test_the_setting_holds_what_was_said_and_what_the_country_has(tmp_path: Path) -> None:
    hall, attic = asked_of(tmp_path, FULL).asks
    assert hall.setting == Setting(
        order_date=ON,
        airflow="front-to-back",
        country="GB",
        input_v=230,
        region="isles",
        circuit_amps=Decimal(20),
        circuit_share_percent=80,
        cord_m=Decimal("1.5"),
        deliver_by=date(2026, 9, 30),
        outlet_plugs=("plug G",),
    )
    assert (attic.setting.circuit_amps, attic.setting.circuit_share_percent) == (Decimal(10), 90)
    assert attic.setting.region == "north"


def test_a_countrys_usual_circuit_counts_where_none_is_stated(tmp_path: Path) -> None:
    (ask,) = asked_of(tmp_path, changed(DEMAND, "country: NO", "country: GB")).asks
    assert (ask.setting.circuit_amps, ask.setting.circuit_share_percent) == (Decimal(16), 80)
    (ask,) = asked_of(tmp_path, DEMAND).asks
    assert (ask.setting.circuit_amps, ask.setting.circuit_share_percent) == (None, 100)


def test_stated_voltage_and_region_go_before_the_countrys(tmp_path: Path) -> None:
    demand = changed(DEMAND, "  country: NO\n", "  country: NO\n  input_v: 240\n  region: west\n")
    (ask,) = asked_of(tmp_path, demand).asks
    assert (ask.setting.input_v, ask.setting.region) == (240, "west")
    assert {"input_v", "region"} <= {key for key, said in ask.statements.items() if not said.assumed}


def test_norway_stays_norway(tmp_path: Path) -> None:
    (ask,) = asked_of(tmp_path, DEMAND).asks
    assert (ask.setting.country, ask.statements["country"].text) == ("NO", "country: NO")


def test_quoted_and_plain_scalars_are_the_same(tmp_path: Path) -> None:
    plain = asked_of(tmp_path, DEMAND)
    quoted = asked_of(tmp_path, changed(changed(DEMAND, "count: 40", "count: '40'"), "poe_class: 4", 'poe_class: "4"'))
    assert plain.demand == quoted.demand


@pytest.mark.parametrize("way", ["120", "[120]", "\n    - 120"])
def test_one_figure_is_as_good_as_a_list_of_one(tmp_path: Path, way: str) -> None:
    (ask,) = asked_of(tmp_path, changed(DEMAND, "  country: NO\n", f"  country: NO\n  between_units_m: {way}\n")).asks
    assert ask.stack.between_units_m == (Decimal(120),)


def test_statements_are_in_the_users_words_with_file_line_and_reference(tmp_path: Path) -> None:
    hall, attic = asked_of(tmp_path, FULL).asks
    file = tmp_path / "demand.yaml"

    def told(key: str) -> tuple[str, str, str | None]:
        said = hall.statements[key]
        assert said.key == key
        assert not said.assumed
        return said.text, said.where, said.ref

    assert told("airflow") == ("airflow: front-to-back", f"{file}:9", None)
    assert told("country") == ("country: GB", f"{file}:3", None)
    assert told("rack_positions") == ("rack_positions: 10, 12", f"{file}:10", None)
    assert told("headroom_draws") == ("headroom_draws: NO", f"{file}:12", None)
    assert told("circuit") == ("circuit: amps 20", f"{file}:13", "R-9")
    assert told("outlets") == ("outlets: plug plug G count 8", f"{file}:14", None)
    assert told("stacking_mbps") == ("stacking_mbps: 10G", f"{file}:15", None)
    assert told("ports[0]") == (
        "24 \N{MULTIPLICATION SIGN} port, powered at class 3, 50 % powered, 1 Gb/s",
        f"{file}:19",
        None,
    )
    assert told("ports[1]") == ("2 \N{MULTIPLICATION SIGN} ring main, 10 Gb/s, OM4, 30 m", f"{file}:20", None)
    assert told("devices[0]") == ("40 \N{MULTIPLICATION SIGN} phone, class 4, 1 Gb/s", f"{file}:22", "R-1")
    assert told("devices[1]") == (
        "3 \N{MULTIPLICATION SIGN} camera, 20.5 W at the device, 100 m of cable, 100 Mb/s",
        f"{file}:23",
        None,
    )
    assert told("uplinks[0]") == (
        "2 \N{MULTIPLICATION SIGN} uplink, 10 Gb/s, fibre, OM4, 300 m, optics for both ends, spread over 2 units",
        f"{file}:25",
        None,
    )
    assert attic.statements["airflow"].ref == "R-17"
    assert attic.statements["airflow"].where == f"{file}:4"


def test_every_assumed_wish_is_a_statement_marked_as_such(tmp_path: Path) -> None:
    (ask,) = asked_of(tmp_path, DEMAND).asks
    assumed = {key for key, said in ask.statements.items() if said.assumed}
    assert assumed == {
        "order_date",
        "headroom_percent",
        "topology",
        "rack_positions",
        "on_supply_loss",
        "on_feed_loss",
        "airflow",
        "input_v",
        "region",
        "circuit",
        "cord_m",
    }
    assert all(not ask.statements[key].where for key in assumed)


def test_nothing_that_was_stated_is_assumed(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, FULL)
    of_hall = {a.key for a in asked.assumptions if "hall" in a.stacks}
    stated = {"airflow", "country", "headroom_percent", "headroom_draws", "rack_positions", "cord_m", "uplinks.ends"}
    assert not of_hall & (stated | {"uplinks.length_m", "circuit"})
    assert of_hall >= {"order_date", "topology", "on_supply_loss", "on_feed_loss", "input_v", "region"}
    assert of_hall >= {"speed_mbps", "powered_percent", "devices.cable_m", "uplinks.may_split", "circuit.share_percent"}


def test_equal_assumptions_of_several_stacks_are_told_once(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, FULL)
    loss = [a for a in asked.assumptions if a.key == "on_supply_loss"]
    assert [(a.stacks, a.stack, a.value) for a in loss] == [(("hall", "attic"), "hall; attic", "stops")]
    regions = {a.stacks: a.value for a in asked.assumptions if a.key == "region"}
    assert regions == {("hall",): "isles", ("attic",): "north"}


def test_an_assumption_about_several_devices_names_their_stack_once(tmp_path: Path) -> None:
    more = "      - {kind: camera, count: 3, poe_class: 3}\n"
    told = {a.key: a.stacks for a in asked_of(tmp_path, DEMAND + more).assumptions}
    assert (told["speed_mbps"], told["powered_percent"]) == (("hall",), ("hall",))


def test_assumed_lengths_and_ends_of_uplinks_are_told(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, DEMAND + "    uplinks:\n      - {count: 2, speed_mbps: 10G, fibre: OM4}\n")
    told = {a.key: a.value for a in asked.assumptions}
    assert (told["uplinks.length_m"], told["uplinks.ends"], told["uplinks.may_split"]) == ("5", "near", "yes")
    unsplit = changed(PARTS, ", split]", "]").replace("role: split", "role: network")
    asked = asked_of(tmp_path, DEMAND + "    uplinks:\n      - {count: 2, speed_mbps: 10G, fibre: OM4}\n", unsplit)
    assert "uplinks.may_split" not in {a.key for a in asked.assumptions}, "no port can be split"


def test_a_stack_of_one_unit_has_no_topology_to_assume(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, changed(DEMAND, "  country: NO\n", "  country: NO\n  units_at_most: 1\n"))
    assert not {"topology", "rack_positions"} & {a.key for a in asked.assumptions}


def test_without_cords_a_country_may_be_left_open(tmp_path: Path) -> None:
    start, end = PARTS.index("cords:"), PARTS.index("optics:")
    demand = changed(DEMAND, "defaults:\n  country: NO\n", "")
    asked = asked_of(tmp_path, demand, PARTS[:start] + PARTS[end:])
    (ask,) = asked.asks
    assert (ask.setting.country, ask.setting.input_v, ask.setting.region) == (None, None, None)
    told = {a.key: a.value for a in asked.assumptions}
    assert (told["country"], told["input_v"], told["region"]) == ("none", "lowest", "any")
    assert "cord_m" not in told


def test_the_order_date_is_told(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, DEMAND)
    assert [a.value for a in asked.assumptions if a.key == "order_date"] == ["2026-06-01"]
    assert asked.asks[0].setting.order_date == ON


def test_one_ask_a_stack_with_its_copies(tmp_path: Path) -> None:
    asked = asked_of(tmp_path, changed(DEMAND, "  - name: hall\n", "  - name: hall\n    copies: 12\n"))
    assert [ask.stack.copies for ask in asked.asks] == [12]


def test_a_demand_comes_from_standard_input_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    catalog = catalog_of(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(DEMAND.encode())))
    (ask,) = load_demand("-", catalog, ON).asks
    assert ask.statements["devices[0]"].where == "standard input:7"


def test_files_are_named_as_the_user_typed_them(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    catalog = catalog_of(tmp_path)
    written(tmp_path, "d.yaml", DEMAND)
    monkeypatch.chdir(tmp_path)
    (ask,) = load_demand("./d.yaml", catalog, ON).asks
    assert ask.statements["country"].where == "./d.yaml:3"


def test_settings_are_hashable_so_that_fitouts_can_be_kept_by_them(tmp_path: Path) -> None:
    hall, attic = asked_of(tmp_path, FULL).asks
    assert len({hall.setting, attic.setting, hall.setting}) == 2
