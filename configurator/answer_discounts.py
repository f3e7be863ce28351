"""What discounts take off an order, as people and programs read it: part of the answer."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import ConfigDict, Field

from configurator.fields import Model, Number


class DiscountRow(Model):
    """One discount of the file that is in force on the order's day."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    line: int  # of the file
    part: str | None  # part number that it is on; none: see `category`
    category: str | None  # group of the bill that it is on; with no part either: everything
    percent: Number  # that it takes off the list price
    first_day: Annotated[date | None, Field(alias="from")]  # on which it holds; none: since ever
    last_day: Annotated[date | None, Field(alias="until")]  # on which it holds; none: for good
    order_from_minor: int | None  # value of the order at list prices from which it holds; none: of any order
    reached: bool  # the order comes to that


class DiscountsUsed(Model):
    """Discounts in force on the order's day, and what they take off."""

    name: str  # file that they were read from
    list_minor: int  # what is ordered, at list prices
    discount_minor: int  # taken off
    net_minor: int  # what is left
    threshold_minor: int | None  # the largest value that the order reaches and a discount asks; none: none is reached
    next_minor: int | None  # the least that it does not reach; none: there is no other
    rows: tuple[DiscountRow, ...]  # in the file's order
