"""The kinds of parts, as a bill groups them and as discounts are given by."""

from __future__ import annotations

from configurator.fields import Part
from configurator.parts import (
    Attenuator,
    Box,
    Cable,
    Cord,
    FanTray,
    FibreCable,
    Kit,
    Module,
    Optic,
    StackAdapter,
    Supply,
)
from configurator.services import Blank, Licence, Lug, RackKit, Support

GROUPS: tuple[tuple[str, tuple[type[Part], ...]], ...] = (
    ("units", (Box,)),
    ("supplies", (Supply,)),
    ("fans", (FanTray,)),
    ("modules", (Module, StackAdapter)),
    ("optics", (Optic, Attenuator)),
    ("cables", (Cable, FibreCable)),
    ("cords", (Cord,)),
    ("fixings", (RackKit, Blank, Lug)),
    ("kits", (Kit,)),
    ("licences", (Licence,)),
    ("support", (Support,)),
    ("others", (Part,)),
)
"""Groups of a bill in their order, with the kinds of part in each."""

CATEGORIES = tuple(name for name, kinds in GROUPS if kinds != (Part,))
"""The groups that a discount may be given on."""


def group_of(part: Part) -> str:
    """The group of a bill that a part stands in."""
    return next(name for name, kinds in GROUPS if isinstance(part, kinds))
