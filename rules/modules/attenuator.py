"""Where a way is too short for an optic's light, each receiver has an attenuator before it.

Why it matters: long-reach optics blind each other across one room, and may burn out; some may be used there
when their light is weakened by what their maker states.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.kinds import Kind, Plug
from configurator.parts import Attenuator, Optic
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

from .. import looking
from . import checking, modelling

# the rule's part of the model


def needs(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """One for each optic that is too strong, here and at the far end."""
    for optic in modelling.ends(kind, plug, catalog):
        over_db = modelling.too_strong_db(optic, kind)
        if over_db:
            weak = [a for a in catalog.parts.attenuators if a.connector == optic.connector and a.loss_db >= over_db]
            yield Need("attenuator", tuple((one.id,) for one in weak))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Shares out the attenuators of each statement among its optics that are too strong."""
    came = checking.there(build, "attenuator")
    needed: dict[str, Counter[str]] = {}
    over_db: dict[tuple[str, str], Decimal] = {}
    for statement, said, optic in checking.lit_ends(build, ask, catalog):
        if take_db := checking.weakened_db(optic, said):
            needed.setdefault(statement, Counter())[optic.id] += 1
            over_db[statement, optic.id] = take_db
    for statement, optics in needed.items():

        def fits(number: str, part: str, statement: str = statement) -> bool:
            optic, attenuator = looking.part_of(number, Optic, catalog), looking.part_of(part, Attenuator, catalog)
            if optic is None or attenuator is None or attenuator.connector != optic.connector:
                return False
            return attenuator.loss_db >= over_db[statement, number]

        mine = came.get(statement, Counter())
        for number, short in checking.unmet(optics, mine, fits).items():
            connector = catalog.get(number, Optic).connector
            lacks = f"{short} of {optics[number]} receivers of {number} lack an attenuator"
            wanted = f"{connector}, {looking.plain(over_db[statement, number])} dB or more"
            has = ", ".join(f"{count} of {part}" for part, count in mine.items()) or "none"
            yield Breach(f"{statement}: {lacks} ({wanted}), there are: {has}")


RULE = Rule(
    id="modules.attenuator",
    family="modules",
    sentence="Where a way is too short for an optic's light, each receiver has an attenuator that takes enough off.",
    source=COMMON_PRACTICE,
    about=("uplinks", "ports"),
    applies=lambda catalog: any(row.short_db is not None for one in catalog.parts.optics for row in one.reaches),
    requires=Requires(served=needs),
    check=check,
)
