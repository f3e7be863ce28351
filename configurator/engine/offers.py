"""Offers: the ways in which each kind can be served -- natively, through an optic, cable or split."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from configurator.book import Book
from configurator.fitout import Ports
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import FibreCable, Optic, PortGroup
from configurator.rule import Need
from configurator.setting import Setting


@dataclass(frozen=True)
class Offer:
    """One way to serve one kind."""

    kind: int  # index of the kind
    plug: Plug | None
    price_minor: int  # of what comes along with each, outside the pool
    needs: tuple[tuple[str, Need], ...]  # what comes along with each
    draws: tuple[int, ...]  # a budget


class Offers:
    """All offers for some kinds, and which ports each can use."""

    def __init__(
        self,
        book: Book,
        kinds: tuple[Kind, ...],
        setting: Setting,
        pooled: frozenset[str],
        plugs: tuple[Plug | None, ...] | None = None,
    ) -> None:
        """`plugs`: what there is to plug in; none: whatever the catalog has."""
        self.book = book
        self._plugs = plugs_of(book) if plugs is None else plugs
        self.kinds = kinds
        self.setting = setting
        self.offers: list[Offer] = []
        self._groups: list[frozenset[int]] = []
        self._hungriest: dict[tuple[int, int], int] = {}
        self._bits: dict[int, tuple[int, ...]] = {}
        self._port_serves: dict[tuple[int, int], bool] = {}
        for index, kind in enumerate(kinds):
            self._offer_kind(index, kind, pooled)

    @cached_property
    def groups(self) -> dict[int, PortGroup]:
        """Every port group of the catalog by identity."""
        return port_groups(self.book)

    def _offer_kind(self, index: int, kind: Kind, pooled: frozenset[str]) -> None:
        found: list[tuple[Offer, frozenset[int]]] = []
        suits = {name for name, group in self.groups.items() if self.book.port_serves(group, kind)}
        for plug in self._plugs:
            if not self.book.plug_serves(plug, kind):
                continue
            groups = frozenset(suits & takers(self.book, plug)) if not isinstance(plug, SplitPlug) else frozenset()
            if not groups and not isinstance(plug, SplitPlug):
                continue
            offer = self._offer(index, kind, plug, pooled)
            if offer is not None:
                found.append((offer, groups))
        for order, (offer, groups) in enumerate(found):
            rivals = (other for place, other in enumerate(found) if place != order)
            if not any(self._better(other, (offer, groups), pooled) for other in rivals):
                self.offers.append(offer)
                self._groups.append(groups)

    def _offer(self, index: int, kind: Kind, plug: Plug | None, pooled: frozenset[str]) -> Offer | None:
        book, setting = self.book, self.setting
        needs = tuple(book.served_needs(kind, plug, setting))
        price = 0
        for _, need in needs:
            cheapest = cheapest_recipe(book, need, setting)
            if is_pooled(need, pooled):
                continue  # from a box, or bought for the pool
            if cheapest is None:
                return None
            price += cheapest[0] * need.count
        draws = tuple(budget.draws(kind, plug, setting, book.catalog) for budget in book.budgets)
        return Offer(index, plug, price, needs, draws)

    def _better(
        self, one: tuple[Offer, frozenset[int]], other: tuple[Offer, frozenset[int]], pooled: frozenset[str]
    ) -> bool:
        """Whether `one` is never worse than `other`, and better or listed earlier."""
        (a, a_groups), (b, b_groups) = one, other
        if isinstance(a.plug, SplitPlug) or isinstance(b.plug, SplitPlug):
            return False
        if any(is_pooled(need, pooled) for _, need in (*a.needs, *b.needs)):
            return False
        if not a_groups >= b_groups or a.price_minor > b.price_minor:
            return False
        if any(x > y for x, y in zip(a.draws, b.draws, strict=True)):
            return False
        equal = a_groups == b_groups and a.price_minor == b.price_minor and a.draws == b.draws
        return not equal or _order(self.book, a.plug) < _order(self.book, b.plug)

    def mask(self, ports: Ports) -> int:
        """Bit set of the offers that some ports serve."""
        mask = 0
        if ports.split is not None:
            for bit, offer in enumerate(self.offers):
                at_speed = ports.speed_mbps in (None, self.kinds[offer.kind].said.speed_mbps)
                if offer.plug is ports.split and at_speed and self._suits(bit, ports.group):
                    mask |= 1 << bit
            return mask
        name = id(ports.group)
        for bit, groups in enumerate(self._groups):
            kind = self.kinds[self.offers[bit].kind]
            if name in groups and ports.speed_mbps in (None, kind.said.speed_mbps):
                mask |= 1 << bit
        return mask

    def _suits(self, bit: int, group: PortGroup) -> bool:
        """Whether a group's ports may be split by the offer's plug for its kind."""
        key = (bit, id(group))
        if key not in self._port_serves:
            offer = self.offers[bit]
            assert isinstance(offer.plug, SplitPlug)
            self._port_serves[key] = self.book.port_takes(group, offer.plug) and self.book.port_splits(
                group, offer.plug, self.kinds[offer.kind]
            )
        return self._port_serves[key]

    def bits(self, mask: int) -> tuple[int, ...]:
        """The offers in a bit set, by index."""
        found = self._bits.get(mask)
        if found is None:
            found = self._bits[mask] = tuple(bit for bit in range(len(self.offers)) if mask >> bit & 1)
        return found

    def wanted(self, mask: int) -> int:
        """How many devices at most could be served through these offers."""
        return sum(self.kinds[k].count for k in {self.offers[bit].kind for bit in self.bits(mask)})

    def hungriest(self, mask: int, budget: int) -> int:
        """The most that one device served through these offers draws from a budget."""
        key = (mask, budget)
        found = self._hungriest.get(key)
        if found is None:
            found = max((self.offers[bit].draws[budget] for bit in self.bits(mask)), default=0)
            self._hungriest[key] = found
        return found

    def splits(self) -> list[SplitPlug]:
        """What could split a port for some kind here, each once."""
        seen: list[SplitPlug] = []
        for offer in self.offers:
            if isinstance(offer.plug, SplitPlug) and not any(offer.plug is plug for plug in seen):
                seen.append(offer.plug)
        return seen


def port_groups(book: Book) -> dict[int, PortGroup]:
    """Every port group in the catalog."""
    store = book.catalog.cache("port groups")
    if not store:
        parts = book.catalog.parts
        for ports in (*(unit.ports for unit in parts.unit_types), *(module.ports for module in parts.modules)):
            store.update({id(group): group for group in ports})
    return store


def plugs_of(book: Book) -> tuple[Plug | None, ...]:
    """Everything that can stand between a port and a device: nothing, optics, cables, splits."""
    store = book.catalog.cache("plugs")
    if not store:
        parts = book.catalog.parts
        plain: list[Plug | None] = [None, *parts.optics]
        plain += [cable for cable in parts.cables if cable.ways == 1 and cable.kind != "stacking"]
        plain += [SplitPlug(cable) for cable in parts.cables if cable.ways > 1]
        plain += [SplitPlug(optic, fan) for optic in parts.optics for fan in parts.fibre_cables if _fans(optic, fan)]
        store["all"] = tuple(plain)
    found: tuple[Plug | None, ...] = store["all"]
    return found


def _order(book: Book, plug: Plug | None) -> int:
    return next(order for order, other in enumerate(plugs_of(book)) if other is plug)


def _fans(optic: Optic, fan: FibreCable) -> bool:
    return fan.ways > 1 and fan.near == optic.connector


def takers(book: Book, plug: Plug | None) -> frozenset[int]:
    """The port groups that take a plug."""
    store = book.cache("takers", "port_takes")
    key = id(plug)  # plugs live as long as the catalog; hashing whole parts is slow
    if key not in store:
        store[key] = frozenset(n for n, group in port_groups(book).items() if book.port_takes(group, plug))
    found: frozenset[int] = store[key]
    return found


def cheapest_recipe(book: Book, need: Need, setting: Setting) -> tuple[int, tuple[str, ...]] | None:
    """Price and parts of the cheapest recipe that can be ordered; by part number where prices are equal."""
    return book.noted(("cheapest", need.recipes), setting, lambda setting: _cheapest_recipe(book, need, setting))


def _cheapest_recipe(book: Book, need: Need, setting: Setting) -> tuple[int, tuple[str, ...]] | None:
    prices = book.prices(setting)
    store = book.cache("cheapest recipes", "forbids_part")
    key = (need.recipes, id(prices))  # kept with the catalog, so that its id stands for it
    if key not in store:
        best: tuple[int, tuple[str, ...]] | None = None
        for recipe in need.recipes:
            if all(part in prices for part in recipe):
                total = sum(prices[part] for part in recipe)
                best = min(best or (total, recipe), (total, recipe))
        store[key] = best
    found: tuple[int, tuple[str, ...]] | None = store[key]
    return found


def is_pooled(need: Need, pooled: frozenset[str]) -> bool:
    """Whether the stack as a whole sees to the need: a part in some box could meet it, or it may fall away."""
    return bool(need.unless) or any(part in pooled for recipe in need.recipes for part in recipe)
