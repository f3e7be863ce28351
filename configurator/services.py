"""Rights, services and fixings: licences, support contracts, rack kits, panels, lugs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from configurator.fields import Country, Id, Model, Part, Text


class Feature(Model):
    """Something software does that may need a licence."""

    id: Id  # its name, as demands ask for it
    description: Text  # what it does
    licensed: bool = True  # off: every unit type that may do it does it without a licence
    unit_types: tuple[Id, ...] = ()  # types that can do it; empty: all
    releases: tuple[Id, ...] = ()  # software releases that have it; empty: all


class Licence(Part):
    """A right to features.  Licences of scope unit or stack cover every port of it."""

    features: tuple[Id, ...] = ()  # what it gives the right to; empty: it is a subscription only
    scope: Literal["unit", "stack", "port"]  # what one of it covers
    unit_types: tuple[Id, ...] = ()  # types that it is for; empty: all
    term_months: Annotated[int, Field(ge=1, le=240)] | None = None  # how long it runs; none: for good


class SupportLevel(Model):
    """A level of support; of two the one with the higher rank serves where the lower is asked."""

    id: Id  # its name, as demands ask for it
    description: Text = "-"  # what it promises
    rank: Annotated[int, Field(ge=0, le=100)]  # the higher, the more it promises


class Support(Part):
    """A support contract for one unit, or for one optic or cable."""

    unit_types: tuple[Id, ...] = ()  # types that it is for; empty: all
    covers_parts: tuple[Id, ...] = ()  # a parts contract: it covers one of these and no unit
    level: Id  # the level it gives
    term_months: Annotated[int, Field(ge=1, le=240)]  # how long it runs
    by_month: bool = False  # bought once for each month, to end on any day; `term_months` is then the most
    countries: tuple[Country, ...] = ()  # where it is given; empty: all
    within_km: Annotated[int, Field(ge=0, le=20_000)] | None = None  # of a depot; none: anywhere
    covers_optics: bool = False  # optics and cables in the unit are covered too
    keeps_failed_parts: bool = False  # the customer keeps what failed


class RackKit(Part):
    """What holds a unit in a rack."""

    unit_types: tuple[Id, ...] = ()  # types that it holds; empty: all
    posts: Literal[2, 4]  # posts of the rack it is for


class Blank(Part):
    """A panel for an empty bay or slot."""

    unit_types: tuple[Id, ...] = ()  # types that it fits; empty: all
    fills: Literal["supply bay", "module slot"]  # what it closes


class Lug(Part):
    """An earthing lug."""

    unit_types: tuple[Id, ...] = ()  # types that it fits; empty: all
