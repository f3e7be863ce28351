"""What a search for the cheapest to own finds besides its builds."""

from __future__ import annotations

from dataclasses import dataclass

from configurator.solved import Solved


@dataclass(frozen=True)
class Known:
    """About one stack."""

    bound_minor: int | None  # no valid build costs less over the years
    bought: Solved | None  # the cheapest to buy
