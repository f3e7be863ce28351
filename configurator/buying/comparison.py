"""Orders side by side, as people and programs read them: the models behind `compare --format json`.

Money is integers of the currency's minor unit; a difference is what a side costs more than the side
that the others are compared with, so a saving is less than nothing.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer_refusal import ConflictWords
from configurator.fields import Model, Number
from configurator.solved import Status

COMPARISON_VERSION: Literal["1.0"] = "1.0"
Style = Literal["bundles", "base_units", "either"]


class Ordered(Model):
    """Units ordered under one part number."""

    box: str  # part number of the box
    unit_type: str  # in it
    bundle: bool | None  # it is a bundle, else a base unit; none: its catalog is not at hand
    count: int  # how many


class SideStack(Model):
    """One stack on one side."""

    name: str  # as the demand calls it
    copies: int  # how many there are
    status: Status  # what is proved
    amount_minor: int | None  # all copies' share of the order; none: no build
    difference_minor: int | None  # from the side compared with; none: one of both has no build
    units: tuple[Ordered, ...]  # of one copy, or of all that are built differently
    conflicts: tuple[ConflictWords, ...]  # why it cannot be met


class Included(Model):
    """A part in a bundle's box, over all bundles of that number in the order."""

    part: str  # part number
    description: str  # from the catalog
    used: int  # of them, in service
    idle: int  # of them, paid for and not needed
    loose_minor: int | None  # price of one by itself; none: it is not sold by itself here


class BundleUse(Model):
    """A bundle of an order, beside the base unit of the same type and loose parts."""

    bundle: str  # part number
    description: str  # from the catalog
    unit_type: str  # in it
    count: int  # ordered for stacks
    price_minor: int  # of one
    base_unit: str | None  # cheapest box with the unit alone; none: there is none to order
    extra_minor: int | None  # what one bundle costs more than that
    included: tuple[Included, ...]  # what lies in the boxes besides the units
    used_minor: int | None  # the used ones bought by themselves; none: one of them is not sold so
    saved_minor: int | None  # against base units and the used ones loose; none: no base unit, or some not sold
    idle_minor: int  # the idle ones bought as cold spares, those that are sold by themselves
    text: str  # in a sentence


class Side(Model):
    """One of the orders compared."""

    key: str  # bundles, base_units, either, asked; first, second
    name: str  # in words
    status: Status  # the worst of its stacks'
    total_minor: int | None  # of the order; none: some stack has no build
    difference_minor: int | None  # from the side compared with; none: one of both has no total
    units: int  # chassis in all stacks
    in_bundles: int | None  # of them; none: not known
    problem: str | None  # what the order as a whole can't have; none: nothing
    order_date: date  # day on which prices were taken
    stacks: tuple[SideStack, ...]  # in the demand's order
    bundles: tuple[BundleUse, ...]  # of the order, what is in them and what of it is used


class Cell(Model):
    """A line of the order on one side."""

    quantity: int  # ordered, cold spares among it
    unit_price_minor: int | None  # of one; none: not ordered on this side
    amount_minor: int  # of the line
    difference_minor: int | None  # from the side compared with; none: that has no order


class Line(Model):
    """A part that some side orders."""

    part: str  # part number
    description: str  # from the catalog
    group: str  # kind of part
    cells: tuple[Cell | None, ...]  # in the order of the sides; none: no order of all stacks


class TypeStyle(Model):
    """One unit type bought in one style, all else as asked."""

    unit_type: str  # of the order as asked
    style: Style  # for that type alone
    status: Status  # what is proved
    total_minor: int | None  # of the order; none: some stack has no build
    difference_minor: int | None  # from the order as asked
    units: int | None  # of the type in that order; none: no order
    text: str  # in a sentence


class BreakEven(Model):
    """At what price a bundle comes into the order, or leaves it."""

    bundle: str  # part number
    description: str  # from the catalog
    paid_minor: int  # price of one today
    ordered: int  # today
    outcome: Literal["flips", "always", "never", "not decided"]
    """flips: at `price_minor`; always: no order is without it; never: it would not be bought for nothing."""
    price_minor: int | None  # the highest at which a cheapest order has one; none: see `outcome`
    change_minor: int | None  # of the price, from today's
    change_percent: Number | None  # of today's price, rounded down to a tenth, so that it still holds
    with_minor: int | None  # the cheapest order that has one, at that price
    without_minor: int | None  # the cheapest order that has none; none: there is none
    solved: int  # times that the order was solved for it
    text: str  # in a sentence


class AddedPart(Model):
    """A part to add."""

    part: str  # part number
    description: str  # from the catalog
    count: int  # of one stack
    amount_minor: int  # of these


class Later(Model):
    """A second supply for every unit that has one, bought later or now."""

    stack: str  # name
    units: tuple[int, ...]  # positions of the units with one supply
    status: Status  # of the build that has it from the start
    now_minor: int | None  # what the build that keeps everything running without one supply costs more
    later_minor: int | None  # parts to add to the build as it is; none: it can't be done
    more_minor: int | None  # later less now
    parts: tuple[AddedPart, ...]  # to add
    why_not: tuple[str, ...]  # it can't be done later
    now_types: tuple[str, ...]  # unit types of the build that has it from the start
    text: str  # in sentences


class Changed(Model):
    """A statement that the two demands don't share."""

    stacks: tuple[str, ...]  # names of those it is about; empty: the order as a whole
    key: str  # airflow, devices[0] …; stack: all that it asks for
    kind: Literal["added", "gone", "changed"]  # in the second
    first: str | None  # in the user's words; none: nobody says it
    second: str | None  # in the user's words; none: nobody says it
    ref: str | None  # the customer's own reference


class Comparison(Model):
    """Orders side by side."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.0"], Field(alias="schema")] = COMPARISON_VERSION  # of this format
    tool_version: str  # that made it
    of: Literal["styles", "two"]  # ways to buy one demand, or two demands or answers
    customer: str | None  # as the demand has it
    project: str | None  # as the demand has it
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    against: str  # key of the side that the others are compared with
    status: Status  # of that side; of two the worse
    cheapest: tuple[str, ...]  # keys of the sides with the lowest total
    why: tuple[str, ...]  # in sentences
    sides: tuple[Side, ...]  # the orders
    lines: tuple[Line, ...]  # side by side
    types: tuple[TypeStyle, ...]  # one unit type bought otherwise
    break_even: tuple[BreakEven, ...]  # of bundles
    later: tuple[Later, ...]  # stacks whose units have one supply
    changes: tuple[Changed, ...]  # of two demands
    notes: tuple[str, ...]  # what else to know
