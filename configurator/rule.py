"""How a rule is written down: in words, as its part of the model, and as a check.

A rule's part of the model takes one or more of five forms and no other:

* serves   -- which port, plug and kind of device go together (three pairs, so that each is cheap),
              how many devices some ports hold, over how many units a kind is spread;
* budget   -- what a unit has of something (watts), what it takes itself, what each device draws;
* forbids  -- parts or fit-outs that may not be;
* limits   -- linear rows over the counts of a stack, which families share one, and how many units
              may be linked in which arrangement;
* requires -- accompanying parts of a unit, of a stack or of a served device.

Two more speak of what is wider than a unit: `agrees` names what all units of a stack have in
common (one release, one level of support), `sells` in which quantities an order may take a part.

The engine knows no rule: it is handed a rule book, a tuple of `Rule`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from configurator.build import Build, Order
    from configurator.catalog import Catalog
    from configurator.fields import Part
    from configurator.fitout import Arrangement, Fitout, Ports
    from configurator.kinds import Kind, Plug, SplitPlug
    from configurator.parts import PortGroup, UnitType
    from configurator.setting import Ask, OrderAsk, Setting

Family = Literal[
    "ports",
    "power",
    "airflow",
    "stacking",
    "twinax",
    "modules",
    "licences",
    "support",
    "racking",
    "site",
    "ordering",
]
Stage = Literal["type", "modules", "ports", "supplies", "fans"]


@dataclass(frozen=True)
class Source:
    """Where a rule comes from: a published standard with its clause, or common practice."""

    text: str
    basis: Literal["standard", "common practice", "from memory"] = "standard"


COMMON_PRACTICE = Source("common practice", "common practice")


@dataclass(frozen=True)
class Breach:
    """What a check found wrong, in words and numbers."""

    text: str
    unit: int | None = None  # position of the unit, when it is one unit's fault


@dataclass(frozen=True)
class Budget:
    """Something each unit has so much of.  Whole units: what is left in one serves no other.

    gives -- integer amount that a fit-out has, or None where this budget does not bind it;
    takes -- what the fit-out itself uses of it;
    draws -- what one device of a kind, through this plug, draws from it.
    """

    name: str
    gives: Callable[[Fitout, Setting, Catalog], int | None]
    takes: Callable[[Fitout, Setting, Catalog], int]
    draws: Callable[[Kind, Plug | None, Setting, Catalog], int]


@dataclass(frozen=True)
class Need:
    """Accompanying parts: `count` times one of `recipes`, each a tuple of parts bought together.

    kept   -- what meets it meets other needs of the unit too: a licence with two features, bought once;
    unless -- it falls away where the stack agreed on one of these (topic, choice).
    """

    slot: str
    recipes: tuple[tuple[str, ...], ...]
    count: int = 1
    way_m: Decimal | None = None  # how far it has to go, where that matters
    kept: bool = False
    unless: frozenset[tuple[str, str]] = frozenset()


@dataclass(frozen=True)
class Row:
    """A linear row over the counts of one stack: sum(terms) (<= or >=) bound.

    fitouts -- coefficient of each unit, by fit-out; figures of the demand matter to it only where it is `by_type`;
    kinds   -- coefficient of each served device, by kind;
    plugs   -- what is added to it for what is plugged in for that device;
    only_if -- the row holds when at least one unit satisfies this;
    by_type -- it looks at no more of a fit-out than its unit type;
    agreed  -- it holds only where the stack agreed on this (topic, choice);
    told    -- an amount of what it adds up in words, with its unit: 12.5 kg;
    eased   -- by how much statements that are set aside would ease it if they were not;
    shared  -- the bound is that of the closet: all stacks that stand in it share it.
    """

    sense: Literal["<=", ">="]
    bound: int
    fitouts: Callable[[Fitout], int] | None = None
    kinds: Callable[[Kind], int] | None = None
    plugs: Callable[[Plug | None], int] | None = None
    only_if: Callable[[Fitout], bool] | None = None
    by_type: bool = False
    agreed: tuple[str, str] | None = None
    shared: bool = False
    told: Callable[[int], str] | None = None
    eased: int = 0


@dataclass(frozen=True)
class Requires:
    """Parts that come along, by what they come along with."""

    unit: Callable[[Fitout, Setting, Catalog], Iterable[Need]] | None = None
    stack: Callable[[Arrangement, Setting, Catalog], Iterable[Need]] | None = None
    served: Callable[[Kind, Plug | None, Setting, Catalog], Iterable[Need]] | None = None


@dataclass(frozen=True)
class SpareNeed:
    """Cold spares of whatever of some parts or unit types is in service: so many, or so many percent, of each."""

    statement: str  # spares[0] …
    of: frozenset[str]  # parts, or unit types
    of_units: bool = False
    count: int = 0
    percent: int = 0


@dataclass(frozen=True)
class Topic:
    """Something that all units of a stack have in common, and what it may be."""

    name: str
    choices: tuple[str, ...]


@dataclass(frozen=True)
class Rule:
    """One fact of the trade that every build must respect.

    A rule has a check of one stack's build or of the order, or both.
    `about` names the demand's fields that the rule reads, for explanations.
    `applies` tells whether the catalog gives the figures the rule needs.
    """

    id: str
    family: Family
    sentence: str
    source: Source
    check: Callable[[Build, Ask, Catalog], Iterable[Breach]] = lambda *_: ()
    check_order: Callable[[Order, OrderAsk, Catalog], Iterable[Breach]] = lambda *_: ()
    about: tuple[str, ...] = ()
    explains: tuple[str, ...] = ()  # slots of needs for which this rule is the reason to give
    only_if_asked: tuple[str, ...] = ()  # … where the customer made one of these statements
    applies: Callable[[Catalog], bool] = lambda _: True
    port_serves: Callable[[PortGroup, Kind, Catalog], bool] | None = None
    port_takes: Callable[[PortGroup, Plug | None, Catalog], bool] | None = None
    plug_serves: Callable[[Plug | None, Kind, Catalog], bool] | None = None
    port_splits: Callable[[PortGroup, SplitPlug, Kind, Catalog], bool] | None = None
    port_holds: Callable[[Ports], int] | None = None
    spreads: Callable[[Kind], int] | None = None
    budgets: tuple[Budget, ...] = ()
    forbids_part: Callable[[Part, Setting, Catalog], bool] | None = None
    forbids_for: Callable[[Part, UnitType | None, Setting, Catalog], bool] | None = None
    """A part to come along with a unit of this type; none: with the stack or something served."""
    forbids_over: Callable[[Part, Decimal, Catalog], bool] | None = None  # a part over so many metres
    forbids: Mapping[Stage, Callable[[Fitout, Setting, Catalog], bool]] = field(default_factory=dict)
    arranges: Callable[[Arrangement, Ask, Catalog], bool] | None = None
    together: Callable[[str, str, Catalog], bool] | None = None
    agrees: Callable[[Ask, Catalog], Iterable[Topic]] | None = None
    sells: Callable[[str, Catalog], tuple[int, int]] | None = None  # multiples of, and no fewer than, so many
    spares: Callable[[OrderAsk, Catalog], Iterable[SpareNeed]] | None = None
    limits: Callable[[Ask, Catalog], Iterable[Row]] | None = None
    requires: Requires | None = None
