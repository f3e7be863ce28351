"""Rights, services and fixings: licences, support contracts, rack kits, panels, lugs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from configurator.fields import Country, Id, Model, Part, Text


class Feature(Model):
    """Something software does that may need a licence."""

    id: Id
    description: Text
    licensed: bool = True  # off: every unit type that may do it does it without a licence
    unit_types: tuple[Id, ...] = ()  # types that can do it; empty: all
    releases: tuple[Id, ...] = ()  # software releases that have it; empty: all


class Licence(Part):
    """A right to features.  Licences of scope unit or stack cover every port of it."""

    features: tuple[Id, ...] = ()
    scope: Literal["unit", "stack", "port"]
    unit_types: tuple[Id, ...] = ()  # empty: all
    term_months: Annotated[int, Field(ge=1, le=240)] | None = None  # none: for good


class SupportLevel(Model):
    """A level of support; of two the one with the higher rank serves where the lower is asked."""

    id: Id
    description: Text = "-"
    rank: Annotated[int, Field(ge=0, le=100)]


class Support(Part):
    """A support contract for one unit, or for one optic or cable."""

    unit_types: tuple[Id, ...] = ()  # empty: all
    covers_parts: tuple[Id, ...] = ()  # a parts contract: it covers one of these and no unit
    level: Id
    term_months: Annotated[int, Field(ge=1, le=240)]
    by_month: bool = False  # bought once for each month, to end on any day; `term_months` is then the most
    countries: tuple[Country, ...] = ()  # empty: all
    within_km: Annotated[int, Field(ge=0, le=20_000)] | None = None  # of a depot; none: anywhere
    covers_optics: bool = False
    keeps_failed_parts: bool = False


class RackKit(Part):
    """What holds a unit in a rack."""

    unit_types: tuple[Id, ...] = ()
    posts: Literal[2, 4]


class Blank(Part):
    """A panel for an empty bay or slot."""

    unit_types: tuple[Id, ...] = ()
    fills: Literal["supply bay", "module slot"]


class Lug(Part):
    """An earthing lug."""

    unit_types: tuple[Id, ...] = ()
