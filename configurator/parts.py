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

    id: Id
    count: Annotated[int, Field(ge=1, le=1024)]
    connector: Id  # RJ45 or another fixed connector, or the form of the cage: SFP+, QSFP28 …
    speeds_mbps: Annotated[tuple[Mbps, ...], Field(min_length=1)]
    face: Literal["front", "rear"] = "front"
    cage: Id | None = None  # row of the optics matrix; none: a fixed connector, nothing is plugged in
    poe_class: PoeClass | None = None  # highest class a port feeds; none: no PoE
    roles: Annotated[tuple[Role, ...], Field(min_length=1)] = ("network",)
    block: Annotated[int, Field(ge=1, le=1024)] = 1  # neighbours that must all run at one speed
    optic_limit_w: Watts | None = None  # most that one plugged optic or cable end may draw
    stack_reserve_w: Watts = Decimal(0)  # reserved for each port of the group that stacks


class Taking(Model):
    """A port group in a role, as one side of an exclusion."""

    group: Id
    role: Role


class SharedPorts(Model):
    """Groups that share their innards: together no more than `at_most` ports are used."""

    groups: Annotated[tuple[Id, ...], Field(min_length=2)]
    at_most: Count


class SupplyBays(Model):
    """The bays for supplies of a unit type."""

    count: Annotated[int, Field(ge=1, le=8)]
    takes: Annotated[tuple[Id, ...], Field(min_length=1)]
    at_least: Annotated[int, Field(ge=1, le=8)] = 1
    mixed: bool = False  # different supplies in one unit are allowed


class FanBays(Model):
    """The bays for fan trays of a unit type."""

    takes: Annotated[tuple[Id, ...], Field(min_length=1)]
    by_supplies: Annotated[tuple[Count, ...], Field(min_length=1)]  # trays needed with 1, 2, … supplies


class ModuleSlot(Model):
    """A slot that holds one module or stays empty."""

    id: Id
    takes: Annotated[tuple[Id, ...], Field(min_length=1)]
    required: bool = False


class PoeBudget(Model):
    """One row of a PoE table: with these supplies, so many watts of PoE."""

    supplies: Annotated[tuple[Id, ...], Field(min_length=1)]
    poe_w: Watts
    from_v: Annotated[int, Field(ge=1, le=1000)] | None = None  # none: at any input voltage
    to_v: Annotated[int, Field(ge=1, le=1000)] | None = None


class UnitType(Model):
    """One model of switch chassis.  It is ordered as one of the boxes that hold it."""

    id: Id
    description: Text
    family: Id
    ports: Annotated[tuple[PortGroup, ...], Field(min_length=1)]
    base_draw_w: Watts
    supply_bays: SupplyBays | None = None  # none: no field-replaceable supply; see built_in_supply
    built_in_supply: Id | None = None
    fan_bays: FanBays | None = None
    module_slots: tuple[ModuleSlot, ...] = ()
    excludes: tuple[tuple[Taking, Taking], ...] = ()
    shared_ports: tuple[SharedPorts, ...] = ()
    poe_cap_w: Watts | None = None
    poe_table: tuple[PoeBudget, ...] = ()  # overrides the sum of the supplies
    airflow: Airflow | None = None  # of a type without trays; none: set by supplies and trays
    largest_stack: Annotated[int, Field(ge=1, le=64)] | None = None  # none: the family's
    rack_units: Annotated[int, Field(ge=1, le=60)] = 1
    depth_mm: Annotated[int, Field(ge=1, le=3000)] | None = None
    weight_kg: Annotated[Decimal, Field(ge=0, le=1000)] | None = None
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

    id: Id
    description: Text = "-"
    largest_stack: Annotated[int, Field(ge=1, le=64)] = 1
    stacks_with: tuple[Id, ...] = ()
    cables_a_link: Annotated[int, Field(ge=1, le=4)] = 1
    topologies: tuple[Literal["ring", "chain"], ...] = ("ring", "chain")
    longest_link_m: Metres | None = None
    routing_slack_m: Metres = Decimal("0.3")  # added to the way between two rack positions
    two_unit_links: tuple[Literal[1, 2], ...] = (1, 2)  # links that two units may have
    support_alike: bool = False  # units of one stack share the level and term of their support


# --- what goes into units --------------------------------------------------------------------


class SupplyOutput(Model):
    """Output of a supply over a range of input voltage."""

    from_v: Annotated[int, Field(ge=1, le=1000)]
    to_v: Annotated[int, Field(ge=1, le=1000)]
    output_w: Watts


class Supply(Part):
    """A field-replaceable (or built-in) power supply."""

    outputs: Annotated[tuple[SupplyOutput, ...], Field(min_length=1)]
    efficiency: Annotated[Decimal, Field(gt=0, le=1)] = Decimal("0.9")
    power_factor: Annotated[Decimal, Field(gt=0, le=1)] = Decimal(1)
    inlet: Id | None = None  # IEC 60320 inlet; none: no cord
    airflow: Airflow | None = None  # none: no fan of its own


class FanTray(Part):
    """A field-replaceable fan tray."""

    airflow: Airflow


class Module(Part):
    """A card for a module slot."""

    ports: tuple[PortGroup, ...] = ()
    draw_w: Watts = Decimal(0)


# --- what goes into ports ----------------------------------------------------------------------


class Reach(Model):
    """How far an optic goes over one fibre type."""

    fibre: Id
    max_m: Metres
    min_m: Metres = Decimal(0)
    short_db: Annotated[Decimal, Field(gt=0, le=60, decimal_places=1)] | None = None
    """What an attenuator at each receiver takes off where the way is shorter than `min_m`; none: it can't be used."""


class Optic(Part):
    """A pluggable transceiver; copper ones have connector RJ45 and a reach over `copper`."""

    form: Id  # SFP, SFP+, SFP28, QSFP+ …
    speeds_mbps: Annotated[tuple[Mbps, ...], Field(min_length=1)]
    interface: Id  # 10GBASE-SR …: both ends of a link have the same, or the one it pairs with
    connector: Id  # LC, MPO-12, RJ45 …
    reaches: Annotated[tuple[Reach, ...], Field(min_length=1)]
    fibres: Annotated[int, Field(ge=0, le=24)] = 2
    polish: Polish | None = None
    pairs_with: Id | None = None  # optic of the opposite wavelength; none: another of its own
    draw_w: Watts = Decimal(0)
    laser_class: Literal["1", "1M"] | None = None


class Cable(Part):
    """Twinax or active optical cable with fixed ends, or a stacking cable."""

    kind: Literal["passive twinax", "active twinax", "active optical", "stacking"]
    length_m: Metres
    near: Id  # form of the end in the unit
    far: Id  # form of the other end, or of each other end
    ways: Annotated[int, Field(ge=1, le=16)] = 1  # other ends; more than one: a split cable
    speeds_mbps: Annotated[tuple[Mbps, ...], Field(min_length=1)]  # of one way
    draw_w: Watts = Decimal(0)  # at each end


class FibreCable(Part):
    """A fibre lead, or a split (fan-out) one."""

    fibre: Id
    length_m: Metres
    near: Id  # connector: LC, MPO-12 …
    far: Id
    fibres: Annotated[int, Field(ge=1, le=24)] = 2  # of each far end
    ways: Annotated[int, Field(ge=1, le=16)] = 1
    near_polish: Polish | None = None
    far_polish: Polish | None = None


class Attenuator(Part):
    """What weakens the light of a link that is too short for its optics; it goes before a receiver."""

    connector: Id
    loss_db: Annotated[Decimal, Field(gt=0, le=60, decimal_places=1)]


class StackAdapter(Part):
    """What a unit needs, besides cables, before it can stack."""

    unit_types: Annotated[tuple[Id, ...], Field(min_length=1)]
    count: Annotated[int, Field(ge=1, le=8)] = 1  # a unit


class MatrixRow(Model):
    """Which optics and cables a cage takes."""

    cage: Id
    takes: Annotated[tuple[Id, ...], Field(min_length=1)]


class Cord(Part):
    """A power cord."""

    countries: Annotated[tuple[Country, ...], Field(min_length=1)]  # where its plug is used
    coupler: Id  # IEC 60320 connector at the supply
    plug: Id
    rating_a: Annotated[Decimal, Field(gt=0, le=100)]
    length_m: Metres


# --- boxes ---------------------------------------------------------------------------------------


class Box(Part):
    """A part number under which a unit is ordered: base unit or bundle, by its contents."""

    unit: Id


class Kit(Part):
    """A part number for several parts without a unit."""


# --- tables ---------------------------------------------------------------------------------------


class PoeClassRow(Model):
    """IEEE 802.3: what the port gives and what reaches the device."""

    poe_class: PoeClass
    port_w: Watts
    device_w: Annotated[Decimal, Field(ge=0, le=200)]
    port_min_v: Annotated[int, Field(ge=1, le=100)]
    loop_ohm: Annotated[Decimal, Field(gt=0, le=100)]  # of 100 m of channel


class Coupler(Model):
    """IEC 60320: which inlets a connector mates with."""

    connector: Id
    inlets: Annotated[tuple[Id, ...], Field(min_length=1)]
    rating_a: Annotated[Decimal, Field(gt=0, le=100)]


class CountryRow(Model):
    """A country's mains, and the regions price lists know it by."""

    code: Country
    name: Text
    mains_v: Annotated[int, Field(ge=1, le=1000)]
    regions: tuple[Id, ...] = ()
    circuit_a: Annotated[Decimal, Field(gt=0, le=400)] | None = None  # usual branch circuit
    circuit_share_percent: Annotated[int, Field(ge=1, le=100)] | None = None  # for continuous loads


class Practice(Model):
    """Habits of the trade that this catalog follows."""

    passive_twinax_below_m: Metres | None = None  # from here on active cables are used


class Parts(Model):
    """Everything in a catalog's folder of YAML files, one list a kind."""

    maker: Text | None = None
    families: tuple[Family, ...] = ()
    unit_types: tuple[UnitType, ...] = ()
    boxes: tuple[Box, ...] = ()
    kits: tuple[Kit, ...] = ()
    supplies: tuple[Supply, ...] = ()
    fan_trays: tuple[FanTray, ...] = ()
    modules: tuple[Module, ...] = ()
    optics: tuple[Optic, ...] = ()
    cables: tuple[Cable, ...] = ()
    fibre_cables: tuple[FibreCable, ...] = ()
    stack_adapters: tuple[StackAdapter, ...] = ()
    optics_matrix: tuple[MatrixRow, ...] = ()
    cords: tuple[Cord, ...] = ()
    attenuators: tuple[Attenuator, ...] = ()
    features: tuple[Feature, ...] = ()
    licences: tuple[Licence, ...] = ()
    support_levels: tuple[SupportLevel, ...] = ()
    support: tuple[Support, ...] = ()
    rack_kits: tuple[RackKit, ...] = ()
    blanks: tuple[Blank, ...] = ()
    lugs: tuple[Lug, ...] = ()
    poe_classes: tuple[PoeClassRow, ...] = ()
    couplers: tuple[Coupler, ...] = ()
    countries: tuple[CountryRow, ...] = ()
    practice: Practice = Practice()
