"""A supply works at the site's input voltage.

A supply for 200 V and more doesn't start on 120 V mains, and a direct-current one on no mains at all.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fitout import Fitout
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask, Setting

from .checking import output_dw, powered_units

# the rule's part of the model


def forbids(fitout: Fitout, setting: Setting, catalog: Catalog) -> bool:
    """A supply without an output at the site's input voltage."""
    volts = setting.input_v
    return volts is not None and not all(
        any(o.from_v <= volts <= o.to_v for o in supply.outputs) for supply in fitout.supplies
    )


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Some output range of every supply contains the voltage; where none is said, all is well."""
    input_v = ask.setting.input_v
    for one in powered_units(build, ask, catalog):
        for supply in dict.fromkeys(one.supplies):
            if output_dw(supply, input_v) is None:
                ranges = ", ".join(f"{row.from_v} to {row.to_v} V" for row in supply.outputs)
                yield Breach(f"{supply.id} works at {ranges}, the site has {input_v} V", one.position)


RULE = Rule(
    id="power.input_voltage",
    family="power",
    sentence="A supply works at the site's input voltage.",
    source=COMMON_PRACTICE,
    about=("input_v", "country"),
    forbids={"supplies": forbids},
    check=check,
)
