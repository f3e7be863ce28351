from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from configurator.errors import Problem
from configurator.parts import Parts
from configurator.reading import catalog_notes, load_catalog, load_parts
from configurator.reading.yaml_source import CATALOG_LIMIT
from tests.reading.small import ON, PARTS, PRICES, catalog_of, changed, folder_of, only, refused, written


def refusal(tmp_path: Path, old: str, new: str) -> Problem:
    """Of the small catalog with one place changed."""
    return only(lambda: load_parts(folder_of(tmp_path, all=changed(PARTS, old, new))))


def read(tmp_path: Path, old: str, new: str) -> Parts:
    return load_parts(folder_of(tmp_path, all=changed(PARTS, old, new)))


def test_a_good_catalog_is_read(tmp_path: Path) -> None:
    catalog = catalog_of(tmp_path)
    unit = catalog.unit_types["u24"]
    assert unit.base_draw_w == Decimal("60.5")
    assert unit.ports[0].speeds_mbps == (100, 1000, 2500)
    assert list(catalog.by_id) == ["00123", "ps-a", "opt-sr", "cord-gb", "cord-no"]
    assert catalog.parts.optics[0].speeds_mbps == (10000,), "one speed needs no list"
    assert catalog.price_minor("00123") == 100050
    assert catalog.name == str(tmp_path / "parts")


def test_norway_stays_norway_and_a_part_number_keeps_its_zeros(tmp_path: Path) -> None:
    catalog = catalog_of(tmp_path)
    assert catalog.countries["NO"].name == "Norway"
    assert catalog.parts.boxes[0].id == "00123"
    unquoted = catalog_of(tmp_path, changed(PARTS, '"00123"', "00123"))
    assert unquoted.parts == catalog.parts


def test_tables_of_standards_fill_in_what_the_catalog_leaves_out(tmp_path: Path) -> None:
    parts = load_parts(folder_of(tmp_path, all=PARTS))
    assert {row.poe_class for row in parts.poe_classes} == set(range(9))
    assert "C13" in {row.connector for row in parts.couplers}
    own = "couplers:\n  - {connector: C13, inlets: [C14, C16], rating_a: 15}\n"
    parts = load_parts(folder_of(tmp_path, all=PARTS + own))
    assert [(row.connector, row.rating_a) for row in parts.couplers] == [("C13", Decimal(15))]
    assert len(parts.poe_classes) == 9


def test_files_of_a_folder_are_put_together_in_the_order_of_their_names(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, a=PARTS, b="optics: []\nfan_trays:\n  - {id: t2, description: t, airflow: fanless}\n")
    (folder / "aa.yml").write_text("fan_trays:\n  - {id: t1, description: t, airflow: fanless}\n")
    (folder / "notes.txt").write_text("a: [")
    (folder / "deeper.d").mkdir()
    (folder / "deeper.d" / "x.yaml").write_text("a: [")
    assert [tray.id for tray in load_parts(folder).fan_trays] == ["t1", "t2"]


def test_a_problem_in_the_second_file_is_told_with_its_own_place(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, a=PARTS, b="# more\noptics_matrix:\n  - {cage: cage-b, takes: [opt-sx]}\n")
    problem = only(lambda: load_parts(folder))
    assert (Path(problem.file).name, problem.line, problem.column) == ("b.yaml", 3, 28)
    assert problem.key == "optics_matrix[0].takes[0]"
    assert problem.value == '"opt-sx"'
    assert problem.source == "  - {cage: cage-b, takes: [opt-sx]}"
    assert '"opt-sr"' in problem.hint


def test_a_part_number_twice_is_refused_across_kinds_and_files(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, a=PARTS, b="lugs:\n  - {id: ps-a, description: lug}\n")
    problem = only(lambda: load_parts(folder))
    assert (Path(problem.file).name, problem.line, problem.column, problem.key) == ("b.yaml", 2, 10, "lugs[0].id")
    assert '"ps-a" is there twice' in problem.text
    assert f"{folder / 'a.yaml'}:18" in problem.text
    assert "another name" in problem.hint


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("- {id: fam, largest_stack: 8}", "- {id: fam}\n  - {id: fam}", "family"),
        ("- {id: up, count: 4,", "- {id: access, count: 4,", "port group"),
        (
            "- {cage: cage-a, takes: [opt-sr]}",
            "- {cage: cage-a, takes: opt-sr}\n  - {cage: cage-a, takes: opt-sr}",
            "cage",
        ),
        ("{code: NO, name: Norway", "{code: GB, name: Norway", "country"),
    ],
)
def test_other_names_twice_are_refused(tmp_path: Path, old: str, new: str, what: str) -> None:
    problems = refused(lambda: read(tmp_path, old, new))
    assert any(f"{what} " in p.text and "there twice, first in" in p.text for p in problems)


@pytest.mark.parametrize(
    ("old", "new", "key", "meant"),
    [
        ("family: fam", "family: fan", "unit_types[0].family", "fam"),
        ("largest_stack: 8", "stacks_with: [fams]", "families[0].stacks_with[0]", "fam"),
        ("takes: [ps-a]", "takes: [ps-b]", "unit_types[0].supply_bays.takes[0]", "ps-a"),
        ("cage: cage-a, speeds", "cage: cage-b, speeds", "unit_types[0].ports[1].cage", "cage-a"),
        ("takes: [opt-sr]", "takes: [opt-st]", "optics_matrix[0].takes[0]", "opt-sr"),
        ("unit: u24", "unit: u42", "boxes[0].unit", "u24"),
        ("[{part: ps-a}]", "[{part: ps-aa}]", "boxes[0].contents[0].part", "ps-a"),
        ("{group: up, role: stack}", "{group: ups, role: stack}", "unit_types[0].excludes[0][0].group", "up"),
        ("coupler: C13, plug: plug G", "coupler: C13A, plug: plug G", "cords[0].coupler", "C13"),
        ("inlet: C14", "inlet: C14x", "supplies[0].inlet", "C14"),
        ("connector: LC\n", "connector: LC\n    pairs_with: opt-rs\n", "optics[0].pairs_with", "opt-sr"),
    ],
)
def test_dangling_references_are_refused_with_place_and_near_name(
    tmp_path: Path, old: str, new: str, key: str, meant: str
) -> None:
    problems = refused(lambda: read(tmp_path, old, new))
    problem = next(p for p in problems if p.key == key)
    assert problem.line is not None
    assert problem.source is not None
    assert problem.value is not None
    assert problem.value.strip('"') in problem.source
    assert problem.source[(problem.column or 0) - 1 :].startswith(problem.value.strip('"'))
    assert problem.hint == f'did you mean "{meant}"?'


def test_a_cord_for_a_country_without_a_row_is_refused(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "countries: [NO]", "countries: [NX]")
    assert (problem.key, problem.value) == ("cords[1].countries[0]", '"NX"')
    assert "add a row for it under countries; known are: GB, NO" in problem.hint


@pytest.mark.parametrize(
    "more",
    [
        "rack_kits:\n  - {id: k, description: k, posts: 2, unit_types: [u2x4]}\n",
        "blanks:\n  - {id: k, description: k, fills: supply bay, unit_types: [u2x4]}\n",
        "lugs:\n  - {id: k, description: k, unit_types: u2x4}\n",
        "support:\n  - {id: k, description: k, level: l, term_months: 12, unit_types: [u2x4]}\n",
        "licences:\n  - {id: k, description: k, scope: unit, unit_types: [u2x4]}\n",
        "stack_adapters:\n  - {id: k, description: k, unit_types: [u2x4]}\n",
    ],
)
def test_unit_types_are_looked_up_wherever_they_are_listed(tmp_path: Path, more: str) -> None:
    problem = only(lambda: load_parts(folder_of(tmp_path, all=PARTS, more=more)))
    assert problem.value == '"u2x4"'
    assert '"u24"' in problem.hint


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("fan_bays: {takes: [tray], by_supplies: [1]}", "unit_types[0].fan_bays.takes[0]"),
        ("module_slots: [{id: s, takes: [mod]}]", "unit_types[0].module_slots[0].takes[0]"),
        ("shared_ports: [{groups: [access, upp], at_most: 2}]", "unit_types[0].shared_ports[0].groups[1]"),
        ("poe_table: [{supplies: [ps-a, ps-x], poe_w: 100}]", "unit_types[0].poe_table[0].supplies[1]"),
    ],
)
def test_what_a_unit_type_names_has_to_be_there(tmp_path: Path, line: str, key: str) -> None:
    assert refusal(tmp_path, "    family: fam\n", f"    family: fam\n    {line}\n").key == key


def test_groups_of_fitting_modules_may_be_named_and_of_others_not(tmp_path: Path) -> None:
    modules = (
        "modules:\n"
        "  - {id: m1, description: m, ports: [{id: g1, count: 2, connector: RJ45, speeds_mbps: 1G}]}\n"
        "  - {id: m2, description: m, ports: [{id: g2, count: 2, connector: RJ45, speeds_mbps: 1G}]}\n"
    )
    slot = "    module_slots: [{id: s, takes: [m1]}]\n    shared_ports: [{groups: [access, %s], at_most: 2}]\n"
    base = changed(PARTS, "    family: fam\n", "    family: fam\n" + slot) + modules
    assert load_parts(folder_of(tmp_path, all=base % "g1")).unit_types[0].shared_ports[0].groups == ("access", "g1")
    assert only(lambda: load_parts(folder_of(tmp_path, all=base % "g2"))).value == '"g2"'


def test_a_split_fibre_cable_need_not_be_in_the_matrix(tmp_path: Path) -> None:
    cable = "fibre_cables:\n  - {id: f, description: f, fibre: OM4, length_m: 5, near: MPO-12, far: LC, ways: 4}\n"
    assert load_parts(folder_of(tmp_path, all=PARTS, more=cable)).fibre_cables[0].ways == 4


def test_a_unit_type_that_no_box_holds_is_refused(tmp_path: Path) -> None:
    more = (
        "unit_types:\n  - id: u48\n    description: d\n    family: fam\n    base_draw_w: 1\n"
        "    ports: [{id: g, count: 1, connector: RJ45, speeds_mbps: 1G}]\n"
    )
    problem = only(lambda: load_parts(folder_of(tmp_path, all=PARTS, more=more)))
    assert (problem.line, problem.column, problem.value) == (2, 9, '"u48"')
    assert "in no box" in problem.text
    assert "unit: u48" in problem.hint


def test_a_poe_port_needs_a_row_of_its_class(tmp_path: Path) -> None:
    own = "poe_classes:\n  - {poe_class: 3, port_w: 15.4, device_w: 13, port_min_v: 44, loop_ohm: 20}\n"
    problem = only(lambda: load_parts(folder_of(tmp_path, all=PARTS, more=own)))
    assert problem.key == "unit_types[0].ports[0].poe_class"
    assert problem.value == '"4"'
    assert "poe_classes" in problem.hint


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("count: 2, takes: [ps-a]", "count: 2, at_least: 3, takes: [ps-a]", "at least 3 supplies in 2 bays"),
        ("    family: fam\n", "    family: fam\n    built_in_supply: ps-a\n", "built in"),
        (
            "  - {id: fam, largest_stack: 8}",
            "  - {id: fam, stacks_with: [kin]}\n  - {id: kin, cables_a_link: 2}",
            "1 cables a link here, 2 in",
        ),
        ("from_v: 200, to_v: 240", "from_v: 240, to_v: 200", "from 240 V to 200 V"),
        ("max_m: 400}", "max_m: 400, min_m: 500}", "from 500 m to 400 m"),
        ("unit: u24, contents: [{part: ps-a}]", 'unit: u24, contents: [{part: "00123"}]', "contain itself"),
    ],
)
def test_contradictions_are_refused(tmp_path: Path, old: str, new: str, words: str) -> None:
    problem = refusal(tmp_path, old, new)
    assert words in problem.text
    assert problem.hint


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ("count: 24,", "count: -1,", "unit_types[0].ports[0].count", '"-1" is too small'),
        ("count: 24,", "count: 99999999,", "unit_types[0].ports[0].count", '"99999999" is too large'),
        ("count: 24,", f"count: {'9' * 5000},", "unit_types[0].ports[0].count", "too large"),
        ("count: 24,", "count: [24],", "unit_types[0].ports[0].count", "a list is not a whole number"),
        ("count: 24,", "count: ,", "unit_types[0].ports[0].count", "nothing is stated"),
        ("base_draw_w: 60.5", "base_draw_w: 60.55", "unit_types[0].base_draw_w", "finer"),
        ("base_draw_w: 60.5", "base_draw_w: NaN", "unit_types[0].base_draw_w", '"NaN" is not a figure'),
        ("base_draw_w: 60.5", "base_draw_w: 60.5 W", "unit_types[0].base_draw_w", '"60.5 W" is not a figure'),
        ("[100M, 1000, 2.5G]", "[100M, 1000, fast]", "unit_types[0].ports[0].speeds_mbps[2]", '"fast" is not a speed'),
        ("[network, stack, split]", "[network, stak]", "unit_types[0].ports[1].roles[1]", '"stak" is not known'),
        ("code: NO,", "code: 'no',", "countries[1].code", '"no" is not a country\'s'),
        ("family: fam", "family: 'bad\tid'", "unit_types[0].family", "is not a name"),
        ("description: base unit", "description: ''", "boxes[0].description", "empty"),
        ("  - {cage: cage-a, takes: [opt-sr]}", "  - {cage: cage-a, takes: []}", "optics_matrix[0].takes", "too short"),
        ("  - {cage: cage-a, takes: [opt-sr]}", "  - cage-a", "optics_matrix[0]", "is not a mapping"),
        ("family: fam\n", "famly: fam\n", "unit_types[0].famly", '"famly" is not a key'),
        ("    family: fam\n", "", "unit_types[0].family", '"family" is missing'),
        ("- [{group: up, role: stack}, {group: up, role: split}]", "- [{group: up, role: stack}]",
         "unit_types[0].excludes[0]", "one more item is missing"),
    ],
)  # fmt: skip
def test_wrong_values_are_told_in_plain_words_with_a_way_out(
    tmp_path: Path, old: str, new: str, key: str, words: str
) -> None:
    problems = refused(lambda: read(tmp_path, old, new))
    problem = next(p for p in problems if p.key == key)
    assert words in problem.text
    assert problem.hint
    assert problem.source is not None
    told = str(problem).lower()
    assert not [jargon for jargon in ("pydantic", "input should", "validat", "str_", "http") if jargon in told]


def test_a_misspelt_key_of_the_whole_catalog_is_told_with_a_near_one(tmp_path: Path) -> None:
    problem = only(lambda: load_parts(folder_of(tmp_path, all=PARTS, more="optic:\n  - {id: x}\n")))
    assert (problem.key, problem.line, problem.column) == ("optic", 1, 1)
    assert '"optics"' in problem.hint


def test_what_is_no_list_is_refused_where_a_list_is_expected(tmp_path: Path) -> None:
    problem = only(lambda: load_parts(folder_of(tmp_path, all=PARTS, more="lugs: {id: x, description: x}\n")))
    assert (problem.key, problem.line, problem.column) == ("lugs", 1, 7)
    assert "is not a list" in problem.text


def test_a_maker_twice_is_refused(tmp_path: Path) -> None:
    assert "stated twice" in only(lambda: load_parts(folder_of(tmp_path, all=PARTS, more="maker: Others\n"))).text


def test_every_problem_of_every_file_is_told_at_once(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, a="a: [1\n", b="a: 1\na: 2\n")
    prices = written(tmp_path, "p.csv", changed(PRICES, "ps-a,200,", "ps-a,x,"))
    problems = refused(lambda: load_catalog(folder, prices, ON))
    assert [Path(p.file).name for p in problems] == ["a.yaml", "b.yaml", "p.csv"]


def test_the_price_list_has_to_be_in_force(tmp_path: Path) -> None:
    assert "expired" in only(lambda: catalog_of(tmp_path, on=date(2027, 1, 1))).text


def test_folders_that_are_none_are_refused(tmp_path: Path) -> None:
    assert "no such folder" in only(lambda: load_parts(tmp_path / "x")).text
    assert "this is a file" in only(lambda: load_parts(written(tmp_path, "f.yaml", "a: 1"))).text
    empty = tmp_path / "empty"
    empty.mkdir()
    problem = only(lambda: load_parts(empty))
    assert ".yaml" in problem.text
    assert problem.hint


def test_a_catalog_file_too_large_is_refused(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, all="#" * (CATALOG_LIMIT + 1))
    assert f"{CATALOG_LIMIT:,} bytes" in only(lambda: load_parts(folder)).text


def test_notes_tell_parts_without_price_and_prices_without_part(tmp_path: Path) -> None:
    prices = PRICES.replace("opt-sr,", "opt-unknown,")
    notes = catalog_notes(catalog_of(tmp_path, prices=prices))
    assert notes.unpriced == ("opt-sr",)
    assert notes.unknown == ("opt-unknown",)


def test_a_demand_among_the_parts_is_told_apart(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, all=PARTS, more="stacks:\n  - {name: one}\n")
    assert "looks like a demand file" in only(lambda: load_parts(folder)).hint
