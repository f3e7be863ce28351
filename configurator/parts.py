"""What parts are: the technical catalog's models, one class a kind of part.

Every field carries its unit in its name.  Watts in files are decimal; the engine turns them
into integer tenths of a watt (`_dw`).  The models state facts and compute nothing that a
rule's model part and its check could share.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from configurator.fields import (
    Airflow,
    Count,
    Country,
    Id,
    Mbps,
    Metres,
    Model,
    Part,
    PoeClass,
    Polish,
    Role,
    Text,
    Watts,
)
from configurator.services import Blank, Feature, Licence, Lug, RackKit, Support, SupportLevel

# --- units ---------------------------------------------------------------------------------


class PortGroup(Model):
    """Ports of a unit type or module that are alike."""

    id: Id  # its name on the unit type or module
    count: Annotated[int, Field(ge=1, le=1024)]  # ports of the group
    connector: Id  # RJ45 or another fixed connector, or the form of the cage: SFP+, QSFP28 …
    speeds_mbps: Annotated[tuple[Mbps, ...], Field(min_length=1)]  # speeds that a port can run at
    face: Literal["front", "rear"] = "front"  # side of the unit it is on
    cage: Id | None = None  # row of the optics matrix; none: a fixed connector, nothing is plugged in
    poe_class: PoeClass | None = None  # highest class a port feeds; none: no PoE
    roles: Annotated[tuple[Role, ...], Field(min_length=1)] = ("network",)  # what its ports may do
    block: Annotated[int, Field(ge=1, le=1024)] = 1  # neighbours that must all run at one speed
    optic_limit_w: Watts | None = None  # most that one plugged optic or cable end may draw
    stack_reserve_w: Watts = Decimal(0)  # reserved for each port of the group that stacks


class Taking(Model):
    """A port group in a role, as one side of an exclusion."""

    group: Id  # port group of the type or of a module
    role: Role  # what its ports do


class SharedPorts(Model):
    """Groups that share their innards: together no more than `at_most` ports are used."""

    groups: Annotated[tuple[Id, ...], Field(min_length=2)]  # port groups that share
    at_most: Count  # ports of all of them that may be used


class SupplyBays(Model):
    """The bays for supplies of a unit type."""

    count: Annotated[int, Field(ge=1, le=8)]  # bays
    takes: Annotated[tuple[Id, ...], Field(min_length=1)]  # supplies that fit
    at_least: Annotated[int, Field(ge=1, le=8)] = 1  # bays that must be filled
    mixed: bool = False  # different supplies in one unit are allowed


class FanBays(Model):
    """The bays for fan trays of a unit type."""

    takes: Annotated[tuple[Id, ...], Field(min_length=1)]  # fan trays that fit
    by_supplies: Annotated[tuple[Count, ...], Field(min_length=1)]  # trays needed with 1, 2, … supplies


class ModuleSlot(Model):
    """A slot that holds one module or stays empty."""

    id: Id  # its name on the unit type
    takes: Annotated[tuple[Id, ...], Field(min_length=1)]  # modules that fit
    required: bool = False  # it may not stay empty


class PoeBudget(Model):
    """One row of a PoE table: with these supplies, so many watts of PoE."""

    supplies: Annotated[tuple[Id, ...], Field(min_length=1)]  # supplies in the bays
    poe_w: Watts  # most that all ports together feed
    from_v: Annotated[int, Field(ge=1, le=1000)] | None = None  # lowest input it holds at; none: at any
    to_v: Annotated[int, Field(ge=1, le=1000)] | None = None  # highest input it holds at; none: at any


class UnitType(Model):
    """One model of switch chassis.  It is ordered as one of the boxes that hold it."""

    id: Id  # its name; it is ordered as a box
    description: Text  # what it is
    family: Id  # which types it stacks with
    ports: Annotated[tuple[PortGroup, ...], Field(min_length=1)]  # ports of the chassis
    base_draw_w: Watts  # of the unit without modules, optics and PoE
    supply_bays: SupplyBays | None = None  # bays for supplies that can be changed; none: none can
    built_in_supply: Id | None = None  # supply that can't be taken out
    fan_bays: FanBays | None = None  # bays for fan trays; none: no trays to choose
    module_slots: tuple[ModuleSlot, ...] = ()  # slots for modules; empty: none
    excludes: tuple[tuple[Taking, Taking], ...] = ()  # pairs of roles that can't both be taken on one unit
    shared_ports: tuple[SharedPorts, ...] = ()  # groups of which only some ports work at once
    poe_cap_w: Watts | None = None  # most that all ports together feed; none: as the supplies allow
    poe_table: tuple[PoeBudget, ...] = ()  # overrides the sum of the supplies
    airflow: Airflow | None = None  # of a type without trays; none: set by supplies and trays
    largest_stack: Annotated[int, Field(ge=1, le=64)] | None = None  # of a stack with one in it; none: the family's
    rack_units: Annotated[int, Field(ge=1, le=60)] = 1  # height, in rack units of 44.45 mm
    depth_mm: Annotated[int, Field(ge=1, le=3000)] | None = None  # of the chassis, without cables; none: not known
    weight_kg: Annotated[Decimal, Field(ge=0, le=1000)] | None = None  # of the bare unit; none: not known
    features: tuple[Id, ...] = ()  # what it does without a licence
    releases: tuple[Id, ...] = ()  # software releases that it runs; empty: any
    subscriptions: tuple[Id, ...] = ()  # licences of which it needs one
    support_ends: date | None = None  # after this day nobody supports it
    hottest_inlet_c: Annotated[int, Field(ge=-40, le=100)] | None = None  # warmest air it takes in, at sea level
    cooler_each_m: Annotated[int, Field(ge=1, le=10_000)] | None = None  # climb that takes 1 degree off that
    highest_m: Annotated[int, Field(ge=0, le=10_000)] | None = None  # altitude it works at
    noise_db: Annotated[Decimal, Field(ge=0, le=150, decimal_places=1)] | None = None  # A-weighted sound power


class Family(Model):
    """Unit types that stack together, and how."""

    id: Id  # its name
    description: Text = "-"  # what it is
    largest_stack: Annotated[int, Field(ge=1, le=64)] = 1  # units of one stack at most
    stacks_with: tuple[Id, ...] = ()  # other families that it stacks with
    cables_a_link: Annotated[int, Field(ge=1, le=4)] = 1  # cables that one link takes
    topologies: tuple[Literal["ring", "chain"], ...] = ("ring", "chain")  # how its units may be linked
    longest_link_m: Metres | None = None  # longest way of one link; none: as far as cables and optics go
    routing_slack_m: Metres = Decimal("0.3")  # added to the way between two rack positions
    two_unit_links: tuple[Literal[1, 2], ...] = (1, 2)  # links that two units may have
    support_alike: bool = False  # units of one stack share the level and term of their support


# --- what goes into units --------------------------------------------------------------------


class SupplyOutput(Model):
    """Output of a supply over a range of input voltage."""

    from_v: Annotated[int, Field(ge=1, le=1000)]  # lowest input voltage
    to_v: Annotated[int, Field(ge=1, le=1000)]  # highest input voltage
    output_w: Watts  # what it delivers there


class EfficiencyPoint(Model):
    """Efficiency of a supply at a part of its load."""

    load_percent: Annotated[int, Field(ge=1, le=100)]  # of its output
    efficiency: Annotated[Decimal, Field(gt=0, le=1, decimal_places=4)]  # output over input power there


class Supply(Part):
    """A field-replaceable (or built-in) power supply."""

    outputs: Annotated[tuple[SupplyOutput, ...], Field(min_length=1)]  # by input voltage
    efficiency: Annotated[Decimal, Field(gt=0, le=1)] = Decimal("0.9")  # output over input power, 1 for 100 %
    efficiency_at: tuple[EfficiencyPoint, ...] = ()
    """At parts of its load, for what energy costs over the years; none: `efficiency` at any load."""
    power_factor: Annotated[Decimal, Field(gt=0, le=1)] = Decimal(1)  # watts over volt-amperes of the input
    inlet: Id | None = None  # IEC 60320 inlet; none: no cord
    airflow: Airflow | None = None  # direction it blows; none: no fan of its own


class FanTray(Part):
    """A field-replaceable fan tray."""

    airflow: Airflow  # direction it blows


class Module(Part):
    """A card for a module slot."""

    ports: tuple[PortGroup, ...] = ()  # ports that it adds
    draw_w: Watts = Decimal(0)  # of the module without optics


# --- what goes into ports ----------------------------------------------------------------------


class Reach(Model):
    """How far an optic goes over one fibre type."""

    fibre: Id  # fibre type, or `copper`
    max_m: Metres  # longest way
    min_m: Metres = Decimal(0)  # shortest way
    short_db: Annotated[Decimal, Field(gt=0, le=60, decimal_places=1)] | None = None
    """What an attenuator at each receiver takes off where the way is shorter than `min_m`; none: it can't be used."""


class Optic(Part):
    """A pluggable transceiver; copper ones have connector RJ45 and a reach over `copper`."""

    form: Id  # SFP, SFP+, SFP28, QSFP+ …
    speeds_mbps: Annotated[tuple[Mbps, ...], Field(min_length=1)]  # speeds that it runs at
    interface: Id  # 10GBASE-SR …: both ends of a link have the same, or the one it pairs with
    connector: Id  # LC, MPO-12, RJ45 …
    reaches: Annotated[tuple[Reach, ...], Field(min_length=1)]  # how far it goes, by fibre type
    fibres: Annotated[int, Field(ge=0, le=24)] = 2  # strands that it uses
    polish: Polish | None = None  # of its connector; none: any fits
    pairs_with: Id | None = None  # optic of the opposite wavelength; none: another of its own
    draw_w: Watts = Decimal(0)  # drawn in the port
    laser_class: Literal["1", "1M"] | None = None  # by IEC 60825-1; none: no laser, or not known


class Cable(Part):
    """Twinax or active optical cable with fixed ends, or a stacking cable."""

    kind: Literal["passive twinax", "active twinax", "active optical", "stacking"]  # what it is
    length_m: Metres  # how long it is
    near: Id  # form of the end in the unit
    far: Id  # form of the other end, or of each other end
    ways: Annotated[int, Field(ge=1, le=16)] = 1  # other ends; more than one: a split cable
    speeds_mbps: Annotated[tuple[Mbps, ...], Field(min_length=1)]  # of one way
    draw_w: Watts = Decimal(0)  # at each end


class FibreCable(Part):
    """A fibre lead, or a split (fan-out) one."""

    fibre: Id  # fibre type: OM4, OS2 …
    length_m: Metres  # how long it is
    near: Id  # connector: LC, MPO-12 …
    far: Id  # connector of the other end, or of each other end
    fibres: Annotated[int, Field(ge=1, le=24)] = 2  # of each far end
    ways: Annotated[int, Field(ge=1, le=16)] = 1  # other ends; more than one: a fan-out
    near_polish: Polish | None = None  # of the near connector; none: any
    far_polish: Polish | None = None  # of the far connectors; none: any


class Attenuator(Part):
    """What weakens the light of a link that is too short for its optics; it goes before a receiver."""

    connector: Id  # that it has on both sides
    loss_db: Annotated[Decimal, Field(gt=0, le=60, decimal_places=1)]  # what it takes off


class StackAdapter(Part):
    """What a unit needs, besides cables, before it can stack."""

    unit_types: Annotated[tuple[Id, ...], Field(min_length=1)]  # types that need it
    count: Annotated[int, Field(ge=1, le=8)] = 1  # a unit


class MatrixRow(Model):
    """Which optics and cables a cage takes."""

    cage: Id  # name of the cage, as port groups give it
    takes: Annotated[tuple[Id, ...], Field(min_length=1)]  # optics and cables that work in it


class Cord(Part):
    """A power cord."""

    countries: Annotated[tuple[Country, ...], Field(min_length=1)]  # where its plug is used
    coupler: Id  # IEC 60320 connector at the supply
    plug: Id  # outlet type at the wall or strip
    rating_a: Annotated[Decimal, Field(gt=0, le=100)]  # most current it carries
    length_m: Metres  # how long it is


# --- boxes ---------------------------------------------------------------------------------------


class Box(Part):
    """A part number under which a unit is ordered: base unit or bundle, by its contents."""

    unit: Id  # unit type in it
    bundle: bool | None = None  # ordered as a bundle, or as a base unit; none: by whether its contents hold anything


class Kit(Part):
    """A part number for several parts without a unit."""


# --- tables ---------------------------------------------------------------------------------------


class PoeClassRow(Model):
    """IEEE 802.3: what the port gives and what reaches the device."""

    poe_class: PoeClass  # the class
    port_w: Watts  # reserved at the port
    device_w: Annotated[Decimal, Field(ge=0, le=200)]  # reaches the device over 100 m
    port_min_v: Annotated[int, Field(ge=1, le=100)]  # lowest voltage at the port
    loop_ohm: Annotated[Decimal, Field(gt=0, le=100)]  # of 100 m of channel


class Coupler(Model):
    """IEC 60320: which inlets a connector mates with."""

    connector: Id  # on the cord: C13 …
    inlets: Annotated[tuple[Id, ...], Field(min_length=1)]  # on the supply: C14 …
    rating_a: Annotated[Decimal, Field(gt=0, le=100)]  # most current it carries


class CountryRow(Model):
    """A country's mains, and the regions price lists know it by."""

    code: Country  # two letters of ISO 3166
    name: Text  # in English
    mains_v: Annotated[int, Field(ge=1, le=1000)]  # nominal mains voltage
    regions: tuple[Id, ...] = ()  # regions of the price list that it is in, the usual one first
    circuit_a: Annotated[Decimal, Field(gt=0, le=400)] | None = None  # usual branch circuit
    circuit_share_percent: Annotated[int, Field(ge=1, le=100)] | None = None  # for continuous loads


class Practice(Model):
    """Habits of the trade that this catalog follows."""

    passive_twinax_below_m: Metres | None = None  # from here on active cables are used


class Parts(Model):
    """Everything in a catalog's folder of YAML files, one list a kind."""

    maker: Text | None = None  # whose catalog it is
    families: tuple[Family, ...] = ()  # unit types that stack together
    unit_types: tuple[UnitType, ...] = ()  # switches, as chassis
    boxes: tuple[Box, ...] = ()  # part numbers under which units are ordered
    kits: tuple[Kit, ...] = ()  # part numbers for several parts without a unit
    supplies: tuple[Supply, ...] = ()  # power supplies
    fan_trays: tuple[FanTray, ...] = ()  # fan trays
    modules: tuple[Module, ...] = ()  # cards for module slots
    optics: tuple[Optic, ...] = ()  # pluggable transceivers
    cables: tuple[Cable, ...] = ()  # twinax, active optical and stacking cables
    fibre_cables: tuple[FibreCable, ...] = ()  # fibre leads and fan-outs
    stack_adapters: tuple[StackAdapter, ...] = ()  # what units need to stack, besides cables
    optics_matrix: tuple[MatrixRow, ...] = ()  # which optics and cables each cage takes
    cords: tuple[Cord, ...] = ()  # power cords
    attenuators: tuple[Attenuator, ...] = ()  # what weakens the light of short links
    features: tuple[Feature, ...] = ()  # what software does
    licences: tuple[Licence, ...] = ()  # rights to features
    support_levels: tuple[SupportLevel, ...] = ()  # levels of support, by rank
    support: tuple[Support, ...] = ()  # support contracts
    rack_kits: tuple[RackKit, ...] = ()  # what holds units in racks
    blanks: tuple[Blank, ...] = ()  # panels for empty bays and slots
    lugs: tuple[Lug, ...] = ()  # earthing lugs
    poe_classes: tuple[PoeClassRow, ...] = ()  # IEEE 802.3 classes; empty: the table that comes with the tool
    couplers: tuple[Coupler, ...] = ()  # IEC 60320 couplers; empty: the table that comes with the tool
    countries: tuple[CountryRow, ...] = ()  # mains and regions by country
    practice: Practice = Practice()  # habits of the trade that the maker follows
