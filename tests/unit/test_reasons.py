"""Why a part is on the bill: a rule that holds anyway is the reason only where its cause was asked for."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from configurator.engine.search import solve_stack
from configurator.setting import Statement
from configurator_rules import RULES
from tests.unit.small_shop import shop, stack

HEADROOM = "power.headroom"


def reasons(said: dict[str, bool], **wishes: Any) -> list[tuple[str, str | None]]:
    """Rules and statements behind the supplies of one unit that draws 10 W; `said`: which statements are assumed."""
    draft = shop(supply_bays=dict(count=2, takes=("S",)))
    draft.add("supplies", 20, id="S", outputs=[dict(from_v=100, to_v=240, output_w=15)])
    draft.add("boxes", 100, id="BOX", unit="T")
    told = {key: Statement(key, key, assumed=assumed) for key, assumed in said.items()}
    found = solve_stack(stack(1, statements=told, **wishes), draft.catalog(), RULES)
    return [(reason.rule, reason.statement) for reason in found.reasons["S"]]


@pytest.mark.parametrize(
    ("said", "wishes", "statement"),
    [
        ({"headroom_w": False}, dict(headroom_w=Decimal(8)), "headroom_w"),
        ({"headroom_w_percent": False}, dict(headroom_w_percent=50), "headroom_w_percent"),
        ({"headroom_w": True, "headroom_w_percent": False}, dict(headroom_w_percent=50), "headroom_w_percent"),
        ({"headroom_w": False, "headroom_w_percent": True}, dict(headroom_w=Decimal(8)), "headroom_w"),
    ],
)
def test_headroom_in_watts_or_in_percent_is_a_reason(
    said: dict[str, bool], wishes: dict[str, Any], statement: str
) -> None:
    assert (HEADROOM, statement) in reasons(said, **wishes)


def test_headroom_that_nobody_asked_for_is_no_reason() -> None:
    assumed = {"headroom_w": True, "headroom_w_percent": True}
    for said in ({}, assumed, {"input_v": False, "devices[0]": False, **assumed}):
        assert HEADROOM not in [rule for rule, _ in reasons(said)]


def test_what_is_asked_on_the_loss_of_a_supply_is_a_reason() -> None:
    """Its other statements are the customer's own all the same."""
    own = {"on_supply_loss": False, "devices[0]": False}
    assert ("power.supply_loss", "on_supply_loss") in reasons(own, on_supply_loss="carries_all")
    assumed = {"on_supply_loss": True, "devices[0]": False}
    assert "power.supply_loss" not in [rule for rule, _ in reasons(assumed)]
