"""How many people lift a unit: the figures of two published guides."""

from __future__ import annotations

from fractions import Fraction

import pytest

from configurator.cautions import ONE_PERSON_KG, TEAMS
from tests.published.figures import rows, said

ROWS = {row["quantity"]: row for row in rows("lifting")}


def test_one_person_lifts_the_load_constant() -> None:
    row = ROWS["load constant"]
    assert int(row["value"]) == ONE_PERSON_KG, said(row)


@pytest.mark.parametrize(("team", "people"), [("team of two", 2), ("team of three", 3)])
def test_a_team_lifts_its_share_of_the_sum(team: str, people: int) -> None:
    row = ROWS[team]
    assert TEAMS[people - 1] == people * Fraction(row["value"]), said(row)
    assert TEAMS[0] == 1
