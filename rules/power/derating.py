"""A supply gives what its data sheet says for the site's voltage, not its best figure.

Many supplies give less on 100 to 127 V mains; a build that works at 230 V may be short there.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from . import modelling
from .checking import largest_dw, output_dw, outputs_dw, units_with_supplies, watts

# the rule's part of the model


def gives(fitout: Fitout, setting: Setting, catalog: Catalog) -> int | None:
    """All supplies at the site's input voltage, where that is less than at their best one."""
    if not modelling.has_supplies(fitout):
        return None
    here_dw = modelling.sum_dw(fitout.supplies, setting)
    return here_dw if here_dw < sum(modelling.best_dw(supply) for supply in fitout.supplies) else None


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Where the best outputs would do, those at the site's voltage do too; no voltage said is the worst one."""
    input_v = ask.setting.input_v
    for one in units_with_supplies(build, ask, catalog):
        if any(output_dw(supply, input_v) is None for supply in one.supplies):
            continue  # doesn't work at all: power.input_voltage says so
        best_dw, has_dw, takes_dw = sum(map(largest_dw, one.supplies)), outputs_dw(one.supplies, input_v), one.load_dw()
        if has_dw < takes_dw <= best_dw:
            at = "at the worst input voltage" if input_v is None else f"at {input_v} V"
            yield Breach(
                f"supplies give {watts(has_dw)} {at} ({watts(best_dw)} at best), the unit draws and feeds "
                f"{watts(takes_dw)}: short by {watts(takes_dw - has_dw)}",
                one.position,
            )


RULE = Rule(
    id="power.derating",
    family="power",
    sentence="Supplies cover the load with the output they have at the site's input voltage.",
    source=COMMON_PRACTICE,
    about=("input_v", "country", "ports", "devices", "uplinks"),
    budgets=modelling.load_budgets("watts at the site's voltage", gives),
    check=check,
)
