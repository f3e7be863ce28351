"""An explanation of what was solved, as people and programs read it: the models behind `explain --format json`.

Money is integers of the currency's minor unit; a difference is what the other way costs more, so a
saving is less than nothing.  Prices are those of one stack by itself.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer import BillLine, CatalogName, ListName, StackAnswer
from configurator.answer_refusal import Given, RuleWords
from configurator.fields import Model, Number
from configurator.solved import Status

EXPLANATION_VERSION: Literal["1.0"] = "1.0"


class Fullness(Model):
    """How full something is."""

    unit: int | None  # position of the unit; none: the stack as a whole
    what: str  # ports c, watts of all supplies, PoE, rack units …
    used: Number  # of it
    of: Number  # how much there is
    measure: str  # ports, W, rack units, A …
    percent: int  # used of what there is, rounded down
    full: bool  # nothing is left


class Carries(Model):
    """How many of one statement the very units of this build carry, all else being as it is."""

    statement: Given  # what is served
    asked: int  # as stated, without head-room
    most: int  # as stated, with which the units still carry everything
    binds: bool  # it is asked to the last that they carry
    no_port: bool  # one more than the most would fit if there were more ports like these
    rules: tuple[RuleWords, ...]  # each of which alone keeps one more than the most from fitting
    text: str  # in a sentence


class Drives(Model):
    """What some units are there for."""

    unit_type: str  # of the units
    count: int  # in the build
    statements: tuple[Given, ...]  # without any one of which the cheapest build has fewer of them
    text: str  # in a sentence


class Priced(Model):
    """What a statement costs: the cheapest build without it, or with it said otherwise."""

    statement: Given  # the customer's, or an assumption
    tried: str | None  # the value instead; none: set aside
    status: Literal[Status, "same", "kept"]  # same: nothing changes, so nothing was solved; kept: it can't be tried
    price_minor: int | None  # of the cheapest build then; none: there is none, or it is not known
    difference_minor: int | None  # of that from the build explained
    text: str  # in a sentence


class LineNeed(Model):
    """A line of the bill, and whether a build without that part is to be had."""

    line: BillLine  # with its reasons
    need: Literal["required", "cheapest", "not decided"]  # required: no valid build is without this part
    without_minor: int | None  # the cheapest build without it; none: there is none, or it is not known
    difference_minor: int | None  # of that from the build explained
    text: str  # in a sentence


class Change(Model):
    """A line that is not the same in two bills."""

    part: str  # part number
    description: str  # from the catalog
    before: int  # ordered in the build explained
    after: int  # ordered in the other
    difference_minor: int  # of the two amounts


class Forced(Model):
    """The cheapest build that has so many of a part, or none of it."""

    part: str  # part number, or unit type
    least: int | None  # how many at least; none: none of it
    has: int  # how many the build explained has, ordered or in ordered boxes
    status: Status  # of the other build
    price_minor: int | None  # of it; none: there is none, or it is not known
    difference_minor: int | None  # of that from the build explained
    changes: tuple[Change, ...]  # line by line
    most: int | None  # of the part in any valid build; none: not looked for, or not known
    statements: tuple[Given, ...]  # where there is none: without these there could be
    rules: tuple[RuleWords, ...]  # where there is none: the rules that refuse it
    text: str  # in sentences


class StackExplanation(Model):
    """One stack explained."""

    stack: StackAnswer  # the build, or why there is none
    drives: tuple[Drives, ...]  # what its units are there for
    fullness: tuple[Fullness, ...]  # of its units and of the stack
    carries: tuple[Carries, ...]  # what its units still carry
    lines: tuple[LineNeed, ...]  # of the bill
    statements: tuple[Priced, ...]  # what each of the customer's costs
    assumptions: tuple[Priced, ...]  # what each would cost the other way
    forced: tuple[Forced, ...]  # parts that were asked for, or asked away
    notes: tuple[str, ...]  # what else to know


class Explanation(Model):
    """The whole explanation."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.0"], Field(alias="schema")] = EXPLANATION_VERSION  # of this format
    tool_version: str  # that made it
    customer: str | None  # as the demand has it
    project: str | None  # as the demand has it
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    price_list: ListName  # that served
    catalog: CatalogName  # that served
    order_date: date  # day on which prices were taken
    status: Status  # the worst of the stacks'
    stacks: tuple[StackExplanation, ...]  # in the demand's order
    order: tuple[Priced, ...]  # what statements about the order as a whole cost; empty: there are none, or one stack
    notes: tuple[str, ...]  # what else to know
