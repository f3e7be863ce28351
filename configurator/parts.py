"""What parts are: the technical catalog's models, one class a kind of part.

Every field carries its unit in its name.  Watts in files are decimal; the engine turns them
into integer tenths of a watt (`_dw`).  The models state facts and compute nothing that a
rule's model part and its check could share.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints


def _speed(value: object) -> object:
    """`10G` and `100M` are the trade's way to write 10000 and 100 Mb/s."""
    if isinstance(value, str) and value[-1:] in ("G", "M"):
        try:
            mbps = Decimal(value[:-1]) * (1000 if value.endswith("G") else 1)
        except ArithmeticError:
            return value
        return int(mbps) if mbps.is_finite() and mbps == int(mbps) else value
    return value


Id = Annotated[str, StringConstraints(min_length=1, max_length=64, pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._/+-]*$")]
Text = Annotated[str, StringConstraints(min_length=1, max_length=400)]
Country = Annotated[str, StringConstraints(pattern=r"^[A-Z]{2}$")]
Count = Annotated[int, Field(ge=0, le=100_000)]
Watts = Annotated[Decimal, Field(ge=0, le=100_000, decimal_places=1)]
Metres = Annotated[Decimal, Field(ge=0, le=1_000_000, decimal_places=3)]
Mbps = Annotated[int, BeforeValidator(_speed), Field(ge=10, le=10_000_000)]
Airflow = Literal["front-to-back", "back-to-front", "side-to-side", "fanless"]
Role = Literal["stack", "network", "split"]
PoeClass = Annotated[int, Field(ge=0, le=8)]


class Model(BaseModel):
    """Frozen, strict about unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Content(Model):
    """Some of one part inside the box of another."""

    part: Id
    count: Annotated[int, Field(ge=1, le=1000)] = 1
    movable: bool = False  # may serve another unit of the same stack


class Part(Model):
    """Anything with a part number that can be on a bill."""

    id: Id
    description: Text
    contents: tuple[Content, ...] = ()  # listed in full; not unfolded further
    regions: tuple[Id, ...] = ()  # region or country codes where it is sold; empty: everywhere
    marks: tuple[Id, ...] = ()  # compliance marks it carries
    weight_kg: Annotated[Decimal, Field(ge=0, le=1000)] | None = None


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


class Optic(Part):
    """A pluggable transceiver; copper ones have connector RJ45 and a reach over `copper`."""

    form: Id  # SFP, SFP+, SFP28, QSFP+ …
    speeds_mbps: Annotated[tuple[Mbps, ...], Field(min_length=1)]
    interface: Id  # 10GBASE-SR …: both ends of a link have the same, or the one it pairs with
    connector: Id  # LC, MPO-12, RJ45 …
    reaches: Annotated[tuple[Reach, ...], Field(min_length=1)]
    fibres: Annotated[int, Field(ge=0, le=24)] = 2
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


# --- rights and services, fixings -----------------------------------------------------------------


class Feature(Model):
    """Something software does that may need a licence."""

    id: Id
    description: Text


class Licence(Part):
    """A right to features."""

    features: tuple[Id, ...] = ()
    scope: Literal["unit", "stack", "port"]
    unit_types: tuple[Id, ...] = ()
    term_months: Annotated[int, Field(ge=1, le=240)] | None = None  # none: for good


class Support(Part):
    """A support contract for one unit."""

    unit_types: tuple[Id, ...] = ()
    level: Id
    term_months: Annotated[int, Field(ge=1, le=240)]
    countries: tuple[Country, ...] = ()
    covers_optics: bool = False
    keeps_failed_parts: bool = False


class RackKit(Part):
    """What holds a unit in a rack."""

    unit_types: tuple[Id, ...] = ()
    posts: Literal[2, 4]


class Blank(Part):
    """A panel for an empty bay or slot."""

    unit_types: tuple[Id, ...] = ()
    fills: Literal["supply bay", "module slot"]


class Lug(Part):
    """An earthing lug."""

    unit_types: tuple[Id, ...] = ()


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
    features: tuple[Feature, ...] = ()
    licences: tuple[Licence, ...] = ()
    support: tuple[Support, ...] = ()
    rack_kits: tuple[RackKit, ...] = ()
    blanks: tuple[Blank, ...] = ()
    lugs: tuple[Lug, ...] = ()
    poe_classes: tuple[PoeClassRow, ...] = ()
    couplers: tuple[Coupler, ...] = ()
    countries: tuple[CountryRow, ...] = ()
    practice: Practice = Practice()
