"""An uplink to a patch panel has a lead from each optic, of the right fibre, ends and length."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Build
from configurator_rules.modules.patch_lead import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    copper_optic,
    make_ask,
    make_catalog,
    optic,
    part,
    split,
    twinax,
    unit,
    unit_type,
    uplink,
)


def lead(number: str, near: str = "LC", far: str = "SC", **said: Any) -> dict[str, Any]:
    """A lead of two fibres, OM4, 3 m."""
    return part(number, **{"near": near, "far": far, "fibre": "OM4", "length_m": 3, **said})


CATALOG = make_catalog(
    unit_types=[unit_type(cage("up", 4))],
    optics=[
        optic("SR"),
        optic("ANGLED", polish="APC"),
        optic("WIDE", connector="MPO-12", fibres=8),
        optic("DOWN", fibres=1, pairs_with="UP"),
        optic("UP", fibres=1, pairs_with="DOWN", connector="SC"),
        copper_optic("T"),
    ],
    cables=[twinax("DAC", 3)],
    fibre_cables=[
        lead("LEAD"),
        lead("TURNED", "SC", "LC"),
        lead("OLD", fibre="OM3"),
        lead("STRAND", fibres=1),
        lead("SHORT", length_m="1.5"),
        lead("LIKE", "LC", "LC"),
        lead("PLAIN", "SC", "SC", fibres=1),
        lead("FAN", "MPO-12", ways=4),
        lead("FLAT", near_polish="UPC", far_polish="UPC"),
        lead("PC", near_polish="PC", far_polish="PC"),
        lead("MIXED", near_polish="UPC", far_polish="APC"),
        lead("BACK", "SC", "LC", near_polish="APC", far_polish="UPC"),
    ],
)
TO_PANEL = {"count": 2, "speed_mbps": "10G", "over": "fibre", "fibre": "OM4", "panel_connector": "SC"}


def wrong(plugs: list[str], leads: dict[str, int], statement: str = "uplinks[0]", **said: Any) -> list[str]:
    """What is wrong with these optics and these leads."""
    return breaches(RULE, patched(plugs, leads, statement), make_ask(uplinks=[{**TO_PANEL, **said}]), CATALOG)


def patched(plugs: list[str], leads: dict[str, int], statement: str = "uplinks[0]") -> Build:
    """A unit with these plugs in its ports, and these leads along."""
    along = [{"slot": "patch lead", "part": p, "count": n, "statement": statement} for p, n in leads.items()]
    return build(unit(*(uplink("up", n, plug) for n, plug in enumerate(plugs, start=1))), along=along)


@pytest.mark.parametrize("number", ["LEAD", "TURNED", "FLAT", "MIXED"])
def test_a_lead_for_each_optic_either_way_round(number: str) -> None:
    assert wrong(["SR", "SR"], {number: 2}) == []


def test_too_few_leads() -> None:
    assert wrong(["SR", "SR"], {"LEAD": 1}) == ["uplinks[0]: 1 of 2 optics SR lack a lead to the panel"]
    assert wrong(["SR", "SR"], {}) == ["uplinks[0]: 2 of 2 optics SR lack a lead to the panel"]


def test_leads_of_another_statement_or_in_another_slot_dont_count() -> None:
    lacking = ["uplinks[0]: 1 of 1 optics SR lack a lead to the panel"]
    assert wrong(["SR"], {"LEAD": 1}, statement="uplinks[1]") == lacking
    one = build(unit(uplink("up", 1, "SR")), along=[{"slot": "attenuator", "part": "LEAD", "statement": "uplinks[0]"}])
    assert breaches(RULE, one, make_ask(uplinks=[TO_PANEL]), CATALOG) == lacking


@pytest.mark.parametrize(
    ("number", "said", "fault"),
    [
        ("OLD", {}, "OLD is OM3, the link is over OM4"),
        ("STRAND", {}, "STRAND has fibres: 1, SR uses 2"),
        ("SHORT", {}, "SHORT is 1.5 m long, 2 m are asked"),
        ("LEAD", {"lead_m": "3.5"}, "LEAD is 3 m long, 3.5 m are asked"),
        ("LIKE", {}, "LIKE joins LC and LC, needed are LC and SC"),
        ("LEAD", {"panel_connector": "LC"}, "LEAD joins LC and SC, needed are LC and LC"),
        ("FAN", {}, "FAN is a fan-out of 4 ways"),
        ("DAC", {}, "DAC is no fibre lead"),
        (
            "LEAD",
            {"panel_polish": "UPC"},
            "LEAD is polished not stated and not stated, needed are any at the optic and UPC at the panel",
        ),
        (
            "FLAT",
            {"panel_polish": "APC"},
            "FLAT is polished UPC and UPC, needed are any at the optic and APC at the panel",
        ),
    ],
)
def test_a_lead_that_doesnt_fit(number: str, said: dict[str, Any], fault: str) -> None:
    assert wrong(["SR"], {number: 1}, **said) == [f"uplinks[0]: 1 of 1 optics SR lack a lead to the panel; {fault}"]


@pytest.mark.parametrize("number", ["MIXED", "BACK"])
def test_the_panels_polish_is_at_the_panels_end(number: str) -> None:
    """An angled panel takes the angled end, and the optic the flat one, whichever is called near."""
    assert wrong(["SR"], {number: 1}, panel_polish="APC") == []
    assert wrong(["SR"], {number: 1}, panel_polish="UPC") != []


def test_an_angled_optic_takes_no_flat_end() -> None:
    """Angled on flat reflects and is damaged; an end of which nothing is known may be either."""
    assert wrong(["ANGLED"], {"LEAD": 1}) == []
    polished = "FLAT is polished UPC and UPC, needed are APC at the optic and any at the panel"
    assert wrong(["ANGLED"], {"FLAT": 1}) == [f"uplinks[0]: 1 of 1 optics ANGLED lack a lead to the panel; {polished}"]


def test_flat_ends_of_two_names_mate() -> None:
    """PC and UPC differ in how well they are polished, not in shape; the panel's is as asked."""
    catalog = make_catalog(optics=[optic("SR", polish="UPC")], fibre_cables=[lead("PC", near_polish="PC")])
    assert breaches(RULE, patched(["SR"], {"PC": 1}), make_ask(uplinks=[TO_PANEL]), catalog) == []
    assert wrong(["SR"], {"PC": 1}, panel_polish="UPC") != []


def test_the_fibre_is_one_that_the_optic_knows_where_none_is_named() -> None:
    assert wrong(["SR"], {"OLD": 1}, fibre=None) == []
    assert wrong(["SR"], {"STRAND": 1}, fibre=None) != []


def test_leads_are_shared_out_as_well_as_they_can_be() -> None:
    """The strand's optic may have either lead, the other only the one of two fibres."""
    plugs = ["DOWN", "SR"]
    assert wrong(plugs, {"LEAD": 1, "STRAND": 1}) == []
    assert wrong(plugs, {"STRAND": 1, "TURNED": 1}) == []
    assert wrong(plugs, {"STRAND": 2}) == [
        "uplinks[0]: 1 of 1 optics SR lack a lead to the panel; STRAND has fibres: 1, SR uses 2"
    ]


def test_both_ends_have_a_panel() -> None:
    """Each of two optics and each of their partners: four leads."""
    assert wrong(["SR", "SR"], {"LEAD": 4}, ends="both") == []
    assert wrong(["SR", "SR"], {"LEAD": 3}, ends="both") == ["uplinks[0]: 1 of 4 optics SR lack a lead to the panel"]


def test_the_far_ends_lead_begins_in_its_own_optic() -> None:
    """The optic of the opposite wavelength has another connector."""
    assert wrong(["DOWN"], {"STRAND": 1, "PLAIN": 1}, ends="both", single_fibre=True) == []
    assert wrong(["DOWN"], {"STRAND": 2}, ends="both", single_fibre=True) == [
        "uplinks[0]: 1 of 1 optics UP lack a lead to the panel; STRAND joins LC and SC, needed are SC and SC"
    ]


def test_cables_copper_and_splits_need_none() -> None:
    assert wrong(["DAC"], {}, over="any", far_form="SFP+") == []
    assert wrong(["T"], {}, over="copper", fibre=None) == []
    fanned = build(unit(uplink("up", 1, "WIDE", way=1), splits=[split("up", 1, "WIDE", "FAN")]))
    assert breaches(RULE, fanned, make_ask(uplinks=[TO_PANEL]), CATALOG) == []


def test_no_lead_where_no_panel_is_named() -> None:
    assert wrong(["SR"], {}, panel_connector=None) == []


def test_a_catalog_without_leads_is_free_of_it() -> None:
    assert RULE.applies(CATALOG)
    assert not RULE.applies(make_catalog(optics=[optic("SR")], fibre_cables=[lead("FAN", "MPO-12", ways=4)]))
