"""What one customer asks for: the demand file's models, and one stack with its defaults filled in.

A demand is read by `reading.load_demand`, which notes where each statement stands and the
customer's `ref`; here are only the words and their ranges.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from configurator.fields import Count, Country, Id, Mbps, Metres, Model, PoeClass, Polish, Text, Watts

Percent = Annotated[int, Field(ge=0, le=100)]
Quantity = Annotated[int, Field(ge=1, le=10_000)]
DeviceWatts = Annotated[Decimal, Field(gt=0, le=100)]
Months = Annotated[int, Field(ge=1, le=240)]
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
    features: tuple[Id, ...] = ()  # what the software must do on each of these ports
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
    features: tuple[Id, ...] = ()
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
    features: tuple[Id, ...] = ()
    panel_connector: Id | None = None  # of the patch panel that a lead goes to; none: no leads are ordered
    panel_polish: Polish | None = None  # none: any
    lead_m: Metres = Decimal(2)  # shortest lead that reaches the panel
    name: Text | None = None
    ref: Text | None = None


class Circuit(Model):
    """The branch circuit that each inlet has."""

    amps: Annotated[Decimal, Field(gt=0, le=400)]
    share_percent: Annotated[int, Field(ge=1, le=100)] = 100  # what the site's code allows
    shared: bool = False  # one circuit (of each feed) carries the whole stack, not one each inlet


class Outlets(Model):
    """Free outlets of one type on the rack's strips."""

    plug: Id
    count: Count


class Wishes(Model):
    """What may be said for the whole order, and differently for a stack."""

    headroom_percent: Annotated[int, Field(ge=0, le=1000)] | None = None
    headroom_count: Count | None = None  # growth of each kind of ports and devices, by number
    headroom_draws: bool | None = None  # growth draws watts like what is there today
    headroom_uplinks_percent: Annotated[int, Field(ge=0, le=1000)] | None = None
    headroom_uplinks_count: Count | None = None  # of each kind of uplinks
    headroom_w: Watts | None = None  # left on each unit
    headroom_w_percent: Percent | None = None  # of its supplies' output, left on each unit
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
    marks: tuple[Id, ...] | None = None  # compliance marks that parts must carry
    features: tuple[Id, ...] | None = None  # what the software of every unit must do
    licence_months: Months | None = None  # shortest term of licences that end
    release: Id | None = None  # software release that all units run
    support_level: Id | None = None
    support_months: Months | None = None
    support_until: date | None = None  # one day on which all support ends
    optics_covered: bool | None = None  # by support
    failed_parts_kept: bool | None = None
    depot_km: Annotated[int, Field(ge=0, le=20_000)] | None = None  # from the site to the nearest depot of spares
    rack_posts: Literal[2, 4] | None = None
    rack_units_free: Annotated[int, Field(ge=1, le=1000)] | None = None
    rack_depth_mm: Annotated[int, Field(ge=1, le=3000)] | None = None  # usable depth
    rack_weight_kg: Annotated[Decimal, Field(gt=0, le=5000)] | None = None  # what it still carries
    blank_panels: bool | None = None  # in empty bays and slots
    earthing_lugs: bool | None = None
    inlet_c: Annotated[int, Field(ge=-40, le=80)] | None = None  # warmest air at the inlets
    altitude_m: Annotated[int, Field(ge=0, le=9000)] | None = None
    noise_db: Annotated[Decimal, Field(gt=0, le=150, decimal_places=1)] | None = None  # A-weighted sound power
    heat_w: Watts | None = None  # most heat that stays in the closet
    ups_va: Annotated[int, Field(ge=1, le=1_000_000)] | None = None  # what the UPS still carries


class Stack(Wishes):
    """One stack, or several alike."""

    name: Text
    copies: Annotated[int, Field(ge=1, le=10_000)] = 1
    closet: Text | None = None  # room it stands in; none: a room of its own
    ports: tuple[AccessPorts, ...] = ()
    devices: tuple[Devices, ...] = ()
    uplinks: tuple[Uplinks, ...] = ()


class Spares(Model):
    """Cold spares for the whole order: parts on a shelf, by number or in percent of what is in service."""

    of: Literal["units", "supplies", "fan trays", "modules", "optics", "cables", "cords"] | None = None
    part: Id | None = None  # instead of a kind: one part
    count: Count | None = None  # of each part of that kind that is in service
    percent: Percent | None = None  # rounded up
    ref: Text | None = None


class Demand(Model):
    """A demand file."""

    customer: Text | None = None
    project: Text | None = None
    defaults: Wishes = Wishes()
    spares: tuple[Spares, ...] = ()
    stacks: Annotated[tuple[Stack, ...], Field(min_length=1, max_length=2000)]
