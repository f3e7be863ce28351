"""What builds are measured by, worked out by hand: ports in each other's way, PoE limits, terms, delivery."""

from __future__ import annotations

from typing import Any

import pytest

from configurator.build import Along, Bought, Build, BuiltUnit, FittedModule, FittedSupply, PortUse, SplitPort
from configurator.catalog import Catalog
from configurator.choices.cheapest import cheapest_builds
from configurator.choices.measures import MEASURES, delivery_days, rack_units, support_months
from configurator.choices.spare_ports import spare_ports
from configurator.choices.substance import substance_of
from configurator.choices.walk import walked
from configurator.choices.watts_left import watts_left_dw
from configurator.engine.search import solve_stack
from configurator.setting import Ask
from configurator_rules import RULES
from tests.rules.worlds import cage, group, make_ask, make_catalog, optic, part, unit_type
from tests.unit.small_shop import shop, stack


def use(name: str, port: int, **said: Any) -> PortUse:
    """A port in use for the first devices."""
    return PortUse.model_validate(
        {"group": name, "port": port, "statement": "devices[0]", "speed_mbps": 1000, **said},
    )


def of_one(*uses: PortUse, **said: Any) -> Build:
    """A build of one unit of type T."""
    return Build(stack="one", units=(BuiltUnit(position=1, unit_type="T", box="B", uses=uses, **said),))


# --- spare ports ------------------------------------------------------------------------------------------


def test_ports_that_stack_or_are_split_are_not_spare() -> None:
    """24 + 4 network ports; two in use, one split, two stack: 23 are left.  Ports that only stack never count."""
    catalog = make_catalog(
        unit_types=[
            unit_type(
                group("p", 24), cage("up", 4, roles=["network", "split", "stack"]), group("rear", 2, roles=["stack"])
            )
        ]
    )
    build = of_one(
        use("p", 1),
        use("p", 2),
        use("up", 3, way=1),
        splits=(SplitPort(group="up", port=3, parts=("Y",)),),
        stack_group="up",
        stack_ports=(1, 2),
    )
    assert spare_ports(build, catalog) == 22 + 1


def test_ports_of_modules_count() -> None:
    catalog = make_catalog(
        unit_types=[unit_type(group("p", 8), module_slots=[{"id": "1", "takes": ["M"]}])],
        modules=[part("M", ports=[cage("up", 2)])],
    )
    fitted = (FittedModule(slot="1", module="M"),)
    assert spare_ports(of_one(use("p", 1)), catalog) == 7
    assert spare_ports(of_one(use("p", 1), modules=fitted), catalog) == 9


def test_groups_that_share_their_innards_count_as_many_as_work_at_once() -> None:
    """Of 8 + 4 ports eight work at once; three are in use."""
    shared = [{"groups": ["p", "combo"], "at_most": 8}]
    catalog = make_catalog(unit_types=[unit_type(group("p", 8), cage("combo", 4), shared_ports=shared)])
    assert spare_ports(of_one(use("p", 1), use("p", 2), use("combo", 1)), catalog) == 5
    assert spare_ports(of_one(), catalog) == 8


@pytest.mark.parametrize(("used", "spare"), [("few", 3), ("many", 7), (None, 8)])
def test_of_roles_that_exclude_each_other_the_one_in_use_counts(used: str | None, spare: int) -> None:
    """Four ports or eight; nothing is in use: the larger side."""
    pair = ({"group": "few", "role": "network"}, {"group": "many", "role": "network"})
    catalog = make_catalog(unit_types=[unit_type(cage("few", 4), cage("many", 8), excludes=[pair])])
    assert spare_ports(of_one(*([use(used, 1)] if used else [])), catalog) == spare


def test_a_group_that_stacking_excludes_is_not_spare() -> None:
    pair = ({"group": "rear", "role": "stack"}, {"group": "up", "role": "network"})
    types = [unit_type(group("p", 8), cage("up", 4), group("rear", 2, roles=["stack"]), excludes=[pair])]
    catalog = make_catalog(unit_types=types)
    assert spare_ports(of_one(use("p", 1)), catalog) == 7 + 4
    assert spare_ports(of_one(use("p", 1), stack_group="rear", stack_ports=(1, 2)), catalog) == 7


# --- watts left -------------------------------------------------------------------------------------------


def powered(**said: Any) -> tuple[Catalog, Ask, Build]:
    """Supplies of 300 W in two bays, 50 W of its own, two devices of class 4 (30 W each), an optic of 1.5 W."""
    bays = {"supply_bays": {"count": 2, "takes": ["S"]}}
    catalog = make_catalog(
        unit_types=[unit_type(group("p", 8, poe_class=4), cage("up", 2), **bays, **said)],
        supplies=[part("S", outputs=[{"from_v": 100, "to_v": 240, "output_w": 300}])],
        optics=[optic("O", draw_w="1.5")],
        poe_classes=[{"poe_class": 4, "port_w": 30, "device_w": "25.5", "port_min_v": 50, "loop_ohm": "12.5"}],
    )
    ask = make_ask(
        devices=[{"kind": "camera", "count": 2, "poe_class": 4}],
        uplinks=[{"count": 1, "speed_mbps": 10_000, "fibre": "OM4"}],
        input_v=230,
    )
    cameras = [use("p", port, powered=True) for port in (1, 2)]
    uplink = use("up", 1, statement="uplinks[0]", speed_mbps=10_000, plug="O")
    supplies = (FittedSupply(bay=1, supply="S"), FittedSupply(bay=2, supply="S"))
    return catalog, ask, of_one(*cameras, uplink, supplies=supplies)


def left_w(**said: Any) -> float | None:
    catalog, ask, build = powered(**said)
    found = watts_left_dw(build, ask, catalog)
    return None if found is None else found / 10


def test_watts_left_are_the_supplies_output_less_all_that_is_drawn() -> None:
    """600 - 50 - 2 x 30 - 1.5."""
    assert left_w() == 488.5


def test_where_a_cap_on_poe_is_less_it_binds() -> None:
    """100 - 60 - 1.5; a cap of 1000 W is more than 550 W, so it binds nothing."""
    assert left_w(poe_cap_w=100) == 38.5
    assert left_w(poe_cap_w=1000) == 488.5


def test_of_a_type_with_a_poe_table_its_row_binds() -> None:
    """720 W for two supplies, whatever they give: 720 - 60 - 1.5."""
    table = [{"supplies": ["S"], "poe_w": 240}, {"supplies": ["S", "S"], "poe_w": 720}]
    assert left_w(poe_table=table) == 658.5


def test_watts_left_of_a_unit_without_supplies_in_the_catalog_are_not_known() -> None:
    catalog = make_catalog(unit_types=[unit_type(group("p", 8))])
    assert watts_left_dw(of_one(use("p", 1)), make_ask(devices=[{"kind": "desk", "count": 1}]), catalog) is None


# --- the rest -----------------------------------------------------------------------------------------------


def test_support_lasts_as_long_as_the_shortest_contract() -> None:
    """One unit has 36 months, the other a contract by the month 24 times; a parts contract is no unit's."""
    catalog = make_catalog(
        unit_types=[unit_type(group("p", 8))],
        support_levels=[{"id": "basic", "rank": 0}],
        support=[
            part("C36", level="basic", term_months=36),
            part("M", level="basic", term_months=60, by_month=True),
            part("P", level="basic", term_months=60, covers_parts=["O"]),
        ],
        optics=[optic("O")],
    )
    lines = (("C36", 1), ("M", 24), ("P", 1))
    along = {name: Along(slot="support", part=name, count=count) for name, count in lines}

    def built(*held: tuple[str, ...]) -> Build:
        units = [
            BuiltUnit(position=n, unit_type="T", box="B", along=tuple(along[name] for name in names))
            for n, names in enumerate(held, start=1)
        ]
        return Build(stack="one", units=tuple(units))

    assert support_months(built(("C36", "P"), ("M", "P")), catalog) == 24
    assert support_months(built(("C36",)), catalog) == 36
    assert support_months(built(("C36",), ("P",)), catalog) == 0


def test_height_and_delivery() -> None:
    catalog = make_catalog(unit_types=[unit_type(group("p", 8), rack_units=2)], boxes=[part("B", unit="T")])
    build = of_one(bought=(Bought(part="B", count=1),))
    assert (rack_units(build, catalog), delivery_days(build, catalog)) == (2, 10)
    catalog.prices.rows.clear()
    assert delivery_days(build, catalog) is None


# --- alternatives and frontiers -------------------------------------------------------------------------------


def test_the_same_units_in_another_box_are_no_alternative() -> None:
    """A dearer box with the very supply in it: one substance, at its least price; two units are another."""
    draft = shop()
    draft.add("boxes", 100, id="T-A", unit="T")
    draft.add("boxes", 130, id="T-B", unit="T", contents=[{"part": "O"}])
    catalog, ask = draft.catalog(), stack(2)
    found = cheapest_builds(ask, solve_stack(ask, catalog, RULES), 5, catalog, RULES)
    assert [one.price_minor for one in found.builds] == [100, 201]  # and a cable; no more units than devices
    assert (found.every, found.proved, found.next_minor) == (True, True, None)
    assert [dict(substance_of(one.build))["unit", "T"] for one in found.builds if one.build is not None] == [1, 2]


def test_what_costs_the_same_is_told_with_the_price_of_the_next() -> None:
    """Two types that cost alike: the next costs as much as the one listed."""
    draft = shop()
    draft.add("boxes", 100, id="T-A", unit="T")
    draft.rows["unit_types"].append({**draft.rows["unit_types"][0], "id": "U"})
    draft.add("boxes", 100, id="U-A", unit="U")
    catalog, ask = draft.catalog(), stack(1)
    found = cheapest_builds(ask, solve_stack(ask, catalog, RULES), 1, catalog, RULES)
    assert ([one.price_minor for one in found.builds], found.next_minor, found.every) == ([100], 100, False)


def test_of_builds_that_cost_the_same_the_frontier_has_the_best() -> None:
    """A type with more ports for the same money, and one with more still for more: two points, not three."""
    draft = shop(ports=4)
    groups = draft.rows["unit_types"][0]["ports"]
    for name, ports in (("U", 8), ("V", 12)):
        more = [{**groups[0], "count": ports}, *groups[1:]]
        draft.rows["unit_types"].append({**draft.rows["unit_types"][0], "id": name, "ports": more})
    for name, price in (("T", 100), ("U", 100), ("V", 150)):
        draft.add("boxes", price, id=f"{name}-A", unit=name)
    catalog, ask = draft.catalog(), stack(1)
    found = walked(ask, MEASURES["spare-ports"], 10, catalog, RULES)
    assert [(one.solved.price_minor, one.value) for one in found.points] == [(100, 8 + 4 - 1), (150, 12 + 4 - 1)]
    assert (found.cut_off, found.proved) == (False, True)
    first = walked(ask, MEASURES["spare-ports"], 1, catalog, RULES)
    assert (len(first.points), first.cut_off) == (1, True)
