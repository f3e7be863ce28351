"""Watts are left on each unit for what comes later: so many, and so many percent of its supplies' output.

Why it matters: devices grow hungrier before closets grow ports, and a unit at its limit takes no new optic.
Both are looked at while all supplies work; what is left when one fails is asked for by itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from . import modelling
from .checking import lack, outputs_dw, tenths, units_with_supplies, watts

# the rule's part of the model


def gives(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """All supplies at the site's input voltage, less the larger of the two that are to be left."""
    if not modelling.has_supplies(fitout) or not (setting.headroom_w or setting.headroom_w_percent):
        return None
    output_dw = modelling.sum_dw(fitout.supplies, setting)
    left_dw = max(modelling.dw(setting.headroom_w), -(-output_dw * setting.headroom_w_percent // 100))
    return output_dw - left_dw


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """What the load leaves of the outputs, against the watts asked and the share of the outputs asked."""
    setting = ask.setting
    for one in units_with_supplies(build, ask, catalog):
        if lack(one, one.supplies, setting.input_v, poe=True):
            continue  # not even the load is carried: another rule says so
        has_dw = outputs_dw(one.supplies, setting.input_v)
        left_dw = has_dw - one.load_dw()
        if left_dw < tenths(setting.headroom_w):
            yield Breach(f"supplies leave {watts(left_dw)}, {watts(tenths(setting.headroom_w))} asked", one.position)
        if left_dw * 100 < has_dw * setting.headroom_w_percent:
            asked = f"{setting.headroom_w_percent} % of their {watts(has_dw)} asked"
            yield Breach(f"supplies leave {watts(left_dw)}, {asked}", one.position)


RULE = Rule(
    id="power.headroom",
    family="power",
    sentence="While all its supplies work, each unit has the watts left that are asked, in watts or in percent.",
    source=COMMON_PRACTICE,
    about=("headroom_w", "headroom_w_percent", "input_v", "ports", "devices", "uplinks"),
    budgets=modelling.load_budgets("watts with head-room", gives),
    explains=("supply",),
    only_if_asked=("headroom_w", "headroom_w_percent"),
    check=check,
)
