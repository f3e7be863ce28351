"""Every unit of a stack has stacking ports for two links, all of one connector."""

from __future__ import annotations

from tests.rules.power_world import found
from tests.rules.stacking_world import STACK, alone, catalog, family, link, member, ring, stack, stacking_type
from tests.rules.worlds import cage, group, make_ask, part

RULE = "stacking.ports"


def test_each_unit_stacks_through_its_two_ports() -> None:
    """Three units with two stacking ports each make a ring."""
    assert found(ring(3), make_ask(), catalog()) == {}


def test_ports_of_a_module_stack_as_well() -> None:
    """The second unit has its stacking ports on a module in slot S."""
    slots = [{"id": "S", "takes": ["M"]}]
    own = stacking_type("CARD", group("access-2", 24), module_slots=slots)
    modules = {"modules": [part("M", ports=[STACK])]}
    card = member(2, "CARD", stack_slot="S", modules=({"slot": "S", "module": "M"},))
    assert found(ring([member(1), card, member(3)]), make_ask(), catalog(stacking_type(), own, **modules)) == {}
    empty = member(2, "CARD", stack_slot="S")
    texts = found(ring([member(1), empty, member(3)]), make_ask(), catalog(stacking_type(), own, **modules))
    assert texts == {RULE: ["unit 2: CARD stacks through st, which it hasn't, two links take 2"]}


def test_a_unit_without_stacking_ports_does_not_stack() -> None:
    """The second of three units names no ports."""
    units = [member(1), member(2, stack_group=None), member(3)]
    assert found(ring(units), make_ask(), catalog()) == {RULE: ["unit 2: T stacks through no ports, two links take 2"]}


def test_ports_for_the_network_do_not_stack() -> None:
    """Uplink ports of which the catalog doesn't say that they stack."""
    uplinks = stacking_type("T", {**STACK, "roles": ["network"]})
    texts = found(ring(3), make_ask(), catalog(uplinks))
    assert texts == {RULE: [f"unit {position}: ports st of T can't stack" for position in (1, 2, 3)]}


def test_two_links_of_two_cables_take_four_ports() -> None:
    """A family whose links take two cables needs four ports a unit; with two it doesn't stack."""
    double = [family(cables_a_link=2)]
    links = [link(a, b, "C3", "C3") for a, b in ((1, 2), (2, 3), (3, 1))]
    four = catalog(stacking_type("T", {**STACK, "count": 4}), families=double)
    units = [member(position, stack_ports=(1, 2, 3, 4)) for position in (1, 2, 3)]
    assert found(stack(units, "ring", *links), make_ask(), four) == {}
    texts = found(stack(3, "ring", *links), make_ask(), catalog(families=double))
    assert texts == {
        RULE: [f"unit {position}: T stacks through 2 ports st, two links take 4" for position in (1, 2, 3)]
    }


def test_ports_that_are_there_stack() -> None:
    """One port is too few for two links, and a third of two isn't there."""
    assert found(ring([member(1), member(2, stack_ports=(2,)), member(3)]), make_ask(), catalog()) == {
        RULE: ["unit 2: T stacks through 1 ports st, two links take 2"]
    }
    assert found(ring([member(1), member(2, stack_ports=(1, 2, 3)), member(3)]), make_ask(), catalog()) == {
        RULE: ["unit 2: port 3 stacks, T has 2 ports st"]
    }


def test_all_ports_have_one_connector() -> None:
    """One type stacks through ST, the other through SFP+."""
    other = stacking_type("OTHER", cage("st", 2, speeds_mbps=[40_000], roles=["stack"]))
    units = [member(1), member(2, "OTHER"), member(3)]
    texts = found(ring(units), make_ask(), catalog(stacking_type(), other))
    assert texts[RULE] == ["2 connectors in one stack: SFP+, ST"]


def test_two_units_are_a_stack() -> None:
    """The second of two names no ports."""
    ends = (link(1, 2), link(2, 1))
    assert found(stack([member(1), member(2, stack_group=None)], "ring", *ends), make_ask(), catalog()) == {
        RULE: ["unit 2: T stacks through no ports, two links take 2"]
    }


def test_a_unit_alone_stacks_through_none() -> None:
    """Its stacking ports are free for something else."""
    assert found(alone(), make_ask(), catalog()) == {}
    assert found(alone(stack_group="st"), make_ask(), catalog()) == {
        RULE: ["unit 1: the unit stacks through st, alone it stacks with none"]
    }
