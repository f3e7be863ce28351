"""The answer to one demand, as people and programs read it: the models behind `--format json`.

`schema` counts up its second figure when something is added and its first when something that was
there changes or goes.  Money is integers of the currency's minor unit; watts, metres and the like
are numbers.  `build` is the build itself, as the checks read it; its decimals are strings.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import ConfigDict, Field, PlainSerializer

from configurator.build import Build
from configurator.fields import Model
from configurator.solved import Status

SCHEMA_VERSION: Literal["1.0"] = "1.0"
Number = Annotated[Decimal, PlainSerializer(float, return_type=float, when_used="json")]


class Given(Model):
    """A statement of the demand, or an assumption that fills it."""

    key: str
    text: str
    where: str
    ref: str | None
    assumed: bool


class RuleWords(Model):
    """A rule by its id and sentence."""

    id: str
    sentence: str


class Why(Model):
    """Why a part is on the bill."""

    rule: str
    text: str
    statement: str | None
    said: str | None  # the statement in the user's words
    ref: str | None


class BillLine(Model):
    """One part to order for one stack."""

    part: str
    description: str
    group: str
    quantity: int
    included: int  # how many more come in boxes at no charge
    unit_price_minor: int
    amount_minor: int
    reasons: tuple[Why, ...]


class OrderLine(Model):
    """One part to order for all stacks, each with its copies."""

    part: str
    description: str
    group: str
    quantity: int
    included: int
    unit_price_minor: int
    amount_minor: int
    stacks: tuple[str, ...]


class IncludedPart(Model):
    """What is in a box already, so that nobody orders it twice."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    part: str
    description: str
    quantity: int
    box: Annotated[str, Field(alias="in")]


class SupplyPlace(Model):
    """A supply in its bay, its cord and feed; bay 0 is built in."""

    bay: int
    supply: str
    cord: str | None
    feed: Literal["A", "B"] | None


class ModulePlace(Model):
    """A module in its slot."""

    slot: str
    module: str


class PortRange(Model):
    """Devices of one statement on ports of one group."""

    name: str
    statement: str
    ref: str | None
    slot: str | None
    group: str
    ports: str  # 1-12, 15
    count: int
    speed_mbps: int
    powered: bool
    plug: str | None


class FreePorts(Model):
    """Ports of a group that nothing uses."""

    slot: str | None
    group: str
    ports: str
    count: int


class StackPorts(Model):
    """The ports that a unit stacks through, and what it needs to."""

    slot: str | None
    group: str
    ports: str
    adapters: tuple[str, ...]


class SplitPlace(Model):
    """A split port and what splits it."""

    slot: str | None
    group: str
    port: int
    parts: tuple[str, ...]


class Watts(Model):
    """What supplies give and what is left of it; less than nothing is what is short."""

    output_w: Number
    left_w: Number
    poe_budget_w: Number | None  # none: PoE is limited by the supplies only
    poe_left_w: Number


class Power(Model):
    """What a unit draws and what its supplies give, with all of them and with one lost."""

    own_w: Number  # chassis, modules, stacking, optics and cables
    poe_w: Number  # reserved at its ports
    all_supplies: Watts
    one_lost: Watts | None  # none: it has one supply only and stops


class Unit(Model):
    """One unit and everything that is in it."""

    position: int
    type: str
    box: str
    airflow: str | None
    supplies: tuple[SupplyPlace, ...]
    fan_trays: tuple[str, ...]
    modules: tuple[ModulePlace, ...]
    stacking: StackPorts | None
    splits: tuple[SplitPlace, ...]
    uses: tuple[PortRange, ...]
    free: tuple[FreePorts, ...]
    power: Power


class Link(Model):
    """One stacking connection, by the positions of its units."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    from_unit: Annotated[int, Field(alias="from")]
    to_unit: Annotated[int, Field(alias="to")]
    way_m: Number
    speed_mbps: int
    parts: tuple[str, ...]
    length_m: Number | None  # of its shortest cable; none: fibre that lies there already


class Uplink(Model):
    """One uplink: where it leaves the stack, through what, and what is ordered for its far end."""

    name: str
    statement: str
    ref: str | None
    unit: int
    slot: str | None
    group: str
    port: int
    way: int | None
    speed_mbps: int
    plug: tuple[str, ...]
    far_end: str | None


class Inlets(Model):
    """Inlets that are alike, and the current of one."""

    inlet: str
    plug: str | None  # at the rack's end of the cord
    feed: Literal["A", "B"] | None
    count: int
    expected_a: Number | None  # most that one carries while every supply works; none: no input voltage known
    rated_a: Number | None  # at the supply's rated output


class Facility(Model):
    """What one stack asks of the room: everything in use at once, every PoE port at what it reserves."""

    rack_units: int
    weight_kg: Number | None
    heaviest_kg: Number | None
    load_w: Number  # what the supplies deliver
    poe_w: Number  # of it, what leaves on the devices' cables
    plug_w: Number  # what the supplies take
    volt_amperes: Number
    input_v: int | None
    heat_btu_h: Number  # of all plug watts
    closet_w: Number  # plug watts less the PoE that leaves
    closet_btu_h: Number
    airflow: tuple[str, ...]
    laser_classes: tuple[str, ...]
    inlets: tuple[Inlets, ...]
    cautions: tuple[str, ...]


class ConflictWords(Model):
    """Statements and rules that cannot hold together."""

    statements: tuple[Given, ...]
    rules: tuple[RuleWords, ...]
    text: str
    smallest: bool


class Effort(Model):
    """How much work the engine did."""

    rounds: int
    cuts: int
    packings: int
    no_goods: int
    columns: int
    rows: int


class StackAnswer(Model):
    """What is to be ordered for one stack, or why it cannot be met."""

    name: str
    copies: int
    status: Status
    price_minor: int | None
    bound_minor: int | None
    gap_minor: int | None
    topology: Literal["ring", "chain"] | None
    units: tuple[Unit, ...]
    links: tuple[Link, ...]
    uplinks: tuple[Uplink, ...]
    bill: tuple[BillLine, ...]
    included: tuple[IncludedPart, ...]
    facility: Facility | None
    conflicts: tuple[ConflictWords, ...]
    build: Build | None
    effort: Effort


class Assumption(Model):
    """What was assumed because nobody said it."""

    stacks: tuple[str, ...]
    key: str
    value: str
    text: str


class ListName(Model):
    """Which price list served."""

    name: str
    issued: date
    valid_until: date


class CatalogName(Model):
    """Which catalog served."""

    name: str
    maker: str | None
    demonstration: bool  # the packaged one: invented parts, invented prices


class Answer(Model):
    """The whole answer."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.0"], Field(alias="schema")] = SCHEMA_VERSION
    tool_version: str
    customer: str | None
    project: str | None
    currency: str
    decimals: int
    total_minor: int | None  # none unless every stack has a build
    status: Status  # the worst of the stacks'
    price_list: ListName
    catalog: CatalogName
    order_date: date
    assumptions: tuple[Assumption, ...]
    not_included: tuple[str, ...]
    notes: tuple[str, ...]
    bill: tuple[OrderLine, ...]
    stacks: tuple[StackAnswer, ...]
