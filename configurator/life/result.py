"""What stacks cost over the years they are owned, as people and programs read it: part of the answer.

Money is whole numbers of the currency's minor unit, as of today.
"""

from __future__ import annotations

from typing import Literal

from configurator.build import Build
from configurator.fields import Model, Number

Objective = Literal["purchase", "life"]
Proved = Literal["cheapest to own", "best found", "not looked for"]


class LifeCost(Model):
    """What it costs over all the years, as of today."""

    purchase_minor: int  # today
    renewals_minor: int  # contracts and licences that end, bought again
    energy_minor: int  # of the units and what they feed
    cooling_minor: int  # of the heat that stays in the room
    total_minor: int  # all of it
    energy_kwh: Number  # over all the years, from the mains
    cooling_kwh: Number  # over all the years


class LevelDraw(Model):
    """One stack in the hours of one level of the load."""

    hours_a_day: Number  # of each day
    draw_percent: int  # of what is asked for the devices
    fed_w: Number  # leaves on the devices' cables
    mains_w: Number  # from the mains, without cooling


class LineBeside(Model):
    """A line that is not the same in the two bills."""

    part: str  # part number
    description: str  # from the catalog
    to_buy: int  # ordered in the build that is cheapest to buy
    to_own: int  # ordered in this build
    difference_minor: int  # of the two amounts


class CheapestToBuy(Model):
    """The build that costs less today and more over the years."""

    build: Build  # as the checks read it
    cost: LifeCost  # of one
    lines: tuple[LineBeside, ...]  # that differ
    more_now_minor: int  # that the cheapest to own costs more today
    saved_minor: int  # by it over the years, as of today, what it costs more today taken off
    paid_back_in_year: int | None  # by its end what is saved has paid for it; none: not within the years


class StackLife(Model):
    """One stack over the years."""

    cost: LifeCost  # of one
    levels: tuple[LevelDraw, ...]  # of a day
    bound_minor: int | None  # no valid build costs less over the years; none: not looked for
    to_buy: CheapestToBuy | None  # another build that is cheaper to buy; none: this is, or it was not looked for


class SaidLevel(Model):
    """Hours of each day in which devices draw alike."""

    hours_a_day: Number  # of each day
    draw_percent: int  # of what is asked for the devices


class LifeAnswer(Model):
    """All stacks over the years."""

    years: int  # of ownership
    energy_per_kwh: Number  # in the currency's major unit
    load_profile: tuple[SaidLevel, ...]  # of a day of 24 hours
    cooling_percent: int  # watts for each 100 W of heat
    discount_rate_percent: Number  # of a year
    proved: Proved  # of the sum over the years
    cost: LifeCost | None  # of the whole order; none: some stack has no build
    bound_minor: int | None  # no valid order costs less over the years; none: not looked for
    assumptions: tuple[str, ...]  # how it is reckoned and rounded
