"""Marks and cold spares in demands that are refused, and what is assumed about them."""

from __future__ import annotations

from pathlib import Path

import pytest

from configurator.demand import Spares
from configurator.errors import Problem
from tests.reading.small import DEMAND, PARTS, asked_of, changed, only

MARKED = changed(PARTS, "description: supply\n", "description: supply\n    marks: [CE, UKCA]\n")
MORE = """\
licences:
  - {id: right, description: right, scope: unit}
support_levels:
  - {id: basic, rank: 1}
support:
  - {id: contract, description: contract, level: basic, term_months: 12}
kits:
  - {id: two-supplies, description: kit, contents: [{part: ps-a, count: 2}]}
stack_adapters:
  - {id: adapter, description: adapter, unit_types: [u24]}
attenuators:
  - {id: pad, description: pad, connector: LC, loss_db: 5}
fibre_cables:
  - {id: lead, description: lead, fibre: OM4, length_m: 2, near: LC, far: LC}
rack_kits:
  - {id: rails, description: rails, posts: 4}
blanks:
  - {id: panel, description: panel, fills: supply bay}
lugs:
  - {id: lug, description: lug}
"""


def spares(tmp_path: Path, said: str) -> Problem:
    """Of the small demand with this statement about spares."""
    return only(lambda: asked_of(tmp_path, DEMAND + f"spares:\n  - {{{said}}}\n", PARTS + MORE))


@pytest.mark.parametrize(
    ("said", "key", "text", "hint"),
    [
        ("of: optics, part: ps-a, count: 1", "spares[0].part", "of and part are both stated", "state one"),
        ("count: 1", "spares[0]", "neither of nor part is stated", "add one"),
        ("of: optics, count: 1, percent: 5", "spares[0].percent", "count and percent are both stated", "state one"),
        ("of: optics", "spares[0]", "neither count nor percent is stated", "add one"),
        ("part: ps-b, count: 1", "spares[0].part", '"ps-b" is no part', 'did you mean "ps-a"?'),
        ("part: zzz, count: 1", "spares[0].part", '"zzz" is no part', "write a part number of the catalog"),
        ("part: right, count: 1", "spares[0].part", '"right" is nothing that a spare is kept of', "supplies"),
        ("part: right, count: 1", "spares[0].part", "it is a licence, and no hardware", "attenuators"),
        ("part: contract, count: 1", "spares[0].part", "it is a support contract, and no hardware", "rack kits"),
        ("part: two-supplies, count: 1", "spares[0].part", "several parts under one number", "what is in it: ps-a"),
        ("of: optic, count: 1", "spares[0].of", '"optic" is not known', '"optics"'),
        ("of: optics, count: -1", "spares[0].count", "too small", "0 or more"),
        ("of: optics, percent: 101", "spares[0].percent", "too large", "100 or less"),
    ],
)
def test_spares_that_cannot_be_meant_are_refused(tmp_path: Path, said: str, key: str, text: str, hint: str) -> None:
    problem = spares(tmp_path, said)
    assert (problem.line, problem.key) == (9, key)
    assert text in problem.text
    assert hint in problem.hint


@pytest.mark.parametrize(
    "part",
    ["ps-a", "u24", '"00123"', "opt-sr", "cord-no", "adapter", "pad", "lead", "rails", "panel", "lug"],
)
def test_spares_of_one_part_or_type_are_read(tmp_path: Path, part: str) -> None:
    order = asked_of(tmp_path, DEMAND + f"spares:\n  - {{part: {part}, percent: 5, ref: 9.1}}\n", PARTS + MORE).order
    assert order.spares == (Spares(part=part.strip('"'), percent=5, ref="9.1"),)
    assert order.statements["spares[0]"].ref == "9.1"


def test_an_unknown_mark_is_refused_with_a_near_one(tmp_path: Path) -> None:
    demand = changed(DEMAND, "  country: NO\n", "  country: NO\n  marks: [CE, UKAC]\n")
    problem = only(lambda: asked_of(tmp_path, demand, MARKED))
    assert (problem.line, problem.key) == (4, "defaults.marks[1]")
    assert problem.text == '"UKAC" is no mark that this catalog knows'
    assert problem.hint == 'did you mean "UKCA"?'


def test_kinds_of_which_no_marks_are_known_are_told(tmp_path: Path) -> None:
    demand = changed(DEMAND, "  country: NO\n", "  country: NO\n  marks: [CE]\n")
    told = {one.key: one.text for one in asked_of(tmp_path, demand, MARKED).assumptions}
    assert told["marks"] == "the catalog states no marks of units, optics, cords: any will do"
    assert "marks" not in {one.key for one in asked_of(tmp_path, DEMAND, MARKED).assumptions}
