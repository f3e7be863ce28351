"""An independent model of a whole order: one block model for each stack and copy, packs and cold spares between them.

Like `blocks` it reads the words anew.  A part is ordered in whole packs and no fewer than its least
quantity; each stack, and each copy, decides for itself.  Cold spares are so many, or so many percent,
of each part (or unit type) that is in service, bought as the part, as something whose contents hold
it, or as a box of the type.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from configurator.catalog import Catalog
from configurator.demand import Spares
from configurator.fields import Part
from configurator.parts import Box
from configurator.setting import Ask, OrderAsk
from tests.oracles.blocks import Blocks, blocks_of
from tests.oracles.linear import Answer, Linear, Term, by_cp_sat, by_mip
from tests.oracles.orders import in_box, orderable

KINDS = {
    "supplies": ("supplies",),
    "fan trays": ("fan_trays",),
    "modules": ("modules",),
    "optics": ("optics",),
    "cables": ("cables", "fibre_cables"),
    "cords": ("cords",),
}


@dataclass(frozen=True)
class LeastOrder:
    """What the oracle says: each stack alone, and all that can be met together."""

    alone: tuple[Answer, ...]
    together: Answer


def least_order(order: OrderAsk, catalog: Catalog, seconds: float = 60.0) -> LeastOrder:
    """The least price of an order for all stacks that can be met."""
    alone, parts = [], []
    for ask in order.asks:
        blocks = blocks_of(ask, catalog)
        alone.append(Answer("impossible") if blocks is None else _least(blocks.model, seconds))
        if blocks is not None and alone[-1].status != "impossible":
            parts += [(ask, blocks)] * ask.stack.copies
    if any(answer.status == "undecided" for answer in alone):
        return LeastOrder(tuple(alone), Answer("undecided"))
    return LeastOrder(tuple(alone), _least(_Together(order, catalog, parts).model, seconds))


def _least(model: Linear, seconds: float) -> Answer:
    """By the MIP solver; what it can't prove, by the other."""
    answer = by_mip(model, seconds)
    return by_cp_sat(model, seconds) if answer.status == "undecided" else answer


class _Together:
    """The blocks of all stacks side by side, and what they order."""

    def __init__(self, order: OrderAsk, catalog: Catalog, parts: Iterable[tuple[Ask, Blocks]]) -> None:
        self.catalog, self.model = catalog, Linear()
        self.wanted: dict[str, list[Term]] = defaultdict(list)  # to be ordered, by part
        self.placed = [(blocks, self._place(blocks)) for _, blocks in parts]
        self.asks = [ask for ask, _ in parts]
        for said in order.spares:
            self._spares(said)
        for name, terms in self.wanted.items():
            self._ordered(name, terms)

    def _place(self, blocks: Blocks) -> int:
        """Copies a stack's model, without its costs; where its first variable is."""
        at = len(self.model.bounds)
        self.model.bounds += blocks.model.bounds
        self.model.names += blocks.model.names
        self.model.costs += [0] * len(blocks.model.bounds)
        for terms, low, high in blocks.model.rows:
            self.model.row(_moved(at, ((c, v) for v, c in terms.items())), low, high)
        for name, bought in blocks.orders.bought.items():
            self.wanted[name] += _moved(at, bought)
        return at

    def _spares(self, said: Spares) -> None:
        """Of each part, or each unit type, that the statement means."""
        for unit_type, boxes in self.catalog.boxes_of.items():
            if said.of == "units" or said.part == unit_type:
                self._shelf(said, unit_type, {box.id: 1 for box in boxes}, unit_type=True)
        if said.of == "units" or said.part in self.catalog.unit_types:
            return
        kinds = KINDS[said.of] if said.of is not None else ()
        names = [part.id for kind in kinds for part in getattr(self.catalog.parts, kind)]
        for name in [said.part] if said.part is not None else names:
            holders = {part.id: _held(part, name) for part in self.catalog.by_id.values() if not isinstance(part, Box)}
            self._shelf(said, name, {name: 1} | {part: count for part, count in holders.items() if count})

    def _shelf(self, said: Spares, name: str, holders: Mapping[str, int], *, unit_type: bool = False) -> None:
        """Enough on the shelf for what is in service."""
        used = [term for blocks, at in self.placed for term in _moved(at, blocks.in_service(name, unit_type=unit_type))]
        most = self.model.most(used)
        if not most:
            return
        need = max(said.count or 0, -(-most * (said.percent or 0) // 100))
        shelf: list[Term] = []
        for holder, held in holders.items():
            if any(orderable(self.catalog.by_id[holder], ask, self.catalog) for ask in self.asks):
                v = self.model.variable(need, name=f"spare {holder}")
                shelf.append((held, v))
                self.wanted[holder].append((1, v))
        if said.count:
            some = self.model.variable(1)
            self.model.row([*used, (-most, some)], high=0)
            self.model.row([*shelf, (-said.count, some)], low=0)
        if said.percent:
            self.model.row([*((100 * c, v) for c, v in shelf), *((-said.percent * c, v) for c, v in used)], low=0)

    def _ordered(self, name: str, terms: list[Term]) -> None:
        """Nothing, or whole packs and no fewer than the least quantity."""
        row = self.catalog.prices.rows[name]
        most = max(self.model.most(terms), row.least_quantity)
        most_packs = -(-most // row.pack_size)
        packs = self.model.variable(most_packs, row.price_minor * row.pack_size, f"packs of {name}")
        self.model.row([*terms, (-row.pack_size, packs)], high=0)
        if row.least_quantity > 1:
            some = self.model.variable(1)
            self.model.row([(1, packs), (-most_packs, some)], high=0)
            self.model.row([(row.pack_size, packs), (-row.least_quantity, some)], low=0)


def _moved(at: int, terms: Iterable[Term]) -> Iterator[Term]:
    return ((coefficient, at + variable) for coefficient, variable in terms)


def _held(part: Part, name: str) -> int:
    """How many of a part lie in the box of another."""
    return sum(count for content, count, _ in in_box(part) if content == name)
