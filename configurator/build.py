"""A finished build of one stack: plain data that checks, bill and pages read.

Nothing here is computed: a check recomputes from the catalog what it needs to know.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from configurator.fields import Model


class Bought(Model):
    """So many of one part to order."""

    part: str  # part number
    count: int  # how many


class FittedSupply(Model):
    """A supply in a bay, its cord and the feed it hangs on."""

    bay: int  # from 1; 0 is built in
    supply: str  # part number
    cord: str | None = None  # part number; none: no cord
    feed: Literal["A", "B"] | None = None  # the one it hangs on; none: feeds are not told apart


class FittedModule(Model):
    """A module in a slot."""

    slot: str  # its name on the unit type
    module: str  # part number


class PortUse(Model):
    """A port that serves one statement of the demand."""

    slot: str | None = None  # module slot; none: a port of the chassis
    group: str  # port group
    port: int  # from 1
    way: int | None = None  # from 1, of a split port
    statement: str  # devices[0], ports[1], uplinks[0] …
    speed_mbps: int  # it runs at
    powered: bool = False  # watts are reserved
    plug: str | None = None  # optic or cable in the port (of a split port: what splits it)


class SplitPort(Model):
    """A port in the role `split`, with what splits it."""

    slot: str | None = None  # of the module; none: on the chassis
    group: str  # port group
    port: int  # from 1
    parts: tuple[str, ...]  # a split cable, or an optic and a split fibre cable


class Along(Model):
    """A part that comes along with a unit, a stack or a served statement: licence, contract, panel, lead …"""

    slot: str  # what it is for, as its rule names it
    part: str  # part number
    count: int = 1  # how many
    statement: str | None = None  # the served statement, where it is one


class Agreed(Model):
    """What all units of a stack have in common."""

    topic: str  # release, level of support …
    choice: str  # what it is


class BuiltUnit(Model):
    """One unit with everything in it."""

    position: int  # from 1, in the order of the stack
    unit_type: str  # its type
    box: str  # part number it is ordered under
    supplies: tuple[FittedSupply, ...] = ()  # in their bays
    fan_trays: tuple[str, ...] = ()  # part numbers
    modules: tuple[FittedModule, ...] = ()  # in their slots
    stack_slot: str | None = None  # of the module that stacks; none: the chassis does
    stack_group: str | None = None  # port group whose ports stack
    stack_ports: tuple[int, ...] = ()  # which of its ports stack, from 1
    adapters: tuple[str, ...] = ()  # what it needs to stack, besides cables
    splits: tuple[SplitPort, ...] = ()  # ports that are split
    uses: tuple[PortUse, ...] = ()  # ports that serve something
    along: tuple[Along, ...] = ()  # what comes along with it
    bought: tuple[Bought, ...] = ()  # ordered for this unit: its box and loose parts


class StackLink(Model):
    """One stacking connection between two units; `cables` are all that it takes."""

    from_unit: int  # position of one unit
    to_unit: int  # position of the other
    way_m: Decimal  # how far it has to go
    speed_mbps: int  # its rate
    parts: tuple[str, ...]  # a cable for each of the family's cables a link, or optics and fibre


class FarEnd(Model):
    """An optic ordered for the other end of an uplink."""

    statement: str  # the uplinks it is for
    part: str  # part number
    count: int  # how many


class Build(Model):
    """One stack, ready to order."""

    stack: str  # its name
    units: tuple[BuiltUnit, ...]  # from position 1
    topology: Literal["ring", "chain"] | None = None  # how the units are linked; none: one unit alone
    links: tuple[StackLink, ...] = ()  # between units
    lacing: str | None = None  # in words; none: nothing is linked
    agreed: tuple[Agreed, ...] = ()  # what all units have in common
    far_ends: tuple[FarEnd, ...] = ()  # optics for the other ends of uplinks
    along: tuple[Along, ...] = ()  # what comes along with the stack or a served statement
    bought: tuple[Bought, ...] = ()  # ordered for the stack as a whole: cables, optics


class Copies(Model):
    """A build and how many stacks are built like it."""

    build: Build  # one of them
    copies: int  # how many


class SpareParts(Model):
    """So many of a part bought to lie on the shelf, for the order's spares statement `spares[n]`."""

    statement: str  # which one
    part: str  # part number
    stands_for: str  # what it replaces: the part, or the unit type in the box
    count: int  # how many


class Order(Model):
    """Everything that is ordered at once: the stacks, cold spares, and the quantities on the order."""

    stacks: tuple[Copies, ...]  # with their copies
    spares: tuple[SpareParts, ...] = ()  # to lie on the shelf
    ordered: tuple[Bought, ...] = ()  # quantities of the whole order
