"""One stack's demand with every default filled in, and the part of it that fit-outs depend on."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from decimal import Decimal
from functools import cached_property
from operator import attrgetter
from typing import Any, TypeVar, cast

from configurator.demand import BoughtAs, OnLoss, Outlets, Spares, Stack, TypeBoughtAs

T = TypeVar("T")


@dataclass(frozen=True)
class Setting:
    """What is the same for every unit of a stack; hashable, so that fit-outs are kept by it."""

    order_date: date
    airflow: str | None = None
    country: str | None = None
    input_v: int | None = None
    region: str | None = None
    currency: str | None = None
    on_supply_loss: OnLoss = "stops"
    on_feed_loss: OnLoss = "stops"
    circuit_amps: Decimal | None = None
    circuit_share_percent: int = 100
    circuit_shared: bool = False  # by the whole stack
    cord_m: Decimal = Decimal(0)
    deliver_by: date | None = None
    stack_fibre: str | None = None
    marks: tuple[str, ...] = ()
    features: tuple[str, ...] = ()  # of every unit
    port_features: tuple[str, ...] = ()  # of the ports of some statement
    licence_months: int | None = None
    release: str | None = None
    support_level: str | None = None
    support_months: int | None = None
    support_until: date | None = None
    optics_covered: bool = False
    failed_parts_kept: bool = False
    depot_km: int | None = None
    rack_posts: int | None = None
    rack_depth_mm: int | None = None
    blank_panels: bool = True
    earthing_lugs: bool = False
    inlet_c: int | None = None
    altitude_m: int | None = None
    headroom_w: Decimal = Decimal(0)
    headroom_w_percent: int = 0
    bought_as: BoughtAs = "either"
    bought_as_by_type: tuple[TypeBoughtAs, ...] = ()  # overrides it for single unit types
    spared: tuple[
        tuple[str, int, int], ...
    ] = ()  # what has cold spares, how many at least, and at most one each so often
    counted: str | None = None  # a part, unit type or `VALUE`, of which builds may have to have so many
    agreed: tuple[tuple[str, str], ...] = ()  # what all units of the stack have in common: topic and choice
    boxed_sold: bool = False  # what lies in the box of something that is sold counts as sold too, at no price
    outlet_plugs: tuple[str, ...] = ()  # plug types that the rack's free outlets take; empty: not stated

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Kept, since settings are looked up by far more often than they are made."""
        return hash(tuple(getattr(self, one.name) for one in fields(self)))

    @cached_property
    def found(self) -> dict[Any, Any]:
        """What a rule book keeps under this setting; see `Book.made`."""
        return {}

    def agreed_on(self, topic: str) -> str | None:
        """What all units of the stack have in common on a topic; none: nothing."""
        return next((choice for name, choice in self.agreed if name == topic), None)


Read = Callable[[Setting], object]


class Watched:
    """A setting that notes what is read of it, so that what comes of it serves every setting alike in that."""

    agreed_on = Setting.agreed_on

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self.reads: dict[Hashable, tuple[Read, object]] = {}
        self.found: dict[Any, Any] = {}

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._setting, name)
        self.reads[name] = (attrgetter(name), value)
        return value

    def note(self, name: Hashable, read: Read, value: object) -> None:
        """Something was read that is less than all that it comes of."""
        self.reads[name] = (read, value)
        if isinstance(self._setting, Watched):
            self._setting.note(name, read, value)

    @property
    def bare(self) -> Setting:
        """The setting itself."""
        return self._setting.bare if isinstance(self._setting, Watched) else self._setting


def once(store: dict[Any, Any], key: Hashable, setting: Setting, make: Callable[[Setting], T]) -> T:
    """What `make` gives under a setting: made once for all settings that are alike in what it reads of them.

    store -- lives as long as whatever else `make` depends on: the catalog, and a set of rules.
    """
    place = (id(store), key)
    known = setting.found.get(place)
    if known is None:
        alike: dict[tuple[Hashable, ...], tuple[tuple[Read, ...], dict[Any, T]]] = store.setdefault(key, {})
        for reads, made in alike.values():  # mostly one: the same is read of every setting
            seen = tuple(read(setting) for read in reads)
            if seen in made:
                value = made[seen]
                break
        else:
            watched = Watched(setting)
            value = make(cast("Setting", watched))
            reads, seen = tuple(read for read, _ in watched.reads.values()), tuple(v for _, v in watched.reads.values())
            alike.setdefault(tuple(watched.reads), (reads, {}))[1][seen] = value
        known = setting.found[place] = (store, value)  # holds the store, whose id is the key here
    return cast("T", known[1])


@dataclass(frozen=True)
class Statement:
    """One thing the customer said, or that was assumed for them."""

    key: str  # airflow, devices[0], uplinks[1] …
    text: str  # in the user's words: `airflow: back-to-front`
    where: str = ""  # file:line
    ref: str | None = None
    assumed: bool = False


@dataclass(frozen=True)
class Ask:
    """One stack as asked: the demand with defaults merged, and where each statement stands."""

    stack: Stack  # wishes of the order merged in; None where nobody said anything
    setting: Setting
    topology: str | None = None  # ring or chain as asked; none: ring where the family allows it
    two_unit_links: int | None = None  # none: as the family has it, two for a ring
    headroom_percent: int = 0
    headroom_count: int = 0
    headroom_draws: bool = True
    headroom_uplinks_percent: int = 0
    headroom_uplinks_count: int = 0
    outlets: tuple[Outlets, ...] | None = None
    statements: Mapping[str, Statement] = field(default_factory=dict)
    dropped: frozenset[str] = frozenset()  # statements set aside, by key: of these any value will do

    def generously(self) -> Ask:
        """The same, with everything sold that lies in the box of something sold."""
        return replace(self, setting=replace(self.setting, boxed_sold=True))


@dataclass(frozen=True)
class OrderAsk:
    """All stacks of an order as asked, and what is asked for the order as a whole."""

    asks: tuple[Ask, ...]
    spares: tuple[Spares, ...] = ()
    statements: Mapping[str, Statement] = field(default_factory=dict)  # spares[0] …
