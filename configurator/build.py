"""A finished build of one stack: plain data that checks, bill and pages read.

Nothing here is computed: a check recomputes from the catalog what it needs to know.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from configurator.fields import Model


class Bought(Model):
    """So many of one part to order."""

    part: str
    count: int


class FittedSupply(Model):
    """A supply in a bay, its cord and the feed it hangs on."""

    bay: int
    supply: str
    cord: str | None = None
    feed: Literal["A", "B"] | None = None


class FittedModule(Model):
    """A module in a slot."""

    slot: str
    module: str


class PortUse(Model):
    """A port that serves one statement of the demand."""

    slot: str | None = None  # module slot; none: a port of the chassis
    group: str
    port: int  # from 1
    way: int | None = None  # from 1, of a split port
    statement: str  # devices[0], ports[1], uplinks[0] …
    speed_mbps: int
    powered: bool = False
    plug: str | None = None  # optic or cable in the port (of a split port: what splits it)


class SplitPort(Model):
    """A port in the role `split`, with what splits it."""

    slot: str | None = None
    group: str
    port: int
    parts: tuple[str, ...]  # a split cable, or an optic and a split fibre cable


class Along(Model):
    """A part that comes along with a unit, a stack or a served statement: licence, contract, panel, lead …"""

    slot: str  # what it is for, as its rule names it
    part: str
    count: int = 1
    statement: str | None = None  # the served statement, where it is one


class Agreed(Model):
    """What all units of a stack have in common."""

    topic: str
    choice: str


class BuiltUnit(Model):
    """One unit with everything in it."""

    position: int  # from 1, in the order of the stack
    unit_type: str
    box: str
    supplies: tuple[FittedSupply, ...] = ()
    fan_trays: tuple[str, ...] = ()
    modules: tuple[FittedModule, ...] = ()
    stack_slot: str | None = None
    stack_group: str | None = None  # port group whose ports stack
    stack_ports: tuple[int, ...] = ()  # which of its ports stack, from 1
    adapters: tuple[str, ...] = ()  # what it needs to stack, besides cables
    splits: tuple[SplitPort, ...] = ()
    uses: tuple[PortUse, ...] = ()
    along: tuple[Along, ...] = ()
    bought: tuple[Bought, ...] = ()  # ordered for this unit: its box and loose parts


class StackLink(Model):
    """One stacking connection between two units; `cables` are all that it takes."""

    from_unit: int
    to_unit: int
    way_m: Decimal
    speed_mbps: int
    parts: tuple[str, ...]  # a cable for each of the family's cables a link, or optics and fibre


class FarEnd(Model):
    """An optic ordered for the other end of an uplink."""

    statement: str
    part: str
    count: int


class Build(Model):
    """One stack, ready to order."""

    stack: str
    units: tuple[BuiltUnit, ...]
    topology: Literal["ring", "chain"] | None = None  # none: one unit alone
    links: tuple[StackLink, ...] = ()
    lacing: str | None = None  # in words; none: nothing is linked
    agreed: tuple[Agreed, ...] = ()
    far_ends: tuple[FarEnd, ...] = ()
    along: tuple[Along, ...] = ()
    bought: tuple[Bought, ...] = ()  # ordered for the stack as a whole: cables, optics


class Copies(Model):
    """A build and how many stacks are built like it."""

    build: Build
    copies: int


class SpareParts(Model):
    """So many of a part bought to lie on the shelf, for the order's spares statement `spares[n]`."""

    statement: str
    part: str
    stands_for: str  # what it replaces: the part, or the unit type in the box
    count: int


class Order(Model):
    """Everything that is ordered at once: the stacks, cold spares, and the quantities on the order."""

    stacks: tuple[Copies, ...]
    spares: tuple[SpareParts, ...] = ()
    ordered: tuple[Bought, ...] = ()
