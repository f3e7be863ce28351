"""Small worlds of licences, contracts and fixings: what `service_brute` can try all of."""

from __future__ import annotations

import random
from decimal import Decimal
from typing import Any

from configurator.catalog import Catalog
from configurator.demand import Devices, Stack, Uplinks
from configurator.setting import Ask, OrderAsk
from tests.oracles.draft import Draft
from tests.oracles.order_worlds import SOLD_SO, OrderWorld, sold_so
from tests.oracles.random_worlds import World, make_ask

ASKED = ("routing", "telemetry")  # of all units
OF_PORTS = "encryption"
TYPES = ("T0", "T1")


def service_world(seed: int) -> World:
    """One stack."""
    rng = random.Random(f"services {seed}")
    catalog = _catalog(rng)
    return World(catalog, _ask(rng, catalog))


def service_order(seed: int) -> OrderWorld:
    """Two stacks, of a catalog on which half of the parts come in packs or least quantities."""
    rng = random.Random(f"service orders {seed}")
    catalog = _catalog(rng)
    asks = [_ask(rng, catalog, name) for name in ("one", "other")]
    said = {part: rng.choice(SOLD_SO) for part in sorted(catalog.by_id) if rng.random() < 0.5}
    return OrderWorld(sold_so(catalog, said), OrderAsk(tuple(asks)))


def _catalog(rng: random.Random) -> Catalog:
    draft = Draft()
    draft.add("families", id="F", largest_stack=rng.choice((2, 3)), topologies=("chain",), two_unit_links=(1,),
              support_alike=rng.random() < 0.4)  # fmt: skip
    draft.add("supplies", 1, id="fixed", outputs=[dict(from_v=100, to_v=240, output_w=500)])
    draft.add("cables", rng.randint(2, 20), id="SC", kind="stacking", length_m=2, near="SK", far="SK",
              speeds_mbps=(80_000,))  # fmt: skip
    optics = [
        draft.add(
            "optics",
            rng.randint(5, 40),
            id=name,
            form="SFP+",
            speeds_mbps=(10_000,),
            interface="10GBASE-SR",
            connector="LC",
            reaches=[dict(fibre="OM4", max_m=400)],
        )
        for name in ("OX", "OY")[: rng.choice((1, 2))]
    ]
    draft.add("optics_matrix", cage="c", takes=optics)
    loose = [*_licences(draft, rng), *_support(draft, rng, optics), *_fixings(draft, rng), *optics, "SC"]
    with_slots = rng.random() < 0.4
    brings = rng.choice(("KIT", "M", "any", None, None) if with_slots else ("KIT", "any", None, None))
    if with_slots:
        loose.append(draft.add("blanks", rng.randint(1, 20), id="BLANK", fills="module slot", unit_types=_types(rng)))
        module = dict(ports=[dict(id="p", count=2, connector="RJ45", speeds_mbps=(1000,))])
        contents = _contents(rng, loose) if brings == "M" else []
        loose.append(draft.add("modules", rng.randint(10, 60), id="M", contents=contents, **module))
    if brings == "any":
        chosen = rng.choice([row for kind in ("licences", "support", "rack_kits") for row in draft.rows.get(kind, ())])
        chosen["contents"] = [one for one in _contents(rng, loose) if one["part"] != chosen["id"]]
    for name in TYPES[: rng.choice((1, 2))]:
        _unit_type(draft, rng, name, loose)
    if brings == "KIT":
        draft.add("kits", rng.randint(10, 60), id="KIT", contents=_contents(rng, loose))
    return draft.catalog()


def _types(rng: random.Random) -> tuple[str, ...]:
    """Types that something is for; mostly all."""
    return () if rng.random() < 0.6 else rng.choice((("T0",), ("T1",), TYPES))


def _licences(draft: Draft, rng: random.Random) -> list[str]:
    draft.add("features", id="routing", description="-", **_limits(rng))
    draft.add("features", id="telemetry", description="-", licensed=rng.random() < 0.9)
    draft.add("features", id=OF_PORTS, description="-", **_limits(rng))
    names = []
    for scope, most, dearest in (("unit", 3, 60), ("stack", 2, 150), ("port", 2, 20)):
        for index in range(rng.randint(0 if scope != "unit" else 1, most)):
            features = rng.sample((*ASKED, OF_PORTS), rng.choice((1, 1, 2, 3)))
            if scope == "port":
                features = [OF_PORTS]
            term = rng.choice((None, None, 12, 36))
            names.append(
                draft.add(
                    "licences",
                    rng.randint(5, dearest),
                    id=f"L-{scope}-{index}",
                    features=features,
                    scope=scope,
                    unit_types=_types(rng),
                    term_months=term,
                )
            )
    for index in range(rng.choice((0, 1, 2))):
        features = rng.sample((*ASKED, OF_PORTS), rng.choice((0, 0, 1, 2)))
        names.append(
            draft.add(
                "licences",
                rng.randint(10, 60),
                id=f"SUB-{index}",
                features=features,
                scope="unit",
                term_months=rng.choice((12, 36)),
            )
        )
    return names


def _limits(rng: random.Random) -> dict[str, Any]:
    """Which types can do something, and which releases have it; mostly all."""
    return dict(unit_types=_types(rng), releases=rng.choice(((), (), (), ("1",), ("2",), ("1", "2"))))


def _support(draft: Draft, rng: random.Random, optics: list[str]) -> list[str]:
    for rank, level in enumerate(("basic", "better")):
        draft.add("support_levels", id=level, rank=rank)
    names = []
    for index in range(rng.randint(1, 4)):
        months = rng.choice((12, 36))
        by_month = rng.random() < 0.25
        price = rng.randint(1, 4) if by_month else rng.randint(5, 60)
        names.append(
            draft.add(
                "support",
                price,
                id=f"C-{index}",
                level=rng.choice(("basic", "better")),
                term_months=months,
                by_month=by_month,
                covers_optics=rng.random() < 0.4,
                unit_types=_types(rng),
            )
        )
    for index in range(rng.choice((0, 1, 2))):
        names.append(
            draft.add(
                "support",
                rng.randint(2, 20),
                id=f"P-{index}",
                level="basic",
                term_months=rng.choice((12, 36)),
                covers_parts=rng.sample(optics, rng.randint(1, len(optics))),
            )
        )
    return names


def _fixings(draft: Draft, rng: random.Random) -> list[str]:
    names = [
        draft.add("rack_kits", rng.randint(2, 20), id=f"R-{posts}-{index}", posts=posts, unit_types=_types(rng))
        for index in range(rng.choice((0, 1, 2)))
        for posts in (2, 4)
    ]
    return [*names, draft.add("lugs", rng.randint(1, 9), id="LUG")]


def _unit_type(draft: Draft, rng: random.Random, name: str, loose: list[str]) -> None:
    subscriptions = [one["id"] for one in draft.rows["licences"] if one["id"].startswith("SUB")]
    draft.add(
        "unit_types", id=name, description=name, family="F", base_draw_w=10, built_in_supply="fixed",
        ports=[
            dict(id="p", count=rng.choice((2, 3, 4)), connector="RJ45", speeds_mbps=(1000,)),
            dict(id="up", count=rng.choice((1, 2)), connector="SFP+", cage="c", speeds_mbps=(10_000,)),
            dict(id="rear", count=2, connector="SK", speeds_mbps=(80_000,), roles=("stack",)),
        ],
        features=rng.sample((*ASKED, OF_PORTS), rng.choice((0, 0, 0, 1))),
        releases=rng.choice(((), (), ("1",), ("1", "2"))),
        subscriptions=subscriptions if rng.random() < 0.4 else (),
        module_slots=[dict(id="1", takes=["M"])] if "M" in loose and rng.random() < 0.7 else (),
    )  # fmt: skip
    price = rng.randint(50, 150)
    draft.add("boxes", price, id=f"{name}-A", unit=name)
    for letter in "BC"[: rng.choice((0, 1, 1, 2))]:
        draft.add("boxes", price + rng.randint(0, 60), id=f"{name}-{letter}", unit=name, contents=_contents(rng, loose))


def _contents(rng: random.Random, loose: list[str]) -> list[dict[str, Any]]:
    return [
        dict(part=part, count=rng.choice((1, 1, 2, 5)), movable=rng.random() < 0.5)
        for part in rng.sample(loose, min(len(loose), rng.randint(1, 3)))
    ]


def _ask(rng: random.Random, catalog: Catalog, name: str = "closet") -> Ask:
    devices = [Devices(kind="desk", count=rng.randint(1, 5))]
    if rng.random() < 0.5:
        devices.append(Devices(kind="lock", count=rng.randint(1, 3), features=(OF_PORTS,)))
    uplinks = (Uplinks(count=rng.choice((1, 2)), speed_mbps=10_000, over="fibre", fibre="OM4", length_m=Decimal(30)),)
    support = rng.random() < 0.6
    stack = Stack(name=name, devices=tuple(devices), uplinks=uplinks if rng.random() < 0.5 else ())
    return make_ask(
        stack,
        features=tuple(rng.sample(ASKED, rng.choice((0, 1, 1, 2)))),
        port_features=(OF_PORTS,) if len(devices) > 1 else (),
        licence_months=rng.choice((None, None, 24)),
        release=rng.choice((None, None, None, None, "1", "2")),
        support_level=rng.choice(("basic", "better")) if support else None,
        support_months=rng.choice((None, 12, 24)) if support else None,
        optics_covered=support and rng.random() < 0.5,
        rack_posts=rng.choice((None, None, 2, 4)) if catalog.parts.rack_kits else None,
        earthing_lugs=rng.random() < 0.3,
    )
