"""What is decided about one unit (a fit-out) and about the stack as a whole (an arrangement)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Literal, Protocol

from configurator.kinds import SplitPlug
from configurator.parts import FanTray, Module, PortGroup, Supply, UnitType


@dataclass(frozen=True)
class Ports:
    """Some ports of a group, in one role."""

    slot: str | None  # module slot; none: chassis
    group: PortGroup
    count: int
    first: int = 1
    split: SplitPlug | None = None  # none: each port serves one device
    speed_mbps: int | None = None  # ports of a block that shares a speed, or the ways of such, run at this one


@dataclass(frozen=True)
class Fitout:
    """One unit: type, modules, port roles, supplies and fans.

    Rules may be asked about a fit-out of which a later stage is not decided yet; the stages are
    type, modules, ports, supplies, fans, and supplies and fans don't look at modules and ports.
    `decided` tells which half is there: empty modules of the half `power` say nothing about modules.
    """

    unit_type: UnitType
    modules: tuple[tuple[str, Module], ...] = ()  # slot and module, of filled slots
    stack: tuple[str | None, PortGroup] | None = None  # ports that stack; none: stands alone
    ports: tuple[Ports, ...] = ()
    supplies: tuple[Supply, ...] = ()
    fan_trays: tuple[FanTray, ...] = ()
    feeds: tuple[Literal["A", "B"], ...] = ()  # feed of each supply, where the loss of one matters
    decided: Literal["type", "shape", "power", "whole"] = "whole"
    plugs: tuple[str, ...] = ()  # outlet type of each supply's cord, where the site states its outlets


@dataclass(frozen=True)
class Mode:
    """How units stack: who with whom, through which ports, at which rate."""

    families: tuple[str, ...]
    connector: str
    speed_mbps: int
    cages: tuple[str, ...] = ("",)  # rows of the optics matrix of the stacking ports; empty: fixed connectors


@dataclass(frozen=True)
class Link:
    """One stacking connection: positions of its units, and the way a cable has to go."""

    from_unit: int
    to_unit: int
    way_m: Decimal


class Ways(Protocol):
    """How far it is between two units of a stack."""

    def between(self, a: int, b: int) -> Decimal:
        """Metres from unit `a` to unit `b`, counted from 1."""


@dataclass(frozen=True)
class Arrangement:
    """How many units, and how they are linked.  `mode` is none for one unit alone."""

    units: int
    mode: Mode | None = None
    topology: str | None = None
    lacing: str = "neighbour to neighbour"
    pairs: tuple[tuple[int, int], ...] = ()  # positions of linked units
    ways: Ways | None = None

    @cached_property
    def links(self) -> tuple[Link, ...]:
        """The links with their ways."""
        return tuple(Link(a, b, self.ways.between(a, b)) for a, b in self.pairs) if self.ways else ()
