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
Growth = Annotated[int, Field(ge=0, le=1000)]
Ratio = Annotated[Decimal, Field(gt=0, le=1000)]
Position = Annotated[int, Field(ge=1, le=100)]
Currency = Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")]
Kilometres = Annotated[int, Field(ge=0, le=20_000)]
RackUnits = Annotated[int, Field(ge=1, le=1000)]
Decibels = Annotated[Decimal, Field(gt=0, le=150, decimal_places=1)]
Blowing = Literal["front-to-back", "back-to-front"]
Spared = Literal["units", "supplies", "fan trays", "modules", "optics", "cables", "cords"]
OnLoss = Literal["stops", "sheds_poe", "carries_all"]
BoughtAs = Literal["bundles", "base_units", "either"]


class AccessPorts(Model):
    """Ports for devices that are not told one by one."""

    count: Quantity  # how many
    speed_mbps: Mbps = 1000  # what each must run at
    over: Id = "copper"  # copper, or a fibre type of the optics' reaches: OM4, OS2 …
    length_m: Metres = Decimal(100)  # of the fibre to each
    capable_of_class: PoeClass | None = None  # the port could feed this class, nothing is reserved
    powered_at_class: PoeClass | None = None  # the port feeds this class
    powered_percent: Percent = 100  # of the powered ones, how many at once
    features: tuple[Id, ...] = ()  # what the software must do on each of these ports
    name: Text | None = None  # what to call them
    ref: Text | None = None  # the customer's own reference: paragraph, line


class Devices(Model):
    """Powered (or plain) devices of one kind; each has a port of its own."""

    kind: Text  # what they are: access point, camera …
    count: Quantity  # how many
    speed_mbps: Mbps = 1000  # what each runs at
    poe_class: PoeClass | None = None  # class that each asks for; none: see the watts, else no PoE
    device_w: DeviceWatts | None = None  # watts at the device: the cable's loss is added
    port_w: DeviceWatts | None = None  # watts at the port
    cable_m: Annotated[Decimal, Field(ge=0, le=100)] = Decimal(100)  # length of the copper cable to each
    powered_percent: Percent = 100  # how many draw power at once
    features: tuple[Id, ...] = ()  # what the software must do on each of their ports
    ref: Text | None = None  # the customer's own reference: paragraph, line


class Uplinks(Model):
    """Links to the network beyond the stack."""

    count: Quantity  # how many
    speed_mbps: Mbps  # of each
    over: Literal["fibre", "direct", "copper", "any"] = "any"  # direct: twinax or active optical cable
    fibre: Id | None = None  # OM3, OM4, OS2 …
    length_m: Metres = Decimal(5)  # way to the far end
    single_fibre: bool = False  # one strand: optics of opposite wavelengths
    far_form: Id | None = None  # form of the far end's cage: SFP+ …; needed for a direct cable
    far_connector: Id | None = None  # connector of the far end's optic or panel: LC, MPO-12 …
    far_interface: Id | None = None  # 10GBASE-SR …: what stands at the far end
    ends: Literal["near", "both"] = "near"  # whose optics are ordered
    spread_over_units: Annotated[int, Field(ge=1, le=8)] = 1  # units that must have one at least
    may_split: bool = True  # a faster port may be split into several of these
    features: tuple[Id, ...] = ()  # what the software must do on each of these ports
    panel_connector: Id | None = None  # of the patch panel that a lead goes to; none: no leads are ordered
    panel_polish: Polish | None = None  # of the panel's connectors; none: any
    lead_m: Metres = Decimal(2)  # shortest lead that reaches the panel
    name: Text | None = None  # what to call them
    ref: Text | None = None  # the customer's own reference: paragraph, line


class Circuit(Model):
    """The branch circuit that each inlet has."""

    amps: Annotated[Decimal, Field(gt=0, le=400)]  # what its breaker allows
    share_percent: Annotated[int, Field(ge=1, le=100)] = 100  # what the site's code allows
    shared: bool = False  # one circuit (of each feed) carries the whole stack, not one each inlet


class Outlets(Model):
    """Free outlets of one type on the rack's strips."""

    plug: Id  # outlet type: C14, CEE 7-7 …
    count: Count  # how many are free


class TypeBoughtAs(Model):
    """How units of one type are bought."""

    unit: Id  # unit type
    bought_as: BoughtAs  # bundles only, base units and loose parts only, or whichever is cheaper


class Wishes(Model):
    """What may be said for the whole order, and differently for a stack."""

    headroom_percent: Growth | None = None  # growth of each kind of ports and devices, rounded up; none: 0
    headroom_count: Count | None = None  # growth of each kind of ports and devices, by number; none: 0
    headroom_draws: bool | None = None  # growth draws watts like what is there today; none: yes
    headroom_uplinks_percent: Growth | None = None  # growth of each kind of uplinks, rounded up; none: 0
    headroom_uplinks_count: Count | None = None  # growth of each kind of uplinks, by number; none: 0
    headroom_w: Watts | None = None  # left on each unit; none: 0
    headroom_w_percent: Percent | None = None  # of its supplies' output, left on each unit; none: 0
    oversubscription: Ratio | None = None  # most access bandwidth for each of uplink bandwidth; none: any
    units_at_least: Annotated[int, Field(ge=1, le=64)] | None = None  # of one stack; none: 1
    units_at_most: Annotated[int, Field(ge=1, le=64)] | None = None  # of one stack; none: what its family allows
    topology: Literal["ring", "chain"] | None = None  # how units are linked; none: a ring where the family allows it
    two_unit_links: Literal[1, 2] | None = None  # links between two units; none: as the family has it
    stacking_mbps: Mbps | None = None  # least rate of the stacking links; none: any
    rack_positions: tuple[Position, ...] | None = None  # rack unit of each, counted from below; none: one above another
    between_units_m: tuple[Metres, ...] | None = None
    """One figure for every link, or one a neighbour; none: by rack positions."""
    stack_fibre: Id | None = None  # fibre that lies between the units already; none: no fibre lies there
    on_supply_loss: OnLoss | None = None  # what a unit does when it loses one supply; none: stops
    on_feed_loss: OnLoss | None = None  # what a unit does when it loses one of two feeds; none: stops
    airflow: Blowing | None = None  # which way every unit blows; none: either, one way a unit
    country: Country | None = None  # where it is plugged in, two letters of ISO 3166; none: not looked at
    input_v: Annotated[int, Field(ge=1, le=1000)] | None = None  # at the supplies' inlets; none: the country's mains
    circuit: Circuit | None = None  # branch circuit of each inlet; none: the country's usual one, else large enough
    outlets: tuple[Outlets, ...] | None = None  # free ones, by type; none: enough of every type
    cord_m: Metres | None = None  # shortest cord that reaches the outlet; none: 0
    region: Id | None = None  # where it is ordered; none: the country's first
    currency: Currency | None = None  # that prices must be in; none: the price list's
    deliver_by: date | None = None  # last day on which every part must be there; none: any
    marks: tuple[Id, ...] | None = None  # compliance marks that parts must carry; none: any
    features: tuple[Id, ...] | None = None  # what the software of every unit must do; none: nothing is asked
    licence_months: Months | None = None  # shortest term of licences that end; none: any
    release: Id | None = None  # software release that all units run; none: any that they share
    support_level: Id | None = None  # lowest level of support; none: no support, or any level where support is asked
    support_months: Months | None = None  # shortest term of support; none: any
    support_until: date | None = None  # one day on which all support ends; none: each contract's own
    optics_covered: bool | None = None  # by support; none: no
    failed_parts_kept: bool | None = None  # the customer keeps what support replaces; none: no
    depot_km: Kilometres | None = None  # from the site to the nearest depot of spares; none: near enough
    rack_posts: Literal[2, 4] | None = None  # posts of the rack; none: no rack kits are ordered
    rack_units_free: RackUnits | None = None  # height that is free, in rack units of 44.45 mm; none: enough
    rack_depth_mm: Annotated[int, Field(ge=1, le=3000)] | None = None  # usable depth; none: enough
    rack_weight_kg: Annotated[Decimal, Field(gt=0, le=5000)] | None = None  # what the rack still carries; none: enough
    blank_panels: bool | None = None  # in empty bays and slots; none: yes
    earthing_lugs: bool | None = None  # one on each unit; none: no
    inlet_c: Annotated[int, Field(ge=-40, le=80)] | None = None  # warmest air at the inlets; none: not looked at
    altitude_m: Annotated[int, Field(ge=0, le=9000)] | None = None  # of the site above the sea; none: 0
    noise_db: Decibels | None = None  # most of the whole stack, A-weighted sound power; none: any
    heat_w: Watts | None = None  # most heat that stays in the closet; none: any
    ups_va: Annotated[int, Field(ge=1, le=1_000_000)] | None = None  # what the UPS still carries; none: enough
    bought_as: BoughtAs | None = None  # bundles only, or base units and loose parts only; none: whichever is cheaper
    bought_as_by_type: tuple[TypeBoughtAs, ...] | None = None  # overrides it for single unit types; none: for none


class Stack(Wishes):
    """One stack, or several alike."""

    name: Text  # what to call it, once in a file
    copies: Annotated[int, Field(ge=1, le=10_000)] = 1  # how many are built like it
    closet: Text | None = None  # room it stands in; none: a room of its own
    ports: tuple[AccessPorts, ...] = ()  # access ports
    devices: tuple[Devices, ...] = ()  # devices, each with a port of its own besides `ports`
    uplinks: tuple[Uplinks, ...] = ()  # links out of the stack


class Spares(Model):
    """Cold spares for the whole order: parts on a shelf, by number or in percent of what is in service."""

    of: Spared | None = None  # which parts (cables: leads too); they need no licence and no support; none: see `part`
    part: Id | None = None  # instead of a kind: one unit type or part; a box means its unit; no licence, no contract
    count: Count | None = None
    """Of each such part in service: hardware that some stack uses, whatever box it came in, but nothing built in and no
    optics at far ends."""
    percent: Percent | None = None  # of how many of each are in service in the whole order, rounded up
    ref: Text | None = None  # the customer's own reference: paragraph, line


class LoadLevel(Model):
    """Hours of each day in which the devices draw alike."""

    hours_a_day: Annotated[Decimal, Field(gt=0, le=24, decimal_places=2)]  # of each day
    draw_percent: Percent  # of the watts asked for powered devices, with growth that draws


class Life(Model):
    """The years of ownership: what is bought is also renewed, fed and cooled."""

    years: Annotated[int, Field(ge=1, le=30)]  # how long the stacks are owned
    energy_per_kwh: Annotated[Decimal, Field(ge=0, le=1_000_000, decimal_places=4)]  # price, in the order's currency
    load_profile: tuple[LoadLevel, ...] = ()
    """A day of the devices; in hours that it leaves out they draw nothing; none: all that is asked, at all hours."""
    cooling_percent: Annotated[int, Field(ge=0, le=1000)] = 0  # watts of cooling for each 100 W of heat in the room
    discount_rate_percent: Annotated[Decimal, Field(ge=0, le=100, decimal_places=2)] = Decimal(0)
    """Of a year, by which what is paid later is worth less today."""


class Demand(Model):
    """A demand file."""

    customer: Text | None = None  # whom it is for
    project: Text | None = None  # what it is for
    defaults: Wishes = Wishes()  # wishes for every stack; each stack may differ
    spares: tuple[Spares, ...] = ()  # cold spares of the whole order
    life: Life | None = None  # years of ownership; none: what is owned costs nothing after it is bought
    stacks: Annotated[tuple[Stack, ...], Field(min_length=1, max_length=2000)]  # what each stack has to serve
