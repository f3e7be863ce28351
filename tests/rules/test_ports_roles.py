"""A port takes only a role its group may take, and roles that exclude each other don't meet in a unit."""

from __future__ import annotations

from configurator_rules.ports.roles import RULE
from tests.rules.worlds import (
    breaches,
    build,
    cage,
    group,
    make_ask,
    make_catalog,
    part,
    split,
    unit,
    unit_type,
    uplink,
    use,
)

EXCLUDES = [[{"group": "rear", "role": "stack"}, {"group": "up", "role": "split"}]]
CATALOG = make_catalog(
    unit_types=[
        unit_type(
            group("access", 8),
            cage("rear", 2, roles=["stack", "network"]),
            cage("ring", 2, roles=["stack"]),
            module_slots=[{"id": "S", "takes": ["M"]}],
            excludes=EXCLUDES,
        )
    ],
    modules=[part("M", ports=[cage("up", 4, roles=["network", "split"])])],
)
ASK = make_ask(ports=[{"count": 1}], uplinks=[{"count": 4, "speed_mbps": "10G"}])
MODULES = [{"slot": "S", "module": "M"}]


def test_roles_that_groups_may_take() -> None:
    """A module's port split, and rear ports that carry the network; or rear ports that stack, and none split."""
    splits = [split("up", 1, "FAN").model_copy(update={"slot": "S"})]
    one = unit(use("access", 1), uplink("up", 1, slot="S", way=1), uplink("rear", 1), splits=splits, modules=MODULES)
    two = unit(uplink("up", 1, slot="S"), stack_group="rear", modules=MODULES, position=2)
    assert breaches(RULE, build(one, two), ASK, CATALOG) == []


def test_a_stacking_port_carries_no_network() -> None:
    bad = unit(uplink("ring", 1))
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: ports of ring are in the role network, their roles are stack"
    ]


def test_a_port_that_cant_be_split() -> None:
    bad = unit(uplink("rear", 2, way=1), splits=[split("rear", 2, "FAN")])
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: ports of rear are in the role split, their roles are stack or network"
    ]


def test_an_access_port_doesnt_stack() -> None:
    bad = unit(stack_group="access")
    assert breaches(RULE, build(bad), ASK, CATALOG) == [
        "unit 1: ports of access are in the role stack, their roles are network"
    ]


def test_stacking_excludes_splitting_where_the_type_says_so() -> None:
    """Each role alone is fine; the two together on one unit are not, wherever the groups sit."""
    splits = [split("up", 1, "FAN").model_copy(update={"slot": "S"})]
    bad = unit(uplink("up", 1, slot="S", way=1), splits=splits, stack_group="rear", modules=MODULES, position=3)
    assert breaches(RULE, build(bad), ASK, CATALOG) == ["unit 3: rear in the role stack excludes up in the role split"]
