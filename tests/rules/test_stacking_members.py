"""Units of a stack are of one family, or of families that list each other."""

from __future__ import annotations

from typing import Any

from configurator.catalog import Catalog
from tests.rules.power_world import found
from tests.rules.stacking_world import catalog, family, member, ring, stacking_type
from tests.rules.worlds import make_ask

RULE = "stacking.members"
MIXED = ring([member(1), member(2, "NEW"), member(3)])


def families(of_f: list[str], of_g: list[str], **said: Any) -> Catalog:
    """Families F and G, and which others each lists; type T is of F, type NEW of G."""
    both = [family("F", stacks_with=of_f), family("G", stacks_with=of_g)]
    return catalog(stacking_type(), stacking_type("NEW", family="G"), **{"families": both, **said})


def test_units_of_one_family_stack() -> None:
    """Two types of family F."""
    both = catalog(stacking_type(), stacking_type("NEW"))
    assert found(MIXED, make_ask(), both) == {}


def test_families_that_list_each_other_stack() -> None:
    """F lists G, and G lists F."""
    assert found(MIXED, make_ask(), families(["G"], ["F"])) == {}


def test_strangers_do_not_stack() -> None:
    """Neither family lists the other."""
    assert found(MIXED, make_ask(), families([], ["H"])) == {
        RULE: [
            "F stacks with no other family, the stack also has G",
            "G stacks with H, the stack also has F",
        ]
    }


def test_one_list_is_not_enough() -> None:
    """F lists G, but G doesn't list F."""
    assert found(MIXED, make_ask(), families(["G"], [])) == {
        RULE: ["G stacks with no other family, the stack also has F"]
    }


def test_each_pair_of_three_families_counts() -> None:
    """F stacks with G and with H, but G and H don't know each other."""
    three = [
        family("F", stacks_with=["G", "H"]),
        family("G", stacks_with=["F"]),
        family("H", stacks_with=["F"]),
    ]
    types = (stacking_type(), stacking_type("NEW", family="G"), stacking_type("THIRD", family="H"))
    units = [member(1), member(2, "NEW"), member(3, "THIRD")]
    assert found(ring(units), make_ask(), catalog(*types, families=three)) == {
        RULE: ["G stacks with F, the stack also has H", "H stacks with F, the stack also has G"]
    }
