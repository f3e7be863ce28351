"""What changed since an earlier answer, as people and programs read it: the models behind `since --format json`.

Money is integers of the currency's minor unit; `more_minor` is what a change adds, less than nothing what it saves.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer_proof import RuleBook, Waived
from configurator.fields import Model
from configurator.solved import Status

CHANGES_VERSION: Literal["1.1"] = "1.1"
Kind = Literal["added", "gone", "changed"]


class Effect(Model):
    """The cheapest order with one change made and all else as it was."""

    status: Literal[Status, "not by itself", "not tried"]  # not by itself: it makes sense only with other changes
    price_minor: int | None  # of the order; none: see `status`
    more_minor: int | None  # than without the change; none: one of the two orders is not to be had
    text: str  # in a sentence


class StatementChange(Model):
    """One statement of the demand that is not as it was."""

    stacks: tuple[str, ...]  # names of those it is about; empty: the order as a whole
    key: str  # airflow, devices[0] …; stack: all that it asks for
    kind: Kind  # what happened to it
    then: str | None  # in the user's words; none: nobody said it
    now: str | None  # in the user's words; none: nobody says it
    ref: str | None  # the customer's own reference
    effect: Effect  # of this change alone


class FileChange(Model):
    """A file of the catalog that is not as it was."""

    name: str  # of the file
    kind: Kind  # what happened to it


class PartChange(Model):
    """Something in the catalog that is not as it was."""

    group: str  # key of its list: optics, unit_types …
    name: str  # part number or name
    kind: Kind  # what happened to it
    fields: tuple[str, ...]  # that changed


class PriceChange(Model):
    """A price that is not as it was."""

    part: str  # part number
    then_minor: int | None  # of one, before discounts; none: it had no price
    now_minor: int | None  # of one, before discounts; none: it has no price
    quantity: int  # in the earlier order
    more_minor: int | None  # for so many; none: one of the two prices is missing
    terms: tuple[str, ...]  # what else changed: status, lead_time_days …


class Objection(Model):
    """A rule that the earlier builds break today."""

    stack: str  # name; empty: the order as a whole
    rule: str  # its id; demand: stacks are not those asked
    text: str  # in words, with numbers
    waived: Waived | None  # who accepts it; none: nobody


class EarlierToday(Model):
    """The earlier order as it stands, with today's inputs."""

    price_minor: int | None  # its parts at today's prices; none: some have none
    more_minor: int | None  # than it was; none: no price then or now
    unpriced: tuple[str, ...]  # part numbers without a price today
    valid: bool | None  # no rule objects; none: there was no build
    objections: tuple[Objection, ...]  # rules that do


class Step(Model):
    """One step from the earlier price to today's; the steps add up."""

    what: Literal[
        "earlier", "rules", "demand", "date", "catalog", "prices", "discounts", "together", "today"
    ]  # that changed
    text: str  # in words
    status: Literal[Status, "not by itself", "not tried"]  # of the order with this change alone
    price_minor: int | None  # of the order with this change alone; none: not to be had
    more_minor: int | None  # what it adds; none: it can't be told


class Changes(Model):
    """All that changed, and what each change adds to the price."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    changes_version: Annotated[Literal["1.1"], Field(alias="changes")] = CHANGES_VERSION  # of this format
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    tool_then: str  # version that made the earlier answer
    tool_now: str  # version that made this
    date_then: date  # order date of the earlier answer
    date_now: date  # order date today
    book_then: RuleBook  # rules that held
    book_now: RuleBook  # rules that hold
    status: Status  # of today's order
    total_then_minor: int | None  # of the earlier order; none: some stack had no build
    total_now_minor: int | None  # of today's order; none: some stack has no build
    more_minor: int | None  # today's order costs more than the earlier one; none: one of them is not to be had
    demand: tuple[StatementChange, ...]  # statements that changed
    demand_together_minor: int | None  # what these do only together; none: it can't be told
    files: tuple[FileChange, ...]  # files of the catalog that changed
    parts: tuple[PartChange, ...]  # what changed in it, where the earlier catalog is at hand
    same_prices: bool  # the price list is the same file
    same_discounts: bool  # so are the discounts, or there are none then and now
    prices: tuple[PriceChange, ...]  # that changed: of the earlier order, and of all parts where the list is at hand
    earlier: EarlierToday  # the earlier order with today's inputs
    steps: tuple[Step, ...]  # from the earlier price to today's
    not_told_apart: tuple[str, ...]  # what could not be, and which option would
    notes: tuple[str, ...]  # what else to know
    waivers: tuple[Waived, ...]  # breaches that a reviewer accepts, then or now
