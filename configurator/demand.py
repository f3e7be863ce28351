"""What one customer asks for: the demand file's models, and one stack with its defaults filled in.

A demand is read by `reading.load_demand`, which notes where each statement stands and the
customer's `ref`; here are only the words and their ranges.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from configurator.parts import Count, Country, Id, Mbps, Metres, Model, PoeClass, Text

Percent = Annotated[int, Field(ge=0, le=100)]
Quantity = Annotated[int, Field(ge=1, le=10_000)]
DeviceWatts = Annotated[Decimal, Field(gt=0, le=100)]
OnLoss = Literal["stops", "sheds_poe", "carries_all"]


class AccessPorts(Model):
    """Ports for devices that are not told one by one."""

    count: Quantity
    speed_mbps: Mbps = 1000
    over: Id = "copper"  # copper, or a fibre type of the optics' reaches: OM4, OS2 …
    length_m: Metres = Decimal(100)
    capable_of_class: PoeClass | None = None  # the port could feed this class, nothing is reserved
    powered_at_class: PoeClass | None = None  # the port feeds this class
    powered_percent: Percent = 100  # of the powered ones, how many at once
    name: Text | None = None
    ref: Text | None = None


class Devices(Model):
    """Powered (or plain) devices of one kind; each has a port of its own."""

    kind: Text
    count: Quantity
    speed_mbps: Mbps = 1000
    poe_class: PoeClass | None = None
    device_w: DeviceWatts | None = None  # watts at the device: the cable's loss is added
    port_w: DeviceWatts | None = None  # watts at the port
    cable_m: Annotated[Decimal, Field(ge=0, le=100)] = Decimal(100)
    powered_percent: Percent = 100
    ref: Text | None = None


class Uplinks(Model):
    """Links to the network beyond the stack."""

    count: Quantity
    speed_mbps: Mbps
    over: Literal["fibre", "direct", "copper", "any"] = "any"  # direct: twinax or active optical cable
    fibre: Id | None = None  # OM3, OM4, OS2 …
    length_m: Metres = Decimal(5)
    single_fibre: bool = False  # one strand: optics of opposite wavelengths
    far_form: Id | None = None  # form of the far end's cage: SFP+ …; needed for a direct cable
    far_connector: Id | None = None  # connector of the far end's optic or panel: LC, MPO-12 …
    far_interface: Id | None = None  # 10GBASE-SR …: what stands at the far end
    ends: Literal["near", "both"] = "near"  # whose optics are ordered
    spread_over_units: Annotated[int, Field(ge=1, le=8)] = 1
    may_split: bool = True  # a faster port may be split into several of these
    name: Text | None = None
    ref: Text | None = None


class Circuit(Model):
    """The branch circuit that each inlet has."""

    amps: Annotated[Decimal, Field(gt=0, le=400)]
    share_percent: Annotated[int, Field(ge=1, le=100)] = 100  # what the site's code allows


class Outlets(Model):
    """Free outlets of one type on the rack's strips."""

    plug: Id
    count: Count


class Wishes(Model):
    """What may be said for the whole order, and differently for a stack."""

    headroom_percent: Annotated[int, Field(ge=0, le=1000)] | None = None
    headroom_draws: bool | None = None  # growth draws watts like what is there today
    oversubscription: Annotated[Decimal, Field(gt=0, le=1000)] | None = None  # access over uplink bandwidth
    units_at_least: Annotated[int, Field(ge=1, le=64)] | None = None
    units_at_most: Annotated[int, Field(ge=1, le=64)] | None = None
    topology: Literal["ring", "chain"] | None = None
    two_unit_links: Literal[1, 2] | None = None
    stacking_mbps: Mbps | None = None
    rack_positions: tuple[Annotated[int, Field(ge=1, le=100)], ...] | None = None
    between_units_m: tuple[Metres, ...] | None = None  # one figure for every link, or one a neighbour
    stack_fibre: Id | None = None  # fibre that lies between the units already
    on_supply_loss: OnLoss | None = None
    on_feed_loss: OnLoss | None = None
    airflow: Literal["front-to-back", "back-to-front"] | None = None
    country: Country | None = None
    input_v: Annotated[int, Field(ge=1, le=1000)] | None = None
    circuit: Circuit | None = None
    outlets: tuple[Outlets, ...] | None = None
    cord_m: Metres | None = None  # shortest cord that reaches the outlet
    region: Id | None = None
    currency: Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")] | None = None
    deliver_by: date | None = None


class Stack(Wishes):
    """One stack, or several alike."""

    name: Text
    copies: Annotated[int, Field(ge=1, le=10_000)] = 1
    ports: tuple[AccessPorts, ...] = ()
    devices: tuple[Devices, ...] = ()
    uplinks: tuple[Uplinks, ...] = ()


class Demand(Model):
    """A demand file."""

    customer: Text | None = None
    project: Text | None = None
    defaults: Wishes = Wishes()
    stacks: Annotated[tuple[Stack, ...], Field(min_length=1, max_length=2000)]
