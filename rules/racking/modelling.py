"""What the racking rules' parts of the model share: which fixings are for a type, and grams."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal

from configurator.parts import UnitType
from configurator.services import Blank, Lug, RackKit


def recipes(fixings: Iterable[RackKit | Blank | Lug], unit_type: UnitType) -> tuple[tuple[str, ...], ...]:
    """Any one of the fixings that are for this type."""
    return tuple((one.id,) for one in fixings if not one.unit_types or unit_type.id in one.unit_types)


def grams(weight_kg: Decimal | None) -> int:
    """A weight in whole grams, rounded up; nothing where it isn't known."""
    return int(((weight_kg or Decimal(0)) * 1000).to_integral_value(ROUND_CEILING))
