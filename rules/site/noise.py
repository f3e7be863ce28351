"""The units together are no louder than the room may be.

A-weighted sound power adds as power does: ten units alike are 10 dB louder than one.  Each unit counts with its
share of the power that is allowed, in whole millionths, rounded; one whose noise isn't known counts nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from configurator.build import Build, Order
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import Breach, Row, Rule, Source
from configurator.setting import Ask, OrderAsk

from ..looking import closets, plain, type_of

# the rule's part of the model

ALLOWED = 1_000_000  # the power that is allowed, in millionths of it


def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
    """The units' shares of the allowed power; what is too loud alone counts as a little too much."""
    allowed_db = ask.stack.noise_db
    if allowed_db is None:
        return

    def share(fitout: Fitout) -> int:
        noise_db = fitout.unit_type.noise_db
        if noise_db is None:
            return 0
        if noise_db > allowed_db:
            return ALLOWED + 1
        times = Decimal(10) ** ((noise_db - allowed_db) / 10)
        return int((ALLOWED * times).to_integral_value(ROUND_HALF_UP))

    def told(amount: int) -> str:
        share = f"{amount / 10_000:g} %" if amount <= ALLOWED else "more than 100 %"
        return f"{share} of the sound power that is allowed"

    yield Row("<=", ALLOWED, fitouts=share, by_type=True, shared=True, told=told)


# the check

MILLIONTH = Decimal("0.000001")


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Adds up each known level as a power, in millionths of the power that is allowed."""
    allowed_db = ask.stack.noise_db
    if allowed_db is None:
        return
    types = (type_of(unit, catalog) for unit in build.units)
    levels_db = [one.noise_db for one in types if one is not None and one.noise_db is not None]
    times = sum((_power(level - allowed_db).quantize(MILLIONTH, ROUND_HALF_UP) for level in levels_db), Decimal(0))
    if times > 1:
        told = plain((allowed_db + 10 * times.log10()).quantize(Decimal("0.01"), ROUND_HALF_UP))
        yield Breach(f"the units make {told} dB together, {plain(allowed_db)} dB are allowed")


def _power(level_db: Decimal) -> Decimal:
    """How many times the power a level stands for: e to its tenth times the logarithm of ten."""
    return (level_db / 10 * Decimal(10).ln()).exp()


def check_order(order: Order, asked: OrderAsk, catalog: Catalog) -> Iterator[Breach]:
    """The sound powers of all stacks in one closet."""
    for closet in closets(order, asked):
        for breach in check(closet.build, closet.ask, catalog):
            yield Breach(f"{closet.name}: {breach.text}")


RULE = Rule(
    id="site.noise",
    family="site",
    sentence="The A-weighted sound power of all units together is within what the room allows.",
    source=Source("OSHA Technical Manual, Noise, appendix I:A-1: levels add as 10 lg of the sum of 10^(L/10)"),
    about=("noise_db",),
    applies=lambda catalog: any(unit_type.noise_db is not None for unit_type in catalog.parts.unit_types),
    limits=limits,
    check=check,
    check_order=check_order,
)
