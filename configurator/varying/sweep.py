"""Prices as a demand grows, as people and programs read them: the models behind `sweep --format json`.

Money is integers of the currency's minor unit.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer import CatalogName, ListName
from configurator.answer_refusal import ConflictWords
from configurator.fields import Model, Number
from configurator.solved import Status

SWEEP_VERSION: Literal["1.0"] = "1.0"
What = Literal["stack", "unit", "supply", "module"]


class VariedFigure(Model):
    """A figure of the demand that takes several values."""

    name: str  # as it was asked for: devices[access point]
    words: str  # for people
    unit: str  # that its values are in; empty: bare numbers
    stated: Number | None  # in the demand; none: nobody stated it
    values: tuple[Number, ...]  # that it takes, in order


class PartCount(Model):
    """So many of a part, or of a unit type."""

    part: str  # part number, or unit type
    count: int  # how many, of all copies


class Added(Model):
    """What there is more of than at the point before, or less."""

    what: What  # unit by its type, supply and module by part number
    part: str  # part number or unit type; empty: stacks
    count: int  # how many more; less than nothing: fewer


class SweepPoint(Model):
    """The demand with one value of each figure that varies."""

    at: tuple[Number, ...]  # values, in the order of the figures
    words: tuple[str, ...]  # the same with their units
    status: Status  # what is proved
    price_minor: int | None  # of the cheapest; none: there is none, or it was not decided
    bound_minor: int | None  # nothing valid costs less; none: not known
    difference_minor: int | None  # from the point before, the first figure varying; none: one of both has no price
    stacks: int  # that are built, with their copies
    units: tuple[PartCount, ...]  # by type
    supplies: tuple[PartCount, ...]  # in bays
    modules: tuple[PartCount, ...]  # in slots
    added: tuple[Added, ...]  # since the point before, the first figure varying
    refused: str | None  # name of a stack that can't be met; none: there is none
    conflict: ConflictWords | None  # why that stack can't be met: the first reason that is found
    text: str  # what was added there, or why it can't be met


class Sweep(Model):
    """Prices as one figure of a demand varies, or two."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.0"], Field(alias="schema")] = SWEEP_VERSION  # of this format
    tool_version: str  # that made it
    customer: str | None  # as the demand has it
    project: str | None  # as the demand has it
    stack: str | None  # whose price it is; none: the whole order's
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    price_list: ListName  # that served
    catalog: CatalogName  # that served
    order_date: date  # day on which prices were taken
    varied: tuple[VariedFigure, ...]  # one, or two that make a grid
    points: tuple[SweepPoint, ...]  # the first figure varies fastest
    notes: tuple[str, ...]  # what else to know

    def series(self) -> tuple[tuple[SweepPoint, ...], ...]:
        """The points by the value of the second figure; of one figure all in one."""
        length = len(self.varied[0].values)
        return tuple(self.points[at : at + length] for at in range(0, len(self.points), length))
