"""Every contract runs for the months asked; where a day is asked, all contracts end on that day.

Why it matters: a gap between two contracts is paid for twice, by the outage and by the fee to come back.
A contract by the month is bought for just these months; where none are asked, for as many as it is sold for.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.parts import UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.services import Support
from configurator.setting import Ask, Setting

from . import modelling
from .checking import Held, all_held, ends, is_asked, months_asked

# the rule's part of the model


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A contract that ends too soon, or not on the day."""
    if not isinstance(part, Support):
        return False
    if setting.support_until is not None:
        return modelling.end(part, setting) != setting.support_until
    return setting.support_months is not None and modelling.months(part, setting) < setting.support_months


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the end, or the months, of each contract with what is asked; support.optics counts those of optics."""
    if not is_asked(ask):
        return
    for held in all_held(build, catalog):
        asked = months_asked(ask.setting) or held.contract.term_months
        if not held.contract.by_month:
            yield from _fixed(held, ask)
        elif not held.contract.covers_parts and held.count != asked:
            yield Breach(f"{held.contract.id} for {held.count} months, it takes {asked}", held.position)


def _fixed(held: Held, ask: Ask) -> Iterator[Breach]:
    """What is wrong with a contract of a fixed term."""
    until, asked, term = ask.setting.support_until, ask.setting.support_months, held.contract.term_months
    if until is not None and ends(held, ask.setting) != until:
        text = f"{held.contract.id} ends on {ends(held, ask.setting)} after {term} months, {until} is asked"
        yield Breach(text, held.position)
    elif until is None and asked is not None and term < asked:
        yield Breach(f"{held.contract.id} runs {term} months, {asked} are asked", held.position)


RULE = Rule(
    id="support.term",
    family="support",
    sentence="Every contract runs for the months asked; where a day is asked, all contracts end on that day.",
    source=COMMON_PRACTICE,
    about=("support_months", "support_until"),
    applies=lambda catalog: bool(catalog.parts.support),
    forbids_for=forbids_for,
    check=check,
)
