"""What the engine says about one stack: plain data between the solver and what people see."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from configurator.build import Build, Order

Status = Literal["cheapest", "best found", "cannot be met", "not decided"]
WORST_FIRST: tuple[Status, ...] = ("cannot be met", "not decided", "best found", "cheapest")


@dataclass(frozen=True)
class Reason:
    """Why a part is on the bill: the rule that asks for it, and what the customer said to make it."""

    rule: str  # id of the rule
    text: str  # one sentence
    statement: str | None = None  # key of a statement in the Ask


@dataclass(frozen=True)
class Weighed:
    """Devices of one kind in a sum."""

    statement: str  # key in the Ask
    powered: bool
    count: int  # growth included
    weight: int  # of each


@dataclass(frozen=True)
class Carries:
    """For one way to stack, how many units there may be and the most that one of them carries."""

    families: tuple[str, ...]  # none: one unit alone
    units: int
    each: int  # in weights
    unit_type: str | None  # that carries most; none: none is allowed here
    supplies: tuple[str, ...]
    modules: tuple[str, ...]


@dataclass(frozen=True)
class Sum:
    """What is asked, weighed, and the most that units carry of it."""

    weighed: tuple[Weighed, ...]
    asked: int
    carries: tuple[Carries, ...]
    budget: str | None = None  # what the weights draw; none: ports are counted, or weights are bare numbers
    step_dw: int = 1  # tenths of a watt that a weight of 1 draws
    shared_out: bool = True  # what a unit carries is shared out whole device by whole device; else only its watts


@dataclass(frozen=True)
class Proof:
    """Figures that prove a conflict: each choice of whole units falls short by one of the sums, or breaks a limit."""

    sums: tuple[Sum, ...]
    choices: int  # groups of choices of whole units that were gone through
    limits: tuple[str, ...] = ()  # rules that keep units out, or that what is asked breaks by itself


@dataclass(frozen=True)
class Conflict:
    """Statements and rules that cannot hold together."""

    statements: tuple[str, ...]  # keys in the Ask
    rules: tuple[str, ...]  # ids
    text: str  # the argument, with the numbers that make it bite
    smallest: bool  # proved: without any one of them the others can hold
    proof: Proof | None = None  # figures that anyone can recompute; none: rules refuse, no figure does
    alike: tuple[tuple[str, ...], ...] = ()  # conflicts with other statements that say the same


@dataclass(frozen=True)
class Lowered:
    """One figure of a statement moved just far enough, all else of a correction being as it says."""

    statement: str  # key in the Ask
    field: str  # count, length_m, units_at_most …
    said: str  # as stated
    works: str  # the nearest to it that works
    fails: str  # the next nearer one, shown not to work
    price_minor: int | None  # of the cheapest build then; none: not decided


@dataclass(frozen=True)
class Correction:
    """Statements without which the rest can be met; none fewer will do."""

    aside: tuple[str, ...]  # keys in the Ask
    price_minor: int | None  # of the cheapest build without them; none: nothing is left to order, or not decided
    nothing_left: bool  # nothing is left to order
    lowered: tuple[Lowered, ...]  # instead of setting one of them aside
    alike: tuple[tuple[str, ...], ...] = ()  # corrections with other statements that ask for the same


@dataclass(frozen=True)
class Refusal:
    """Why a demand cannot be met, and what would help."""

    conflicts: tuple[Conflict, ...] = ()  # fewest statements first
    corrections: tuple[Correction, ...] = ()  # cheapest first
    complete: bool = True  # these are all smallest conflicts and corrections


@dataclass(frozen=True)
class Counters:
    """How much work the engine did."""

    rounds: int = 0
    cuts: int = 0
    packings: int = 0
    no_goods: int = 0
    columns: int = 0
    rows: int = 0


@dataclass(frozen=True)
class Solved:
    """The engine's answer for one stack.

    `bound_minor` is what no build can be cheaper than; it equals `price_minor` when the price is
    proved cheapest.  A stack that cannot be met, or was not decided, has no build.
    """

    status: Status
    price_minor: int | None = None
    bound_minor: int | None = None
    build: Build | None = None
    reasons: Mapping[str, tuple[Reason, ...]] = field(default_factory=dict)  # by part number
    refusal: Refusal = Refusal()
    counters: Counters = Counters()


@dataclass(frozen=True)
class SolvedOrder:
    """The engine's answer for an order.

    `stacks` has, for each ask, how many copies are built like what; `order` what all that are met
    order together.  A stack's own price is that of its parts one by one; the order's is that of
    what is ordered: whole packs, least quantities, cold spares.
    """

    stacks: tuple[tuple[tuple[int, Solved], ...], ...]
    order: Order | None
    price_minor: int | None
    bound_minor: int | None
    status: Status
    problem: str = ""  # of the order as a whole, in words
