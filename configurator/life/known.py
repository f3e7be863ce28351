"""What a search for the cheapest to own finds besides its builds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from configurator.solved import Solved


@dataclass(frozen=True)
class Known:
    """About one stack."""

    bound_minor: int | None  # no valid build costs less over the years
    bought: Solved | None  # the cheapest to buy
    proved: bool = False  # the order is cheapest to own with the build that the stack has in it, whatever it costs


@dataclass(frozen=True)
class Found:
    """About the whole order."""

    stacks: Mapping[str, Known]  # by name
    bound_minor: int | None  # no valid order costs less over the years; none: not known
    proved: bool = False  # it is what the order costs, whatever that is
