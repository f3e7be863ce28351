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
class Conflict:
    """Statements and rules that cannot hold together."""

    statements: tuple[str, ...]  # keys in the Ask
    rules: tuple[str, ...]  # ids
    text: str  # the argument, with the numbers that make it bite
    smallest: bool  # proved: without any one of them the others can hold


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
    conflicts: tuple[Conflict, ...] = ()
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
