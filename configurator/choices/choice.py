"""Builds to choose from, as people and programs read them: `alternatives` and `frontier --format json`.

Money is integers of the currency's minor unit; a difference is what a build costs more than the
cheapest of its stack.  Prices are those of one stack by itself.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer import BillLine, CatalogName, ListName, StackAnswer
from configurator.build import Build
from configurator.fields import Model, Number
from configurator.reasoning.explanation import Change
from configurator.solved import Status

CHOICES_VERSION: Literal["1.0"] = "1.0"
Against = Literal["spare-ports", "watts-left", "rack-units", "support-years"]


class PartCount(Model):
    """So many of something in service."""

    part: str  # part number, or unit type
    count: int  # how many


class Figures(Model):
    """What a build is measured by."""

    units: int  # switches in the stack
    rack_units: int  # height of all units
    spare_ports: int  # network ports that could still be in use
    watts_left_w: Number | None  # that its supplies could still feed; none: the catalog names no supplies of a unit
    heat_w: Number  # that stays in the room
    delivery_days: int | None  # until all that is ordered is there; none: the price list doesn't say
    support_months: int  # that every unit has; 0: some unit has no contract


class Choice(Model):
    """One build, and what sets it apart from the cheapest of its stack."""

    price_minor: int  # of it, proved the least for what it is
    difference_minor: int  # of that from the cheapest
    units: tuple[PartCount, ...]  # unit types
    supplies: tuple[PartCount, ...]  # in service, built-in ones among them
    modules: tuple[PartCount, ...]  # in service
    figures: Figures  # what it is measured by
    gains: tuple[str, ...]  # what it has that the cheapest has not, in words
    loses: tuple[str, ...]  # what the cheapest has that it has not, in words
    changes: tuple[Change, ...]  # lines of the bill that differ from the cheapest
    bill: tuple[BillLine, ...]  # parts to order
    build: Build  # as the checks read it


class StackAlternatives(Model):
    """The cheapest builds of one stack that differ in substance."""

    stack: StackAnswer  # its cheapest build, or why there is none
    alike: tuple[str, ...]  # names of other stacks that ask for the same
    asked: int  # how many were asked for
    builds: tuple[Choice, ...]  # the cheapest first
    next_minor: int | None  # what the cheapest build that is not listed costs; none: there is none, or not known
    every: bool  # there are no others
    proved: bool  # no build that is not listed is cheaper than one that is
    notes: tuple[str, ...]  # what else to know


class Point(Model):
    """A build that no other beats: none costs no more and measures better."""

    value: Number  # what it measures
    choice: Choice  # the build


class StackFrontier(Model):
    """Builds of one stack that no other beats."""

    stack: StackAnswer  # its cheapest build, or why there is none
    alike: tuple[str, ...]  # names of other stacks that ask for the same
    points: tuple[Point, ...]  # the cheapest first
    cut_off: bool  # there are more, dearer ones
    proved: bool  # every point is, and none is missing up to the last
    notes: tuple[str, ...]  # what else to know


class _Head(Model):
    """What both have in common."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.0"], Field(alias="schema")] = CHOICES_VERSION  # of this format
    tool_version: str  # that made it
    customer: str | None  # as the demand has it
    project: str | None  # as the demand has it
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    price_list: ListName  # that served
    catalog: CatalogName  # that served
    order_date: date  # day on which prices were taken
    status: Status  # the worst of the stacks'
    notes: tuple[str, ...]  # what else to know


class Alternatives(_Head):
    """The cheapest builds of each stack that differ in substance."""

    stacks: tuple[StackAlternatives, ...]  # in the demand's order; those that ask for the same once


class PriceFrontier(_Head):
    """Price against something else, stack by stack."""

    against: Against  # what the price is set against
    measure: str  # what values are in
    stacks: tuple[StackFrontier, ...]  # in the demand's order; those that ask for the same once
