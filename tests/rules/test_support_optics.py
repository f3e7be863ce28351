"""Where optics are to be covered, every contract of the stack covers them, or a parts contract each."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Along, Build
from configurator_rules.support.optics import RULE
from tests.rules.service_world import contract, for_statement, has, told, typed, world
from tests.rules.worlds import build, make_ask, make_catalog, optic, part, split, unit, uplink, use

CATALOG = world(
    typed("T"),
    optics=[optic("SR"), optic("LR"), optic("Q")],
    fibre_cables=[part("FAN", fibre="OM3", length_m=3, near="LC", far="LC", ways=4)],
    support=[
        contract("BASIC"),
        contract("FULL", covers_optics=True),
        contract("SR-CARE", covers_parts=["SR"]),
        contract("ANY-CARE", covers_parts=["SR", "LR", "Q"]),
        contract("MONTHLY", covers_parts=["SR"], by_month=True, term_months=60),
    ],
)
ASK = make_ask(uplinks=[{"count": 3, "speed_mbps": "10G"}], support_months=12, optics_covered=True)
TWO_SR, ONE_LR = (uplink("up", 1, "SR"), uplink("up", 2, "SR")), (uplink("up", 1, "LR"),)


def stack(*covers: Along, by: str = "BASIC", **said: Any) -> Build:
    """Two units with two SR and an LR in their ports, one contract each."""
    return build(unit(*TWO_SR, along=has(by)), unit(*ONE_LR, position=2, along=has(by)), along=covers, **said)


def cover(number: str, count: int) -> Along:
    """Parts contracts for the uplinks' optics."""
    return for_statement("uplinks[0]", number, count)


@pytest.mark.parametrize(
    "good",
    [
        stack(by="FULL"),
        stack(cover("SR-CARE", 2), cover("ANY-CARE", 1)),
        stack(cover("ANY-CARE", 3)),
        stack(cover("MONTHLY", 24), cover("ANY-CARE", 1)),
    ],
)
def test_by_contract_or_one_by_one(good: Build) -> None:
    """By the month, an optic takes twelve for a year."""
    assert told(RULE, good, ASK, CATALOG) == []


@pytest.mark.parametrize(
    ("bad", "text"),
    [
        (stack(cover("SR-CARE", 3)), "1 of LR to cover, 0 parts contracts list them"),
        (stack(cover("SR-CARE", 1), cover("ANY-CARE", 1)), "3 of LR, SR to cover, 2 parts contracts list them"),
        (stack(cover("MONTHLY", 23), cover("ANY-CARE", 1)), "3 of LR, SR to cover, 2 parts contracts list them"),
    ],
)
def test_too_few_parts_contracts(bad: Build, text: str) -> None:
    """For another optic; one that lists both covers one of them; by the month, a month short."""
    assert told(RULE, bad, ASK, CATALOG) == [text]


def test_basic_warranty_leaves_optics_out() -> None:
    assert told(RULE, stack(), ASK, CATALOG) == ["3 of LR, SR to cover, 0 parts contracts list them"]


def test_one_contract_that_covers_optics_is_not_all() -> None:
    """One way for the whole stack."""
    mixed = build(unit(*TWO_SR, along=has("FULL")), unit(*ONE_LR, position=2, along=has("BASIC")))
    assert told(RULE, mixed, ASK, CATALOG) == ["3 of LR, SR to cover, 0 parts contracts list them"]


def test_optics_that_split_ports_and_optics_in_links_count() -> None:
    """What splits a port counts once; far ends are somebody else's."""
    ways = [uplink("up", 3, "Q", way=way) for way in (1, 2, 3, 4)]
    one = unit(*ways, splits=[split("up", 3, "Q", "FAN")], along=has("BASIC", "ANY-CARE"))
    ends = {"far_ends": [{"statement": "uplinks[0]", "part": "SR", "count": 4}]}
    assert told(RULE, build(one, **ends), ASK, CATALOG) == []
    link = {"from_unit": 1, "to_unit": 2, "way_m": "1", "speed_mbps": 10_000}
    bare, covered = ("SR", "SR", "FAN"), ("SR", "SR", "FAN", "SR-CARE", "SR-CARE")
    assert told(RULE, build(one, links=[{**link, "parts": covered}]), ASK, CATALOG) == []
    assert told(RULE, build(one, links=[{**link, "parts": bare}]), ASK, CATALOG) == [
        "3 of Q, SR to cover, 1 parts contracts list them"
    ]


def test_no_optics_no_cover() -> None:
    assert told(RULE, build(unit(use("access", 1), along=has("BASIC"))), ASK, CATALOG) == []


def test_where_nothing_is_asked() -> None:
    """Neither cover nor, without any support, what it is to cover."""
    assert told(RULE, stack(), make_ask(support_months=12), CATALOG) == []
    assert told(RULE, stack(), make_ask(optics_covered=True), CATALOG) == []


def test_a_catalog_without_contracts_is_free_of_the_rule() -> None:
    assert not RULE.applies(make_catalog())
