"""Two demand files compared statement by statement, and the earlier one with some of the changes made."""

from __future__ import annotations

import itertools

import pytest

from configurator.errors import BadInput
from configurator.reading.asks import TIMES
from configurator.reading.difference import Difference

THEN = """
customer: Brackenhythe College
defaults: {country: {value: NL, ref: "2.1"}, headroom_percent: 10}
spares: [{of: supplies, count: 1}]
stacks:
  - name: North
    airflow: front-to-back
    devices:
      - {kind: camera, count: 3, poe_class: 4}
      - {kind: phone, count: 9, poe_class: 2}
    uplinks: [{count: 2, speed_mbps: 10G, over: fibre, fibre: OM4}]
  - {name: South, ports: [{count: 3}]}
"""
NOW = """
# the same in part, written otherwise
customer: Brackenhythe College
project: Wing
defaults: {country: {value: US, ref: "2.2"}, headroom_percent: 10}
spares: [{of: supplies, count: 2}]
stacks:
  - name: North
    copies: 2
    uplinks: [{count: 2, speed_mbps: 10000, over: fibre, fibre: OM4}]
    devices:
      - {kind: lock, count: 1, poe_class: 2}
      - {kind: camera, count: 5, poe_class: 4, ref: "9"}
  - {name: East, ports: [{count: 4}]}
"""


def told(then: str, now: str) -> list[tuple[str, str, str, str | None, str | None]]:
    return [(one.stack, one.key, one.kind, plain(one.then), plain(one.now)) for one in Difference(then, now).changes]


def plain(text: str | None) -> str | None:
    return None if text is None else text.replace(TIMES, "x")


def test_each_statement_that_changed_is_told_once() -> None:
    assert told(THEN, NOW) == [
        ("", "project", "added", None, "project: Wing"),
        ("", "spares[0]", "changed", "cold spares: 1 of supplies", "cold spares: 2 of supplies"),
        ("North", "copies", "added", None, "copies: 2"),
        ("North", "airflow", "gone", "airflow: front-to-back", None),
        ("North", "country", "changed", "country: NL", "country: US"),
        ("North", "devices[1]", "changed", "3 x camera, class 4, 1 Gb/s", "5 x camera, class 4, 1 Gb/s"),
        ("North", "devices[1]", "gone", "9 x phone, class 2, 1 Gb/s", None),
        ("North", "devices[0]", "added", None, "1 x lock, class 2, 1 Gb/s"),
        ("South", "stack", "gone", "3 x port, 1 Gb/s", None),
        ("East", "stack", "added", None, "4 x port, 1 Gb/s"),
    ]


def test_references_are_told_with_it() -> None:
    refs = {plain(one.now): one.ref for one in Difference(THEN, NOW).changes}
    assert refs["country: US"] == "2.2"
    assert refs["5 x camera, class 4, 1 Gb/s"] == "9"


SAME = {
    "order of keys": THEN.replace(
        'country: {value: NL, ref: "2.1"}, headroom_percent: 10', "headroom_percent: 10, country: NL"
    ),
    "other references": THEN.replace("2.1", "3.1"),
    "in the stacks": THEN.replace('defaults: {country: {value: NL, ref: "2.1"}, headroom_percent: 10}', "defaults:")
    .replace("name: North\n", "name: North\n    country: NL\n    headroom_percent: 10\n")
    .replace("name: South,", "name: South, country: NL, headroom_percent: 10,"),
    "written out": THEN.replace("10G", "10000").replace("count: 3}]", "count: 3, speed_mbps: 1G}]"),
    "order of stacks": THEN.replace("  - {name: South, ports: [{count: 3}]}\n", "").replace(
        "stacks:\n", "stacks:\n  - {name: South, ports: [{count: 3}]}\n"
    ),
}


@pytest.mark.parametrize("what", SAME)
def test_what_means_the_same_is_no_change(what: str) -> None:
    assert SAME[what] != THEN
    assert told(THEN, SAME[what]) == []
    assert told(SAME[what], THEN) == []


def test_a_wish_of_the_whole_order_is_one_statement() -> None:
    difference = Difference(THEN, THEN.replace("headroom_percent: 10", "headroom_percent: 20"))
    assert len(difference.changes) == 2
    (both,) = difference.statements
    assert [one.stack for one in both] == ["North", "South"]


def test_with_all_changes_made_it_is_the_later_file_and_with_none_the_earlier() -> None:
    difference = Difference(THEN, NOW)
    assert told(difference.made(difference.changes), NOW) == []
    assert told(difference.made(()), THEN) == []


def test_with_some_changes_made_only_the_others_are_left() -> None:
    difference = Difference(THEN, NOW)
    for several in itertools.combinations(difference.changes, 2):
        made = {(one.stack, one.kind, one.then, one.now) for one in several}
        every = {(one.stack, one.kind, one.then, one.now) for one in difference.changes}
        left = {(one.stack, one.kind, one.then, one.now) for one in Difference(difference.made(several), NOW).changes}
        assert left == every - made
        done = {(one.stack, one.kind, one.then, one.now) for one in Difference(THEN, difference.made(several)).changes}
        assert done == made


@pytest.mark.parametrize(
    "text",
    [
        "stacks: 1",
        "stacks: [1]",
        "stacks: []",
        "a: 1",
        "stacks: [{name: A, ports: 3}]",
        "defaults: [1]\nstacks: [{name: A}]",
    ],
)
def test_what_is_no_demand_is_bad_input(text: str) -> None:
    with pytest.raises(BadInput):
        Difference(text, NOW)
