"""What a bill already carries, as people and programs read it: the models behind `capacity --format json`."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer import CatalogName, ListName
from configurator.answer_refusal import Given, RuleWords
from configurator.build import Build
from configurator.fields import Model, Number

CAPACITY_VERSION: Literal["1.0"] = "1.0"


class Room(Model):
    """The most of one figure that the units of a bill carry, all else as asked."""

    statement: Given  # whose figure it is
    figure: Literal["count", "device_w", "port_w", "poe_class"]  # of that statement
    words: str  # for people: desks, desks port w
    unit: str  # W; empty: a bare number
    asked: Number  # as stated, without head-room
    most: Number  # that the bill carries
    next: Number | None  # the next larger; none: the demand file takes none
    no_port: bool  # there are too few ports like these for the next
    no_part: bool  # there are too few optics, cables or the like on the bill for the next
    rules: tuple[RuleWords, ...]  # that keep the next from fitting
    together: bool  # the next would fit only without all of these; else without any one of them
    text: str  # in a sentence


class StackCapacity(Model):
    """What the bill of one stack carries."""

    name: str  # as the demand calls it
    copies: int  # built like it
    rooms: tuple[Room, ...]  # figure by figure; empty: the stack has no build
    builds: tuple[Build, ...]  # for each of them the same bill, serving the most
    text: str  # why nothing is told; empty: all is


class Capacity(Model):
    """What a bill carries besides what it was made for, one figure at a time."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.0"], Field(alias="schema")] = CAPACITY_VERSION  # of this format
    tool_version: str  # that made it
    customer: str | None  # as the demand has it
    project: str | None  # as the demand has it
    price_list: ListName  # that served
    catalog: CatalogName  # that served
    order_date: date  # day on which it was ordered
    stacks: tuple[StackCapacity, ...]  # in the demand's order
    notes: tuple[str, ...]  # what else to know
