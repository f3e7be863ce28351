"""One stack's demand with every default filled in, and the part of it that fit-outs depend on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from configurator.demand import OnLoss, Outlets, Stack


@dataclass(frozen=True)
class Setting:
    """What is the same for every unit of a stack; hashable, so that fit-outs are kept by it."""

    order_date: date
    airflow: str | None = None
    country: str | None = None
    input_v: int | None = None
    region: str | None = None
    currency: str | None = None
    on_supply_loss: OnLoss = "stops"
    on_feed_loss: OnLoss = "stops"
    circuit_amps: Decimal | None = None
    circuit_share_percent: int = 100
    cord_m: Decimal = Decimal(0)
    deliver_by: date | None = None
    stack_fibre: str | None = None
    outlet_plugs: tuple[str, ...] = ()  # plug types that the rack's free outlets take; empty: not stated


@dataclass(frozen=True)
class Statement:
    """One thing the customer said, or that was assumed for them."""

    key: str  # airflow, devices[0], uplinks[1] …
    text: str  # in the user's words: `airflow: back-to-front`
    where: str = ""  # file:line
    ref: str | None = None
    assumed: bool = False


@dataclass(frozen=True)
class Ask:
    """One stack as asked: the demand with defaults merged, and where each statement stands."""

    stack: Stack  # wishes of the order merged in; None where nobody said anything
    setting: Setting
    topology: str | None = None  # ring or chain as asked; none: ring where the family allows it
    two_unit_links: int | None = None  # none: as the family has it, two for a ring
    headroom_percent: int = 0
    headroom_draws: bool = True
    outlets: tuple[Outlets, ...] | None = None
    statements: Mapping[str, Statement] = field(default_factory=dict)
    dropped: frozenset[str] = frozenset()  # statements set aside, by key: of these any value will do
