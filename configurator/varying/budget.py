"""What a budget buys, as people and programs read it: the models behind `budget --format json`.

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

BUDGET_VERSION: Literal["1.0"] = "1.0"


class Beyond(Model):
    """The next larger figure, with which the budget does not do."""

    figure: Number  # the next step
    words: str  # with its unit
    status: Literal[Status, "not taken"]  # not taken: the demand file takes no such figure
    price_minor: int | None  # of the cheapest then; none: there is none
    over_minor: int | None  # more than the budget; none: no price
    conflict: ConflictWords | None  # why it can't be met: the first reason that is found
    text: str  # in a sentence


class Reach(Model):
    """The largest value of one figure within the budget, all else as stated."""

    name: str  # as it was asked for: devices[access point]
    words: str  # for people
    unit: str  # that it is in; empty: a bare number
    stated: Number | None  # in the demand; none: nobody stated it
    most: Number | None  # within the budget; none: not even the smallest
    most_words: str  # with its unit; empty: none
    price_minor: int | None  # of the cheapest with that; none: none fits
    left_minor: int | None  # of the budget then
    next: Beyond | None  # the next larger; none: nothing larger was found not to fit
    proved: bool  # that figure fits and the next does not, both by prices proved or demands that can't be met
    text: str  # in a sentence


class Budget(Model):
    """What an amount buys of each figure, one at a time."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    schema_version: Annotated[Literal["1.0"], Field(alias="schema")] = BUDGET_VERSION  # of this format
    tool_version: str  # that made it
    customer: str | None  # as the demand has it
    project: str | None  # as the demand has it
    stack: str | None  # whose price it is; none: the whole order's
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    price_list: ListName  # that served
    catalog: CatalogName  # that served
    order_date: date  # day on which prices were taken
    amount_minor: int  # the budget
    status: Status  # of the demand as stated
    price_minor: int | None  # of the demand as stated; none: it has no price
    left_minor: int | None  # of the budget then; less than nothing: so much is lacking
    reaches: tuple[Reach, ...]  # figure by figure
    notes: tuple[str, ...]  # what else to know
