"""The rack and the room: what can't be meant is refused, and what is assumed is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reading.small import DEMAND, PARTS, asked_of, catalog_of, changed, only

FIXINGS = """\
rack_kits:
  - {id: rails, description: rails, posts: 4, unit_types: [u24]}
blanks:
  - {id: cover, description: panel, fills: supply bay, unit_types: [u24]}
lugs:
  - {id: lug, description: lug}
"""
OF_TYPE = "    base_draw_w: 60.5\n"


def with_figures(*lines: str) -> str:
    """The small catalog with some lines more about its unit type."""
    return changed(PARTS, OF_TYPE, OF_TYPE + "".join(f"    {line}\n" for line in lines))


def told(tmp_path: Path, *wishes: str, parts: str = PARTS) -> dict[str, str]:
    """What is assumed for the small demand with some wishes more, by key."""
    demand = changed(DEMAND, "  country: NO\n", "  country: NO\n" + "".join(f"  {wish}\n" for wish in wishes))
    return {assumed.key: assumed.text for assumed in asked_of(tmp_path, demand, parts).assumptions}


# --- catalogs -------------------------------------------------------------------------------------


def test_fixings_are_read(tmp_path: Path) -> None:
    catalog = catalog_of(tmp_path, PARTS + FIXINGS)
    assert {"rails", "cover", "lug"} <= set(catalog.by_id)


@pytest.mark.parametrize("name", ["rails", "cover"])
def test_types_of_fixings_have_to_be_there(tmp_path: Path, name: str) -> None:
    start, _, rest = FIXINGS.partition(f"id: {name}")
    wrong = PARTS + start + f"id: {name}" + rest.replace("u24", "u25", 1)
    problem = only(lambda: catalog_of(tmp_path, wrong))
    assert '"u25" is no unit type' in problem.text
    assert '"u24"' in problem.hint


def test_a_panel_closes_what_its_types_have(tmp_path: Path) -> None:
    """The small catalog's unit type has bays and no slots."""
    wrong = PARTS + FIXINGS.replace("fills: supply bay", "fills: module slot")
    problem = only(lambda: catalog_of(tmp_path, wrong))
    assert problem.text == '"u24" has no module slot that a panel could close'
    assert problem.key == "blanks[0].unit_types[0]"
    assert problem.hint == "take it out of the list"


def test_degrees_less_need_a_temperature(tmp_path: Path) -> None:
    problem = only(lambda: catalog_of(tmp_path, with_figures("cooler_each_m: 300")))
    assert problem.text == "1 degree less for each 300 m, and no temperature to take it from"
    assert "hottest_inlet_c" in problem.hint
    both = with_figures("cooler_each_m: 300", "hottest_inlet_c: 45")
    assert catalog_of(tmp_path, both).unit_types["u24"].hottest_inlet_c == 45


# --- what can't be meant --------------------------------------------------------------------------


def test_a_shared_circuit_needs_a_voltage(tmp_path: Path) -> None:
    """A stack of a catalog without cords may have no country, and then no mains."""
    parts = PARTS[: PARTS.index("cords:")] + PARTS[PARTS.index("optics:") :]
    circuit = "circuit: {amps: 16, shared: true}"
    wrong = changed(DEMAND, "country: NO", circuit)
    problem = only(lambda: asked_of(tmp_path, wrong, parts))
    assert problem.key == "defaults.circuit.shared"
    assert '"hall", and no voltage' in problem.text
    assert "input_v" in problem.hint
    for more in ("input_v: 230", "country: NO"):
        assert asked_of(tmp_path, changed(DEMAND, "country: NO", f"{circuit}\n  {more}"), parts).asks
    own = changed(DEMAND, "country: NO", "circuit: {amps: 16}")
    assert asked_of(tmp_path, own, parts).asks


def test_units_asked_fit_into_the_rack_units_that_are_free(tmp_path: Path) -> None:
    tall = with_figures("rack_units: 2")
    asking = changed(DEMAND, "  - name: hall\n", "  - name: hall\n    units_at_least: 3\n    rack_units_free: 5\n")
    problem = only(lambda: asked_of(tmp_path, asking, tall))
    assert problem.key == "stacks[0].rack_units_free"
    assert problem.text == "at least 3 units take 6 rack units or more, and 5 are free"
    assert asked_of(tmp_path, asking.replace("free: 5", "free: 6"), tall).asks
    assert asked_of(tmp_path, asking).asks, "three of one rack unit each are within five"


# --- what is assumed ------------------------------------------------------------------------------


def test_what_nobody_said_about_fixings_is_told(tmp_path: Path) -> None:
    said = told(tmp_path, parts=PARTS + FIXINGS)
    assert said["rack_posts"] == "the posts of the rack are open: no rack kits are ordered"
    assert said["blank_panels"] == "empty bays and slots get a panel where the catalog has one"
    assert said["earthing_lugs"] == "no earthing lugs are ordered"


def test_what_was_said_about_fixings_is_not_assumed(tmp_path: Path) -> None:
    said = told(tmp_path, "rack_posts: 4", "blank_panels: no", "earthing_lugs: yes", parts=PARTS + FIXINGS)
    assert not {"rack_posts", "blank_panels", "earthing_lugs", "rack_kits", "blanks", "lugs"} & set(said)


def test_a_catalog_without_fixings_has_none_to_order(tmp_path: Path) -> None:
    fixings = {"rack_posts", "blank_panels", "earthing_lugs", "rack_kits", "blanks", "lugs"}
    assert not fixings & set(told(tmp_path))
    said = told(tmp_path, "rack_posts: 2", "blank_panels: yes", "earthing_lugs: yes")
    assert {key: said[key] for key in fixings & set(said)} == {
        "rack_kits": "the catalog has no rack kits: none are ordered",
        "blanks": "the catalog has no blanks: none are ordered",
        "lugs": "the catalog has no lugs: none are ordered",
    }
    said = told(tmp_path, "blank_panels: no", "earthing_lugs: no")
    assert not fixings & set(said)


def test_sea_level_is_told_where_it_matters(tmp_path: Path) -> None:
    climbing = with_figures("hottest_inlet_c: 45", "cooler_each_m: 300")
    assert told(tmp_path, "inlet_c: 40", parts=climbing)["altitude_m"] == "the site is at sea level"
    assert "altitude_m" not in told(tmp_path, "inlet_c: 40", "altitude_m: 900", parts=climbing)
    assert "altitude_m" not in told(tmp_path, "inlet_c: 40", parts=with_figures("hottest_inlet_c: 45"))
    assert "altitude_m" not in told(tmp_path, parts=climbing)


@pytest.mark.parametrize(
    ("wish", "figure", "text"),
    [
        ("rack_depth_mm: 400", "depth_mm: 300", "depth not known of u24: it counts as shallow enough"),
        ("inlet_c: 40", "hottest_inlet_c: 45", "warmest inlet air not known of u24: it takes in any"),
        ("altitude_m: 900", "highest_m: 3000", "highest altitude not known of u24: it works at any"),
        ("noise_db: 60", "noise_db: 45", "noise not known of u24: it counts as silent"),
    ],
)
def test_how_an_unknown_figure_counts_is_told_where_it_is_asked_for(
    tmp_path: Path, wish: str, figure: str, text: str
) -> None:
    key = f"unit_types.{figure.partition(':')[0]}"
    assert told(tmp_path, wish)[key] == text
    assert key not in told(tmp_path, wish, parts=with_figures(figure))
    assert key not in told(tmp_path)


def test_unknown_weights_are_told_of_units_and_of_what_goes_into_them(tmp_path: Path) -> None:
    wish = "rack_weight_kg: 40"
    assert told(tmp_path, wish)["weight_kg"] == "weight not known of u24, ps-a: it counts as nothing"
    assert told(tmp_path, wish, parts=with_figures("weight_kg: 5"))["weight_kg"] == (
        "weight not known of ps-a: it counts as nothing"
    )
    assert "weight_kg" not in told(tmp_path)


def test_a_circuit_that_is_not_said_to_be_shared_is_one_inlets(tmp_path: Path) -> None:
    assert told(tmp_path, "circuit: {amps: 16}")["circuit.shared"] == "each inlet has the circuit to itself"
    for shared in ("yes", "no"):
        assert "circuit.shared" not in told(tmp_path, f"circuit: {{amps: 16, shared: {shared}}}")
    assert "circuit.shared" not in told(tmp_path)
