"""All links of a stack run at one speed.

The slowest link would throttle the whole ring, so members don't come up at different rates.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Arrangement
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from ..looking import rate, rates
from .checking import stacking_group

# the rule's part of the model


def arranges(arrangement: Arrangement, ask: Ask, catalog: Catalog) -> bool:
    """The stack's one speed is at least the one asked."""
    return arrangement.mode is None or arrangement.mode.speed_mbps >= (ask.stack.stacking_mbps or 0)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """One speed, which every stacking port has, and at least the one asked."""
    speeds = {link.speed_mbps for link in build.links}
    if len(speeds) > 1:
        yield Breach(f"links run at {len(speeds)} speeds: {rates(speeds)}")
    for unit in build.units:
        group = stacking_group(unit, catalog)
        missing = speeds - set(group.speeds_mbps) if group else set()
        if group and missing:
            yield Breach(
                f"links run at {rates(missing)}, ports {group.id} of {unit.unit_type} at {rates(group.speeds_mbps)}",
                unit.position,
            )
    asked = ask.stack.stacking_mbps
    if asked is not None and speeds and min(speeds) < asked:
        yield Breach(f"links run at {rate(min(speeds))}, asked are at least {rate(asked)}")


RULE = Rule(
    id="stacking.rate",
    family="stacking",
    sentence="All links of a stack run at one speed, which every member has and the customer finds enough.",
    source=COMMON_PRACTICE,
    about=("stacking_mbps",),
    arranges=arranges,
    check=check,
)
