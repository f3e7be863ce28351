"""Licences and support: what can't be meant is refused, and what is assumed is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from configurator.errors import Problem
from tests.reading.small import DEMAND, PARTS, asked_of, catalog_of, changed, only, refused

SERVICES = """\
features:
  - {id: routing, description: routes, unit_types: [u24], releases: ["7.2"]}
licences:
  - {id: right, description: licence, scope: unit, features: [routing], unit_types: [u24], term_months: 36}
support_levels:
  - {id: next day, rank: 1}
  - {id: four hours, rank: 2}
support:
  - {id: slow, description: contract, level: next day, term_months: 12, unit_types: [u24], within_km: 50}
  - {id: fast, description: contract, level: four hours, term_months: 36, keeps_failed_parts: true}
  - {id: care, description: contract, level: next day, term_months: 12, covers_parts: [opt-sr]}
"""
OF_TYPE = "    base_draw_w: 60.5\n"
FULL = changed(PARTS, OF_TYPE, OF_TYPE + '    releases: ["7.1", "7.2"]\n    subscriptions: [right]\n') + SERVICES


def demand_with(*wishes: str, features: str = "") -> str:
    """The small demand with some wishes more."""
    more = changed(DEMAND, "  country: NO\n", "  country: NO\n" + "".join(f"  {wish}\n" for wish in wishes))
    return changed(more, "poe_class: 4}", f"poe_class: 4, features: [{features}]}}") if features else more


def refusal(tmp_path: Path, *wishes: str, features: str = "", parts: str = FULL) -> Problem:
    """Of the small demand with these wishes."""
    return only(lambda: asked_of(tmp_path, demand_with(*wishes, features=features), parts))


def told(tmp_path: Path, *wishes: str, features: str = "", parts: str = FULL) -> dict[str, str]:
    """What is assumed for the small demand with these wishes, by key."""
    asked = asked_of(tmp_path, demand_with(*wishes, features=features), parts)
    return {assumed.key: assumed.text for assumed in asked.assumptions}


# --- catalogs -------------------------------------------------------------------------------------


def test_services_are_read(tmp_path: Path) -> None:
    catalog = catalog_of(tmp_path, FULL)
    assert {"right", "slow", "fast", "care"} <= set(catalog.by_id)
    assert [level.rank for level in catalog.parts.support_levels] == [1, 2]


@pytest.mark.parametrize(
    ("old", "new", "key", "text"),
    [
        ("subscriptions: [right]", "subscriptions: [rite]", "unit_types[0].subscriptions[0]", "licence"),
        ("features: [routing], unit", "features: [ruting], unit", "licences[0].features[0]", "feature"),
        (
            "term_months: 12, unit_types: [u24]",
            "term_months: 12, unit_types: [u25]",
            "support[0].unit_types[0]",
            "unit",
        ),
        ("routes, unit_types: [u24]", "routes, unit_types: [u25]", "features[0].unit_types[0]", "unit type"),
        ("covers_parts: [opt-sr]", "covers_parts: [opt-lr]", "support[2].covers_parts[0]", "optic or cable"),
        ("covers_parts: [opt-sr]", "covers_parts: [ps-a]", "support[2].covers_parts[0]", "optic or cable"),
        ("contract, level: four hours", "contract, level: for hours", "support[1].level", "level of support"),
        ("    subscriptions:", "    features: [ruting]\n    subscriptions:", "unit_types[0].features[0]", "feature"),
    ],
)
def test_names_have_to_be_there(tmp_path: Path, old: str, new: str, key: str, text: str) -> None:
    problem = only(lambda: catalog_of(tmp_path, changed(FULL, old, new)))
    assert problem.key == key
    assert f"is no {text}" in problem.text
    assert problem.hint


def test_a_level_is_there_once(tmp_path: Path) -> None:
    more = changed(FULL, "{id: four hours, rank: 2}", "{id: four hours, rank: 2}\n  - {id: next day, rank: 3}")
    assert 'level of support "next day" is there twice' in only(lambda: catalog_of(tmp_path, more)).text


def test_levels_without_ranks_need_no_list(tmp_path: Path) -> None:
    start, _, rest = FULL.partition("support_levels:\n")
    unranked = start + rest.partition("rank: 2}\n")[2]
    assert catalog_of(tmp_path, unranked).parts.support_levels == ()


def test_a_features_release_is_one_that_some_type_runs(tmp_path: Path) -> None:
    problem = only(lambda: catalog_of(tmp_path, changed(FULL, 'releases: ["7.2"]', 'releases: ["7.2", "7.22"]')))
    assert (problem.key, problem.text) == ("features[0].releases[1]", 'no unit type runs release "7.22"')
    assert problem.hint == 'did you mean "7.2"?'
    any_release = changed(FULL, '    releases: ["7.1", "7.2"]\n', "")
    catalog_of(tmp_path, changed(any_release, 'releases: ["7.2"]', 'releases: ["7.2", "7.22"]'))


def test_a_contract_of_parts_covers_what_it_lists(tmp_path: Path) -> None:
    problem = only(
        lambda: catalog_of(
            tmp_path, changed(FULL, "covers_parts: [opt-sr]", "covers_parts: [opt-sr], covers_optics: true")
        )
    )
    assert problem.key == "support[2].covers_optics"
    assert problem.hint == "take the line out"


# --- demands --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wish", "key", "text", "hint"),
    [
        ("features: [ruting]", "defaults.features[0]", '"ruting" is no feature', '"routing"'),
        ("features: [routing, zzz]", "defaults.features[1]", '"zzz" is no feature', "known are: routing"),
        ("support_level: for hours", "defaults.support_level", '"for hours" is no level', '"four hours"'),
        ("release: 7.11", "defaults.release", '"7.11" is no release of a unit type', '"7.1"'),
        ("support_until: 2026-06-01", "defaults.support_until", "is not after the order date", "a later day"),
        ("support_until: 2020-01-01", "defaults.support_until", "is not after the order date", "a later day"),
        ("optics_covered: yes", "defaults.optics_covered", "nothing asks for any", "add support_level"),
        ("failed_parts_kept: yes", "defaults.failed_parts_kept", "nothing asks for any", "add support_level"),
        ("depot_km: 30", "defaults.depot_km", "nothing asks for any", "leave depot_km out"),
    ],
)
def test_what_can_not_be_meant(tmp_path: Path, wish: str, key: str, text: str, hint: str) -> None:
    problem = refusal(tmp_path, wish)
    assert problem.key == key
    assert text in problem.text
    assert hint in problem.hint


def test_an_unknown_feature_of_a_statement(tmp_path: Path) -> None:
    problem = refusal(tmp_path, features="ruting")
    assert (problem.key, problem.hint) == ("stacks[0].devices[0].features[0]", 'did you mean "routing"?')


def test_more_months_than_until_the_day(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "support_months: 24", "support_until: 2028-05-31")
    assert problem.key == "defaults.support_until"
    assert problem.text == "24 months of support last until 2028-06-01, and it is to end on 2028-05-31"
    asked_of(tmp_path, demand_with("support_months: 24", "support_until: 2028-06-01"), FULL)


def test_months_of_a_stack_against_the_orders_day(tmp_path: Path) -> None:
    text = changed(
        demand_with("support_until: 2027-06-01"), "  - name: hall\n", "  - name: hall\n    support_months: 36\n"
    )
    assert only(lambda: asked_of(tmp_path, text, FULL)).key == "stacks[0].support_months"


def test_where_some_stack_asks_for_support_the_order_may_tell_about_it(tmp_path: Path) -> None:
    text = demand_with("depot_km: 30", "optics_covered: yes")
    attic = "  - {name: attic, support_months: 12, ports: [{count: 1}]}\n"
    hall, other = asked_of(tmp_path, text + attic, FULL).asks
    assert (hall.setting.support_months, other.setting.support_months) == (None, 12)
    assert hall.setting.depot_km == other.setting.depot_km == 30


def test_nothing_is_asked_of_a_catalog_that_has_none(tmp_path: Path) -> None:
    problem = refusal(tmp_path, "features: [routing]", parts=PARTS)
    assert problem.hint == "it knows no feature at all: take it out"
    problem = refusal(tmp_path, "support_months: 12", parts=PARTS)
    assert problem.text == "support is asked, and this catalog has no contracts"
    found = refused(lambda: asked_of(tmp_path, demand_with("support_level: gold", "depot_km: 3"), PARTS))
    assert [problem.key for problem in found] == ["defaults.support_level"]


# --- assumptions ----------------------------------------------------------------------------------


def test_no_support_is_ordered_where_none_is_asked(tmp_path: Path) -> None:
    found = told(tmp_path)
    assert found["support_level"] == "no support asked: none is ordered"
    assert not {"support_months", "optics_covered", "failed_parts_kept", "depot_km"} & set(found)


def test_what_is_open_about_the_support_asked(tmp_path: Path) -> None:
    found = told(tmp_path, "support_months: 12")
    assert found["support_level"] == "any level of support will do"
    assert found["optics_covered"] == "support may leave optics out"
    assert found["failed_parts_kept"] == "failed parts may be taken back"
    assert found["depot_km"] == "the site is near enough to a depot for every contract"
    assert told(tmp_path, "support_level: next day")["support_months"] == "support of any term will do"


def test_what_is_stated_is_not_assumed(tmp_path: Path) -> None:
    wishes = ("support_level: next day", "support_months: 12", "optics_covered: no", "failed_parts_kept: no")
    found = told(tmp_path, *wishes, "depot_km: 30", "licence_months: 12", "release: 7.1")
    assert not {
        key for key in found if key.startswith(("support", "optics_c", "failed", "depot", "licence", "release"))
    }


def test_open_terms_and_releases(tmp_path: Path) -> None:
    """The unit type needs its subscription, which ends, whether a feature is asked or not."""
    found = told(tmp_path)
    assert found["licence_months"] == "licences that end: any term will do"
    assert found["release"] == "any software release that all units of a stack run will do"
    free = changed(FULL, "    subscriptions: [right]\n", "")
    assert "licence_months" not in told(tmp_path, parts=free)
    assert "licence_months" in told(tmp_path, "features: [routing]", parts=free)
    assert "licence_months" in told(tmp_path, features="routing", parts=free)


def test_a_catalog_without_services_brings_nothing_up(tmp_path: Path) -> None:
    assert not {"support_level", "licence_months", "release", "depot_km"} & set(told(tmp_path, parts=PARTS))
