"""IEEE 802.3 clauses 33 and 145: what a port gives to each class, and what is sure to reach the device."""

from __future__ import annotations

from decimal import Decimal

import pytest

from configurator.parts import PoeClassRow
from tests.published.figures import demo_parts, rows, said

CLASSES = demo_parts().poe_classes
CLAUSE_33 = {0, 1, 2, 3, 4}  # which clause the tool follows: what a port reserves differs for classes 2 and 3


def published(poe_class: int) -> dict[str, str]:
    clause = "33" if poe_class in CLAUSE_33 else "145"
    (row,) = [row for row in rows("poe_classes") if (row["class"], row["clause"]) == (str(poe_class), clause)]
    return row


def test_every_class_is_there() -> None:
    assert [row.poe_class for row in CLASSES] == list(range(9))


@pytest.mark.parametrize("ours", CLASSES, ids=lambda row: f"class {row.poe_class}")
def test_watts_of_a_class_are_the_standards(ours: PoeClassRow) -> None:
    row = published(ours.poe_class)
    assert ours.port_w == Decimal(row["pse_w"]), said(row)
    assert ours.device_w == Decimal(row["pd_w"]), said(row)


@pytest.mark.parametrize("ours", CLASSES, ids=lambda row: f"class {row.poe_class}")
def test_what_the_cable_eats_explains_the_device_watts(ours: PoeClassRow) -> None:
    """Port volts and loop ohms are from memory; with them every tabulated device power comes out."""
    eaten_w = (ours.port_w / ours.port_min_v) ** 2 * ours.loop_ohm
    assert abs(ours.port_w - eaten_w - ours.device_w) < Decimal("0.07"), said(published(ours.poe_class))


@pytest.mark.parametrize("ours", CLASSES, ids=lambda row: f"class {row.poe_class}")
def test_the_loop_is_that_of_the_class(ours: PoeClassRow) -> None:
    """Power over four pairs halves the loop's resistance."""
    row = published(ours.poe_class)
    assert ours.loop_ohm == Decimal(row["channel_loop_ohm"]), said(row)
