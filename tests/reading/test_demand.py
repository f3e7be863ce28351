"""Demands that are refused, and how."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from configurator.demand import Wishes
from configurator.errors import Problem
from configurator.reading import load_demand
from configurator.reading.yaml_source import DEMAND_LIMIT
from tests.reading.small import DEMAND, ON, PARTS, asked_of, catalog_of, changed, only, refused, written

DEVICES = "      - {kind: phone, count: 40, poe_class: 4}\n"


def refusal(tmp_path: Path, old: str, new: str) -> Problem:
    """Of the small demand with one place changed."""
    return only(lambda: asked_of(tmp_path, changed(DEMAND, old, new)))


def wish(tmp_path: Path, line: str) -> Problem:
    """Of the small demand with one more wish."""
    return refusal(tmp_path, "  country: NO\n", f"  country: NO\n  {line}\n")


def uplinks(tmp_path: Path, uplink: str) -> Problem:
    return only(lambda: asked_of(tmp_path, DEMAND + f"    uplinks:\n      - {{{uplink}}}\n"))


def ports(tmp_path: Path, port: str) -> Problem:
    return only(lambda: asked_of(tmp_path, DEMAND + f"    ports:\n      - {{{port}}}\n"))


def test_a_problem_is_told_with_file_line_column_key_value_and_way_out(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "count: 40", "count: -40")
    assert (Path(problem.file).name, problem.line, problem.column) == ("demand.yaml", 7, 30)
    assert (problem.key, problem.value) == ("stacks[0].devices[0].count", '"-40"')
    assert str(problem) == (
        f'{problem.file}:7:30: stacks[0].devices[0].count: "-40" is too small\n'
        "     7 |       - {kind: phone, count: -40, poe_class: 4}\n"
        "       |                              ^\n"
        "\n"
        "hint: write 1 or more"
    )


@pytest.mark.parametrize("count", ["0", "-1", "10001", "1e9", "4.5", "many", "[1]", "0x10"])
def test_negative_absurd_and_other_counts_are_refused(tmp_path: Path, count: str) -> None:
    problem = refusal(tmp_path, "count: 40", f"count: {count}")
    assert problem.key == "stacks[0].devices[0].count"
    assert problem.hint


def test_an_unknown_key_is_told_with_a_near_one_of_the_same_place(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "poe_class: 4", "poe_clas: 4")
    assert (problem.line, problem.column, problem.key) == (7, 34, "stacks[0].devices[0].poe_clas")
    assert '"poe_clas" is not a key' in problem.text
    assert problem.hint == 'did you mean "poe_class"?'


def test_an_unknown_key_without_a_near_one_is_told_what_is_known(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "poe_class: 4", "zzz: 4")
    assert "kind" in problem.hint
    assert "poe_class" in problem.hint


def test_a_missing_key_is_told_where_it_belongs(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "kind: phone, ", "")
    assert (problem.line, problem.key) == (7, "stacks[0].devices[0].kind")
    assert "`kind: …`" in problem.hint


@pytest.mark.parametrize(
    ("line", "key", "text", "hint"),
    [
        ("airflow: front-to-bak", "airflow", '"front-to-bak" is not known', '"front-to-back"'),
        ("airflow: 5", "airflow", '"5" is not known', "write one of: front-to-back, back-to-front"),
        ("two_unit_links: 3", "two_unit_links", '"3" is not known', "1, 2"),
        ("headroom_draws: perhaps", "headroom_draws", "not yes or no", "yes or no"),
        ("headroom_percent: 20 %", "headroom_percent", '"20 %" is not a whole number', "figure alone: 20"),
        ("between_units_m: '1,5'", "between_units_m", '"1,5" is not a figure', "1.5"),
        ("stacking_mbps: 40g", "stacking_mbps", '"40g" is not a speed', "10G"),
        ("currency: euro", "currency", '"euro" is not a currency\'s', "ISO 4217"),
        ("currency: QQQ", "currency", '"QQQ" is no currency', "EUR"),
        ("region: nord", "region", '"nord" is no region', '"north"'),
        ("stack_fibre: OM2", "stack_fibre", '"OM2" is no fibre', '"OM4"'),
        ("deliver_by: 2027-02-30", "deliver_by", '"2027-02-30" is not a day', "write a day that exists"),
        ("deliver_by: 30.3.2027", "deliver_by", '"30.3.2027" is not a date', "2027-03-31"),
        ("deliver_by: 20270331", "deliver_by", '"20270331" is not a date', "2027-03-31"),
        ("deliver_by: 2026-05-31", "deliver_by", "before the order date, 2026-06-01", "--on"),
        ("rack_positions: [1, 2, 1]", "rack_positions[2]", '"1" is there twice', "out"),
        ("rack_positions: []", "rack_positions", "empty", "leave the line out"),
        ("outlets: [{plug: plug X, count: 1}]", "outlets[0].plug", '"plug X" is no plug', "plug"),
        ("outlets: [{plug: plug G, count: 1}, {plug: plug G, count: 1}]", "outlets[1]", "there twice", "out"),
        ("circuit: 16", "circuit", '"16" is not a mapping', "key: value"),
        ("circuit: {amp: 16, amps: 16}", "circuit.amp", '"amp" is not a key', '"amps"'),
        ("input_v: -48", "input_v", '"-48" is too small', "1 or more"),
        ("airflow: {value: front-to-back, rf: R1}", "airflow.rf", '"rf" is not a key', '"ref"'),
    ],
)  # fmt: skip
def test_wrong_wishes_are_refused_with_a_way_out(tmp_path: Path, line: str, key: str, text: str, hint: str) -> None:
    problems = refused(lambda: asked_of(tmp_path, changed(DEMAND, "  country: NO\n", f"  country: NO\n  {line}\n")))
    problem = next(p for p in problems if p.key == f"defaults.{key}")
    assert problem.line == 4
    assert text in problem.text
    assert hint in problem.hint


@pytest.mark.parametrize(
    ("country", "text", "hint"),
    [
        ("UK", '"UK" is no country', "GB (Great Britain), NO (Norway)"),
        ("N0", '"N0" is not a country', "ISO 3166"),
        ("no", '"no" is not a country', 'did you mean "NO"?'),
        ("Norway", '"Norway" is not a country', "ISO 3166"),
    ],
)
def test_unknown_countries_are_refused(tmp_path: Path, country: str, text: str, hint: str) -> None:
    problem = refusal(tmp_path, "country: NO", f"country: {country}")
    assert (problem.line, problem.column, problem.key) == (3, 12, "defaults.country")
    assert text in problem.text
    assert hint in problem.hint


def test_a_country_is_asked_for_where_there_are_cords(tmp_path: Path) -> None:
    more = "  - name: attic\n    country: GB\n    devices:\n" + DEVICES + "  - name: cellar\n    devices:\n" + DEVICES
    problem = only(lambda: asked_of(tmp_path, changed(DEMAND, "defaults:\n  country: NO\n", "") + more))
    assert (problem.line, problem.key) == (3, "stacks[0].country")
    assert '"hall", "cellar"' in problem.text
    assert "attic" not in problem.text
    assert "GB, NO" in problem.hint


def test_a_stack_name_twice_is_refused(tmp_path: Path) -> None:
    problem = only(lambda: asked_of(tmp_path, DEMAND + "  - name: hall\n    devices:\n" + DEVICES))
    assert (problem.line, problem.column, problem.value) == (8, 11, '"hall"')
    assert "demand.yaml:5" in problem.text
    assert "copies" in problem.hint


def test_a_stack_that_asks_for_nothing_is_refused(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "    devices:\n" + DEVICES, "")
    assert (problem.line, problem.key) == (5, "stacks[0].name")
    assert "asks for nothing" in problem.text


def test_an_absurd_total_is_refused(tmp_path: Path) -> None:
    assert "asks for 5,040 ports" in ports(tmp_path, "count: 5000").text
    assert asked_of(tmp_path, DEMAND + "    ports:\n      - {count: 4960}\n").asks[0].stack.ports[0].count == 4960


def test_a_demand_without_stacks_is_refused(tmp_path: Path) -> None:
    assert '"stacks" is missing' in only(lambda: asked_of(tmp_path, "customer: x\n")).text
    assert "too short" in only(lambda: asked_of(tmp_path, "stacks: []\n")).text
    assert "nothing is stated" in only(lambda: asked_of(tmp_path, "stacks:\n")).text


def test_units_at_least_above_units_at_most_is_refused(tmp_path: Path) -> None:
    demand = changed(DEMAND, "  country: NO\n", "  country: NO\n  units_at_most: 2\n")
    problem = only(lambda: asked_of(tmp_path, changed(demand, "    devices:", "    units_at_least: 3\n    devices:")))
    assert (problem.line, problem.key) == (7, "stacks[0].units_at_least")
    assert "at least 3 units and at most 2" in problem.text


def test_two_ways_to_tell_distances_are_refused_in_one_place(tmp_path: Path) -> None:
    assert wish(tmp_path, "between_units_m: 3\n  rack_positions: [1, 2]").key == "defaults.between_units_m"


@pytest.mark.parametrize(
    ("power", "key", "words"),
    [
        ("poe_class: 4, device_w: 20", "device_w", "poe_class and device_w are both stated"),
        ("device_w: 20, port_w: 25", "port_w", "device_w and port_w are both stated"),
        ("poe_class: 4, device_w: 20, port_w: 25", "device_w", "three times"),
        ("device_w: 71.4", "device_w", '"71.4" W is more than any PoE class gives'),
        ("port_w: 90.1", "port_w", '"90.1" W is more than any PoE class gives'),
        ("device_w: 0", "device_w", '"0" is too small'),
        ("poe_class: 9", "poe_class", '"9" is too large'),
        ("powered_percent: 50", "powered_percent", "nothing says that any is"),
        ("cable_m: 101", "cable_m", '"101" is too large'),
    ],
)
def test_power_that_cannot_be_meant_is_refused(tmp_path: Path, power: str, key: str, words: str) -> None:
    problem = refusal(tmp_path, "poe_class: 4", power)
    assert (problem.line, problem.key) == (7, f"stacks[0].devices[0].{key}")
    assert words in problem.text
    assert problem.hint


@pytest.mark.parametrize("power", ["device_w: 71.3", "port_w: 90"])
def test_the_most_that_a_class_gives_is_accepted(tmp_path: Path, power: str) -> None:
    assert asked_of(tmp_path, changed(DEMAND, "poe_class: 4", power)).asks[0].stack.devices


@pytest.mark.parametrize(
    ("port", "key", "words"),
    [
        ("count: 1, capable_of_class: 3, powered_at_class: 4", "powered_at_class", "both stated"),
        ("count: 1, over: OM9", "over", '"OM9" is no fibre'),
        ("count: 1, speed_mbps: 1001", "speed_mbps", '"1001" is no speed'),
        ("count: 1, capable_of_class: 3, powered_percent: 5", "powered_percent", "nothing says that any is"),
    ],
)
def test_ports_that_cannot_be_meant_are_refused(tmp_path: Path, port: str, key: str, words: str) -> None:
    problem = ports(tmp_path, port)
    assert (problem.line, problem.key) == (9, f"stacks[0].ports[0].{key}")
    assert words in problem.text


def test_a_class_without_a_row_in_the_catalog_is_refused(tmp_path: Path) -> None:
    own = "poe_classes:\n  - {poe_class: 4, port_w: 30, device_w: 25.5, port_min_v: 50, loop_ohm: 12.5}\n"
    demand = changed(DEMAND, "poe_class: 4", "poe_class: 6")
    problem = only(lambda: asked_of(tmp_path, demand, PARTS + own))
    assert '"6" is no PoE class' in problem.text
    assert problem.hint == "known are: 4"


@pytest.mark.parametrize(
    ("uplink", "key", "words", "hint"),
    [
        ("count: 2, speed_mbps: 10G, fibre: OM33", "fibre", '"OM33" is no fibre', "OM3"),
        ("count: 2, speed_mbps: 10G, far_form: SFP", "far_form", '"SFP" is no form', "SFP+"),
        ("count: 2, speed_mbps: 10G, far_connector: LCC", "far_connector", '"LCC" is no connector', "LC"),
        ("count: 2, speed_mbps: 10G, far_interface: 10GBASE-LR", "far_interface", "no interface", "10GBASE-SR"),
        ("count: 2, speed_mbps: 10G, spread_over_units: 3", "spread_over_units", "as many as 3 units", "2 or less"),
        ("count: 2, speed_mbps: 10G, over: direct", "over", "the form of the far end's cage", "far_form"),
        ("count: 2, speed_mbps: 10G, over: fibber", "over", '"fibber" is not known', '"fibre"'),
        ("count: 2, speed_mbps: 11000", "speed_mbps", '"11000" is no speed', "10000"),
    ],
)
def test_uplinks_that_cannot_be_meant_are_refused(tmp_path: Path, uplink: str, key: str, words: str, hint: str) -> None:
    problem = uplinks(tmp_path, uplink)
    assert (problem.line, problem.key) == (9, f"stacks[0].uplinks[0].{key}")
    assert words in problem.text
    assert hint in problem.hint


def test_a_demand_too_large_and_a_folder_are_refused(tmp_path: Path) -> None:
    catalog = catalog_of(tmp_path)
    large = written(tmp_path, "large.yaml", "#" * (DEMAND_LIMIT + 1))
    assert f"{DEMAND_LIMIT:,} bytes" in only(lambda: load_demand(large, catalog, ON)).text
    assert "this is a folder" in only(lambda: load_demand(tmp_path, catalog, ON)).text


def test_problems_of_a_demand_come_in_the_order_of_its_lines(tmp_path: Path) -> None:
    demand = changed(changed(DEMAND, "country: NO", "country: UK"), "poe_class: 4", "device_w: 99")
    assert [p.line for p in refused(lambda: asked_of(tmp_path, demand))] == [3, 7]


def test_order_date_decides_what_is_before_it(tmp_path: Path) -> None:
    demand = changed(DEMAND, "  country: NO\n", "  country: NO\n  deliver_by: 2026-06-01\n")
    assert asked_of(tmp_path, demand).asks[0].setting.deliver_by == date(2026, 6, 1)


def test_a_chain_of_two_with_two_links_is_refused(tmp_path: Path) -> None:
    chained = changed(DEMAND, "    devices:", "    topology: chain\n    two_unit_links: 2\n    devices:")
    problem = only(lambda: asked_of(tmp_path, chained))
    assert problem.key == "stacks[0].two_unit_links"
    assert "one link" in problem.text


def test_defaults_with_nothing_but_comments_below_it_says_nothing(tmp_path: Path) -> None:
    asked = asked_of(
        tmp_path,
        "defaults:\n  # country: NO\n"
        + changed(DEMAND, "defaults:\n  country: NO\n", "").replace(
            "  - name: hall\n", "  - name: hall\n    country: NO\n"
        ),
    )
    assert asked.demand.defaults == Wishes()
