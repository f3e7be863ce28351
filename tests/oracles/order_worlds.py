"""Small orders of several stacks, with packs, least quantities and cold spares, and the rules for these."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from configurator.catalog import Catalog, PriceRow
from configurator.demand import Spares
from configurator.fields import Content
from configurator.setting import Ask, OrderAsk
from tests.oracles.draft import make_catalog, prices_of
from tests.oracles.port_worlds import port_ask, port_world
from tests.oracles.tiny_worlds import tiny_ask, tiny_world

SOLD_SO = ((1, 1), (1, 1), (2, 1), (3, 1), (5, 1), (10, 1), (1, 2), (1, 4), (2, 3), (4, 6))  # pack, least quantity
KINDS = ("units", "supplies", "fan trays", "modules", "optics", "cables", "cords")


@dataclass(frozen=True)
class OrderWorld:
    """A catalog and an order on it."""

    catalog: Catalog
    order: OrderAsk


def order_world(seed: int, stacks: int = 3) -> OrderWorld:
    """An order of up to so many stacks, copies counted, on a tiny catalog."""
    rng = random.Random(f"order {seed}")  # not the draws that the catalog is made of
    ports = rng.random() < 0.3
    one = port_world(seed) if ports else tiny_world(seed)
    asks: list[Ask] = [one.ask]
    while sum(ask.stack.copies for ask in asks) < rng.randint(1, stacks):
        left = stacks - sum(ask.stack.copies for ask in asks)
        ask = rng.choice(asks) if rng.random() < 0.2 else port_ask(rng) if ports else tiny_ask(rng, one.catalog)
        stack = ask.stack.model_copy(update=dict(name=f"stack {len(asks)}", copies=rng.randint(1, left)))
        asks.append(replace(ask, stack=stack))
    stuffed = _stuffed(rng, one.catalog) if rng.random() < 0.5 else one.catalog
    catalog = sold_so(stuffed, {part: _sold_so(rng, part, stuffed) for part in sorted(stuffed.by_id)})
    spares = tuple(_spares(rng, catalog) for _ in range(rng.choice((0, 0, 1, 2))))
    return OrderWorld(catalog, OrderAsk(tuple(asks), spares))


def _sold_so(rng: random.Random, part: str, catalog: Catalog) -> tuple[int, int]:
    """Pack and least quantity; boxes are mostly sold one by one."""
    a_box = any(box.id == part for box in catalog.parts.boxes)
    return (1, 1) if rng.random() < (0.9 if a_box else 0.5) else rng.choice(SOLD_SO)


def _stuffed(rng: random.Random, catalog: Catalog) -> Catalog:
    """The catalog with something more in each box, mostly of one kind, and some dear parts."""
    parts = catalog.parts
    kinds = [kind for kind in (parts.supplies, parts.optics, parts.cables, parts.cords, parts.cords) if kind]
    loose = [part.id for part in rng.choice(kinds)]
    boxes = tuple(
        box.model_copy(
            update=dict(
                contents=(
                    *(content for content in box.contents if content.part != more),
                    Content(part=more, count=rng.choice((1, 2)), movable=rng.random() < 0.3),
                )
            )
        )
        for box in parts.boxes
        for more in [rng.choice(loose)]
    )
    prices = {part: price * rng.choice((1, 1, 1, 5, 20)) for part, price in sorted(prices_of(catalog).items())}
    return make_catalog(parts.model_copy(update=dict(boxes=boxes)), prices)


def _spares(rng: random.Random, catalog: Catalog) -> Spares:
    """Of a kind or of one part, mostly of something that lies in boxes."""
    parts = catalog.parts
    loose = {kind: [part.id for part in getattr(parts, kind.replace(" ", "_"))] for kind in KINDS if kind != "units"}
    boxed = {content.part for box in parts.boxes for content in box.contents}
    kinds = [kind for kind, names in loose.items() if boxed.intersection(names)]
    what: dict[str, Any] = dict(of=rng.choice([*KINDS, *kinds, *kinds]))
    if rng.random() < 0.3:
        what = dict(part=rng.choice([*(name for names in loose.values() for name in names), *sorted(boxed)]))
    many = dict(count=rng.randint(1, 3)) if rng.random() < 0.6 else dict(percent=rng.choice((10, 34, 50, 100)))
    return Spares.model_validate({**what, **many})


def sold_so(catalog: Catalog, quantities: Mapping[str, tuple[int, int]]) -> Catalog:
    """The catalog with packs and least quantities in its price list, and nothing remembered."""
    rows: dict[str, PriceRow] = {}
    for part, row in catalog.prices.rows.items():
        pack, least = quantities.get(part, (row.pack_size, row.least_quantity))
        rows[part] = row.model_copy(update=dict(pack_size=pack, least_quantity=least))
    return Catalog(catalog.parts, replace(catalog.prices, rows=rows), catalog.name)
