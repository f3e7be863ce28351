"""Panels, leads and attenuators in catalogs and demands that are refused, and what is assumed about them."""

from __future__ import annotations

from pathlib import Path

import pytest

from configurator.errors import Problem
from tests.reading.small import DEMAND, PARTS, asked_of, catalog_of, changed, only

LEADS = """\
fibre_cables:
  - {id: lead, description: lead, fibre: OM4, length_m: 3, near: LC, far: SC, near_polish: UPC, far_polish: APC}
"""
LINK = "count: 2, speed_mbps: 10G, over: fibre, fibre: OM4"


def refusal(tmp_path: Path, link: str, parts: str = PARTS + LEADS) -> Problem:
    """Of the small demand with these uplinks, where the catalog has a lead."""
    return only(lambda: asked_of(tmp_path, DEMAND + f"    uplinks:\n      - {{{link}}}\n", parts))


def told(tmp_path: Path, link: str, parts: str = PARTS + LEADS, more: str = "") -> dict[str, str]:
    """What is assumed, by its key."""
    asked = asked_of(tmp_path, DEMAND + more + f"    uplinks:\n      - {{{link}}}\n", parts)
    return {one.key: one.value for one in asked.assumptions}


@pytest.mark.parametrize(
    ("link", "key", "words", "hint"),
    [
        (LINK + ", panel_connector: SCC", "panel_connector", '"SCC" is no connector', 'did you mean "SC"?'),
        (LINK + ", panel_connector: MU", "panel_connector", '"MU" is no connector', "known are: LC, SC"),
        (LINK + ", panel_polish: APC", "panel_polish", "no panel is stated", "add a line `panel_connector: …`"),
        (LINK + ", lead_m: 3", "lead_m", "no panel is stated", "or leave lead_m out"),
        (
            "count: 2, speed_mbps: 10G, over: copper, panel_connector: SC",
            "panel_connector",
            "a link over copper takes no fibre lead to a panel",
            "write `over: fibre`",
        ),
    ],
)
def test_panels_that_cannot_be_meant_are_refused(tmp_path: Path, link: str, key: str, words: str, hint: str) -> None:
    problem = refusal(tmp_path, link)
    assert (problem.line, problem.key) == (9, f"stacks[0].uplinks[0].{key}")
    assert words in problem.text
    assert hint in problem.hint


def test_leads_that_the_catalog_does_not_have_are_refused(tmp_path: Path) -> None:
    """A fan-out is no lead."""
    fan = changed(LEADS, "length_m: 3", "length_m: 3, ways: 4")
    for parts in (PARTS, PARTS + fan):
        problem = refusal(tmp_path, LINK + ", panel_connector: LC", parts)
        assert problem.text == "leads to a panel are asked, and this catalog has none"
        assert "leave panel_connector out" in problem.hint


def test_what_is_open_about_leads_is_told(tmp_path: Path) -> None:
    assert told(tmp_path, LINK)["uplinks.panel_connector"] == "none"
    open_ones = told(tmp_path, LINK + ", panel_connector: SC, ends: both")
    assert open_ones["uplinks.panel_connector"] == "alike"
    assert (open_ones["uplinks.lead_m"], open_ones["uplinks.panel_polish"]) == ("2", "any")


def test_what_is_stated_about_leads_is_not_assumed(tmp_path: Path) -> None:
    stated = told(tmp_path, LINK + ", panel_connector: SC, panel_polish: APC, lead_m: 3")
    assert not {"uplinks.panel_connector", "uplinks.lead_m", "uplinks.panel_polish"} & stated.keys()


def test_nothing_is_told_about_leads_where_there_are_none(tmp_path: Path) -> None:
    assert "uplinks.panel_connector" not in told(tmp_path, LINK, PARTS)
    assert "uplinks.panel_connector" not in told(tmp_path, "count: 2, speed_mbps: 10G, over: copper")


def test_growth_of_uplinks_is_told_to_be_complete(tmp_path: Path) -> None:
    assert told(tmp_path, LINK, more="    headroom_uplinks_count: 1\n")["headroom_uplinks"] == "complete"
    assert "headroom_uplinks" not in told(tmp_path, LINK, more="    headroom_count: 1\n")


def test_growth_by_number_is_growth(tmp_path: Path) -> None:
    """No head-room is assumed only where none is stated; that growth draws watts, where some is."""
    assert told(tmp_path, LINK)["headroom_percent"] == "0"
    grown = told(tmp_path, LINK, more="    headroom_count: 4\n")
    assert "headroom_percent" not in grown
    assert grown["headroom_draws"] == "yes"


def test_an_attenuator_has_an_optics_connector(tmp_path: Path) -> None:
    parts = PARTS + "attenuators:\n  - {id: weak, description: weak, connector: LCC, loss_db: 5}\n"
    problem = only(lambda: catalog_of(tmp_path, parts))
    assert problem.key == "attenuators[0].connector"
    assert problem.hint == 'did you mean "LC"?'
    assert catalog_of(tmp_path, changed(parts, "LCC", "LC")).parts.attenuators[0].id == "weak"


@pytest.mark.parametrize(
    ("reach", "words"),
    [
        ("{fibre: OM4, max_m: 400, short_db: 5}", "for ways shorter than min_m, and no way is"),
        ("{fibre: copper, max_m: 400, min_m: 20, short_db: 5}", "no light in copper"),
    ],
)
def test_weakening_that_is_never_needed_is_refused(tmp_path: Path, reach: str, words: str) -> None:
    problem = only(lambda: catalog_of(tmp_path, changed(PARTS, "{fibre: OM4, max_m: 400}", reach)))
    assert problem.key == "optics[0].reaches[0].short_db"
    assert words in problem.text
    assert "take the line out" in problem.hint
