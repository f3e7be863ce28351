"""What the racking checks share: which fixings are for a type."""

from __future__ import annotations

from configurator.services import Blank, Lug, RackKit


def fits(fixing: RackKit | Blank | Lug, unit_type: str) -> bool:
    """Whether a fixing is for a type: for those it lists, or for all where it lists none."""
    return unit_type in fixing.unit_types or not fixing.unit_types
