"""A small catalog to be filled, orders on it, and their answers: for orders worked out by hand."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from configurator.demand import Devices, Spares, Stack, Uplinks
from configurator.engine.order import solve_order
from configurator.setting import Ask, OrderAsk
from configurator.solved import SolvedOrder
from configurator.verify import verify, verify_order
from configurator_rules import RULES
from tests.oracles.draft import Draft
from tests.oracles.order_worlds import sold_so
from tests.oracles.random_worlds import make_ask

Quantities = dict[str, tuple[int, int]]  # pack size and least quantity


def shop(*, ports: int = 4, cages: int = 4, **unit_type: Any) -> Draft:
    """Type T with copper ports and cages; chains of T by cable SC, for 1; optic O, for 10."""
    draft = Draft()
    draft.add("families", id="F", largest_stack=4, topologies=("chain",), two_unit_links=(1,))
    draft.add("supplies", 1, id="fixed", outputs=[dict(from_v=100, to_v=240, output_w=500)])
    draft.add("cables", 1, id="SC", kind="stacking", length_m=2, near="SK", far="SK", speeds_mbps=(80_000,))
    draft.add("optics", 10, id="O", form="SFP+", speeds_mbps=(10_000,), interface="10GBASE-SR", connector="LC",
              reaches=[dict(fibre="OM4", max_m=400)])  # fmt: skip
    draft.add("cables", 12, id="D", kind="passive twinax", length_m=3, near="SFP+", far="SFP+", speeds_mbps=(10_000,))
    draft.add("optics_matrix", cage="c", takes=("O", "D"))
    groups = [
        dict(id="p", count=ports, connector="RJ45", speeds_mbps=(1000,)),
        dict(id="up", count=cages, connector="SFP+", cage="c", speeds_mbps=(10_000,)),
        dict(id="rear", count=2, connector="SK", speeds_mbps=(80_000,), roles=("stack",)),
    ]
    own: dict[str, Any] = dict(id="T", description="-", family="F", base_draw_w=10, ports=groups)
    own |= {} if "supply_bays" in unit_type else {"built_in_supply": "fixed"}
    draft.add("unit_types", **own, **unit_type)
    return draft


def licence(draft: Draft, number: str, price_minor: int, *features: str, scope: str = "unit") -> None:
    """A licence for good, and its features."""
    known = {row["id"] for row in draft.rows.get("features", [])}
    for name in features:
        if name not in known:
            draft.add("features", id=name, description="-")
    draft.add("licences", price_minor, id=number, features=features, scope=scope)


def stack(desks: int, uplinks: int = 0, *, name: str = "one", copies: int = 1, **wishes: Any) -> Ask:
    """A stack with so many plain devices and uplinks; `locks` of the devices need encryption."""
    locks = wishes.pop("locks", 0)
    devices = [Devices(kind="desk", count=desks - locks)] if desks > locks else []
    if locks:
        devices.append(Devices(kind="lock", count=locks, features=("encryption",)))
        wishes["port_features"] = ("encryption",)
    links = (
        (Uplinks(count=uplinks, speed_mbps=10_000, fibre="OM4", far_form="SFP+", length_m=Decimal(2)),)
        if uplinks
        else ()
    )
    positions = wishes.pop("rack_positions", None)
    said = Stack(name=name, copies=copies, devices=tuple(devices), uplinks=links, rack_positions=positions)
    return make_ask(said, **wishes)


def solved(draft: Draft, *asks: Ask, spares: Iterable[Spares] = (), sold: Quantities | None = None) -> SolvedOrder:
    """The cheapest order, proved, with which no check finds fault."""
    catalog, order = sold_so(draft.catalog(), sold or {}), OrderAsk(asks, tuple(spares))
    found = solve_order(order, catalog, RULES)
    assert found.status == "cheapest"
    assert found.order is not None
    assert found.price_minor == found.bound_minor
    asked = {ask.stack.name: ask for ask in asks}
    for one in found.order.stacks:
        assert verify(one.build, asked[one.build.stack], catalog, RULES) == ()
    assert verify_order(found.order, order, catalog, RULES) == ()
    return found


def lines(found: SolvedOrder) -> dict[str, int]:
    """What is ordered, by part number."""
    assert found.order is not None
    return {line.part: line.count for line in found.order.ordered}
