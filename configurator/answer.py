"""The answer to one demand, as people and programs read it: the models behind `--format json`.

`schema` counts up its second figure when something is added and its first when something that was
there changes or goes.  Money is integers of the currency's minor unit; watts, metres and the like
are numbers.  `build` is the build itself, as the checks read it; its decimals are strings.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer_discounts import DiscountsUsed
from configurator.answer_facility import Closet, Facility
from configurator.answer_proof import InputFile, ProofOfAnswer, Waived
from configurator.answer_refusal import ConflictWords, CorrectionWords, Given
from configurator.build import Build, SpareParts
from configurator.fields import Model, Number
from configurator.life.result import LifeAnswer, Objective, StackLife
from configurator.solved import Status

SCHEMA_VERSION: Literal["1.3"] = "1.3"


class Why(Model):
    """Why a part is on the bill."""

    rule: str  # rule that asks for the part
    text: str  # in words
    statement: str | None  # key of the statement behind it; none: the rule alone
    said: str | None  # the statement in the user's words
    ref: str | None  # the customer's own reference


class BillLine(Model):
    """One part to order for one stack."""

    part: str  # part number
    description: str  # from the catalog
    group: str  # kind of part
    quantity: int  # to order
    included: int  # how many more come in boxes at no charge
    unit_price_minor: int  # of one, after its discount
    list_price_minor: int | None = None  # of one, before its discount; none: no discounts are in force
    discount_percent: Number | None = None  # off the list price; none: no discount on this part
    discount_line: int | None = None  # of the discounts' file; none: no discount on this part
    amount_minor: int  # quantity times price
    reasons: tuple[Why, ...]  # why it is there


class OrderLine(Model):
    """One part to order for all stacks, each with its copies."""

    part: str  # part number
    description: str  # from the catalog
    group: str  # kind of part
    quantity: int  # to order for all stacks, or as spares
    needed: int  # of it, by the stacks or as spares
    left_over: int  # of it, what whole packs and least quantities add
    included: int  # how many more come in boxes at no charge
    unit_price_minor: int  # of one, after its discount
    list_price_minor: int | None = None  # of one, before its discount; none: no discounts are in force
    discount_percent: Number | None = None  # off the list price; none: no discount on this part
    discount_line: int | None = None  # of the discounts' file; none: no discount on this part
    amount_minor: int  # quantity times price
    pack_size: int  # ordered in multiples of this many
    least_quantity: int  # ordered in no smaller number
    stacks: tuple[str, ...]  # names of the stacks that need it
    reason: str | None  # of cold spares: what the customer said; none: stacks need it


class IncludedPart(Model):
    """What is in a box already, so that nobody orders it twice."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    part: str  # part number
    description: str  # from the catalog
    quantity: int  # in all such boxes
    box: Annotated[str, Field(alias="in")]  # part number of the box


class SupplyPlace(Model):
    """A supply in its bay, its cord and feed; bay 0 is built in."""

    bay: int  # from 1
    supply: str  # part number
    cord: str | None  # part number; none: no cord
    feed: Literal["A", "B"] | None  # the one it hangs on; none: feeds are not told apart


class ModulePlace(Model):
    """A module in its slot."""

    slot: str  # its name on the unit type
    module: str  # part number


class PortRange(Model):
    """Devices of one statement on ports of one group."""

    name: str  # of the devices, ports or uplinks
    statement: str  # its key: devices[0] …
    ref: str | None  # the customer's own reference
    slot: str | None  # of the module; none: on the chassis
    group: str  # port group
    ports: str  # 1-12, 15
    count: int  # how many ports
    speed_mbps: int  # each runs at
    powered: bool  # watts are reserved
    plug: str | None  # optic or cable in each; none: nothing is plugged in


class FreePorts(Model):
    """Ports of a group that nothing uses."""

    slot: str | None  # of the module; none: on the chassis
    group: str  # port group
    ports: str  # their numbers: 1-12, 15
    count: int  # how many


class StackPorts(Model):
    """The ports that a unit stacks through, and what it needs to."""

    slot: str | None  # of the module; none: on the chassis
    group: str  # port group
    ports: str  # their numbers: 1-2
    adapters: tuple[str, ...]  # part numbers


class SplitPlace(Model):
    """A split port and what splits it."""

    slot: str | None  # of the module; none: on the chassis
    group: str  # port group
    port: int  # its number, from 1
    parts: tuple[str, ...]  # part numbers of the split cable, or of optic and fan-out


class Watts(Model):
    """What supplies give and what is left of it; less than nothing is what is short."""

    output_w: Number  # what the supplies give
    left_w: Number  # of it, after everything
    poe_budget_w: Number | None  # most PoE that the catalog allows; none: PoE is limited by the supplies only
    poe_left_w: Number  # of the PoE budget; none: see `left_w`


class Power(Model):
    """What a unit draws and what its supplies give, with all of them and with one lost."""

    own_w: Number  # chassis, modules, stacking, optics and cables
    poe_w: Number  # reserved at its ports
    all_supplies: Watts  # while every supply works
    one_lost: Watts | None  # with the strongest supply lost; none: it has one supply only and stops


class Accompanying(Model):
    """Something that comes along with a unit, with the stack or with what it serves."""

    slot: str  # what it is for: licence routing, support, patch lead …
    part: str  # part number
    quantity: int  # of it
    statement: str | None  # key of what is served; none: the unit or the stack as a whole
    name: str | None  # of what is served, in the customer's words


class AgreedOn(Model):
    """What all units of a stack have in common."""

    topic: str  # licence routing, release, support terms …
    choice: str  # what they have


class Unit(Model):
    """One unit and everything that is in it."""

    position: int  # from 1, in the order of the stack
    type: str  # unit type
    box: str  # part number it is ordered under
    airflow: str | None  # which way it blows; none: not stated
    supplies: tuple[SupplyPlace, ...]  # in their bays
    fan_trays: tuple[str, ...]  # part numbers
    modules: tuple[ModulePlace, ...]  # in their slots
    stacking: StackPorts | None  # ports that it stacks through; none: it stands alone
    splits: tuple[SplitPlace, ...]  # ports that are split
    uses: tuple[PortRange, ...]  # what its ports serve
    free: tuple[FreePorts, ...]  # ports left over
    along: tuple[Accompanying, ...]  # licences, contracts, panels and the like that come along with it
    power: Power  # draw and supply


class Link(Model):
    """One stacking connection, by the positions of its units."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    from_unit: Annotated[int, Field(alias="from")]  # position of one unit
    to_unit: Annotated[int, Field(alias="to")]  # position of the other
    way_m: Number  # how far it has to go
    speed_mbps: int  # its rate
    parts: tuple[str, ...]  # part numbers; empty: fibre that lies there
    length_m: Number | None  # of its shortest cable; none: fibre that lies there already


class Uplink(Model):
    """One uplink: where it leaves the stack, through what, and what is ordered for its far end."""

    name: str  # as the customer calls it
    statement: str  # its key: uplinks[0] …
    ref: str | None  # the customer's own reference
    unit: int  # position of the unit it leaves
    slot: str | None  # of the module; none: on the chassis
    group: str  # port group
    port: int  # its number, from 1
    way: int | None  # from 1, of a split port; none: not split
    speed_mbps: int  # it runs at
    plug: tuple[str, ...]  # part numbers in the port; empty: a fixed connector
    far_end: str | None  # part number ordered for the other end; none: nothing is


class Effort(Model):
    """How much work the engine did."""

    rounds: int  # times that the model was solved
    cuts: int  # rows added because placing failed
    packings: int  # times that placing was tried
    no_goods: int  # single choices that were ruled out
    columns: int  # fit-outs in the model
    rows: int  # rows in the model


class StackAnswer(Model):
    """What is to be ordered for one stack, or why it cannot be met."""

    name: str  # as the demand calls it
    copies: int  # how many are built like it
    status: Status  # what is proved
    statements: tuple[Given, ...]  # of the demand for it, then what was assumed
    price_minor: int | None  # of one; none: no build
    bound_minor: int | None  # no valid build costs less; none: not known
    gap_minor: int | None  # price less bound; none: no build
    share_minor: int | None  # of the order's total, of all copies: packs left over are shared out; none: no build
    topology: Literal["ring", "chain"] | None  # how the units are linked; none: one unit alone, or no build
    lacing: str | None  # in words, with the order of the units; none: nothing is linked
    units: tuple[Unit, ...]  # with everything in them
    links: tuple[Link, ...]  # between units
    uplinks: tuple[Uplink, ...]  # out of the stack
    along: tuple[Accompanying, ...]  # licences, leads and the like that come along with the stack and what it serves
    agreed: tuple[AgreedOn, ...]  # what all units have in common
    bill: tuple[BillLine, ...]  # parts to order for one
    included: tuple[IncludedPart, ...]  # what comes in boxes
    facility: Facility | None  # what it asks of the room; none: no build
    conflicts: tuple[ConflictWords, ...]  # why it cannot be met, fewest statements first
    corrections: tuple[CorrectionWords, ...]  # what would help, cheapest first
    every_reason: bool  # these are all smallest conflicts and corrections; else the search stopped before
    life: StackLife | None = None  # what it costs over the years; none: no build, or no years in the demand
    build: Build | None  # as the checks read it; none: no build
    effort: Effort  # how much work it was


class Assumption(Model):
    """What was assumed because nobody said it."""

    stacks: tuple[str, ...]  # names of the stacks it is about
    key: str  # what was left open
    value: str  # how it is taken
    text: str  # in words


class ListName(Model):
    """Which price list served."""

    name: str  # where it was read
    issued: date  # first day
    valid_until: date  # last day


class CatalogName(Model):
    """Which catalog served."""

    name: str  # where it was read
    maker: str | None  # whose catalog it is; none: not stated
    demonstration: bool  # the packaged one: invented parts, invented prices


class Answer(Model):
    """The whole answer."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.3"], Field(alias="schema")] = SCHEMA_VERSION  # of this format
    tool_version: str  # that made the answer
    customer: str | None  # as the demand has it
    project: str | None  # as the demand has it
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    objective: Objective = "purchase"  # what is cheapest: buying, or owning over the years
    total_minor: int | None  # none unless every stack has a build
    discounts: DiscountsUsed | None = None  # what they take off; none: none is in force
    bound_minor: int | None  # no valid order costs less; none: some stack has no build
    problem: str | None  # what the order as a whole can't have; none: nothing
    status: Status  # the worst of the stacks'
    price_list: ListName  # that served
    catalog: CatalogName  # that served
    order_date: date  # day on which prices were taken
    inputs: tuple[InputFile, ...]  # files that it was made from
    demand: str | None  # text of the demand's file, or of the file that a line stands for; none: not read from one
    proof: ProofOfAnswer  # what was proved, and how
    waivers: tuple[Waived, ...]  # breaches that a reviewer accepts
    assumptions: tuple[Assumption, ...]  # what nobody said
    not_included: tuple[str, ...]  # in the prices
    notes: tuple[str, ...]  # what else to know
    bill: tuple[OrderLine, ...]  # parts to order for all stacks
    spares: tuple[SpareParts, ...]  # of them, parts for the shelf, as the checks read them
    stacks: tuple[StackAnswer, ...]  # in the demand's order
    closets: tuple[Closet, ...]  # in the demand's order, with what each must have ready
    life: LifeAnswer | None = None  # what it costs over the years; none: the demand says nothing of them
