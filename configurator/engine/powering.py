"""Supplies and fan trays: for a unit type, every filling of its bays, with what each gives."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations_with_replacement, product
from typing import Literal

from configurator.book import Book
from configurator.fitout import Fitout
from configurator.parts import FanTray, Supply, UnitType
from configurator.setting import Setting

POWER_FORMS = ("forbids.supplies", "forbids.fans", "forbids_part", "budgets")
Feed = Literal["A", "B"]


def powerings(book: Book, unit: UnitType, setting: Setting) -> list[tuple[Fitout, tuple[int | None, ...]]]:
    """Fit-outs with supplies and fans decided, each with what it gives of every budget."""

    def make(setting: Setting) -> list[tuple[Fitout, tuple[int | None, ...]]]:
        found: list[tuple[Fitout, tuple[int | None, ...]]] = []
        for fitout in _supplied(book, unit, setting):
            for cooled in _cooled(book, fitout, setting):
                gives = tuple(budget.gives(cooled, setting, book.catalog) for budget in book.budgets)
                found.append((cooled, gives))
        return found

    return book.made("powerings", POWER_FORMS, unit.id, setting, make)


def _supplied(book: Book, unit: UnitType, setting: Setting) -> Iterator[Fitout]:
    if unit.built_in_supply is not None:
        bare = Fitout(unit, supplies=(book.catalog.get(unit.built_in_supply, Supply),))
        yield from (f for f in _plugged(bare, setting) if book.allows("supplies", f, setting))
        return
    bays = unit.supply_bays.count if unit.supply_bays else 0
    if not bays:
        yield from (f for f in [Fitout(unit)] if book.allows("supplies", f, setting))
        return
    # A supply that no rule lets into this type on its own is left out of every mix.
    fitting = [
        supply
        for supply in book.catalog.parts.supplies
        if book.to_be_had(supply.id, setting)
        and any(book.allows("supplies", Fitout(unit, supplies=(supply,) * n), setting) for n in range(1, bays + 1))
    ]
    for count in range(bays + 1):
        for chosen in combinations_with_replacement(fitting, count):
            for fitout in _plugged(Fitout(unit, supplies=chosen), setting):
                if book.allows("supplies", fitout, setting):
                    yield fitout


def _plugged(fitout: Fitout, setting: Setting) -> Iterator[Fitout]:
    """Which outlet and feed each inlet's cord goes to, where the site says what it has.

    Equal supplies are interchangeable, so of equal assignments only one is proposed.
    """
    plugs = setting.outlet_plugs
    feeds: tuple[Feed, ...] = () if setting.on_feed_loss == "stops" else ("A", "B")
    outlets = [(plugs or ("",)) if supply.inlet else ("",) for supply in fitout.supplies]
    options = [[(plug, feed) for plug in mine for feed in feeds or (None,)] for mine in outlets]
    seen: set[tuple[object, ...]] = set()
    for choice in product(*options):
        key = tuple(sorted((s.id, plug, feed or "") for s, (plug, feed) in zip(fitout.supplies, choice, strict=True)))
        if key not in seen:
            seen.add(key)
            yield replace(
                fitout,
                plugs=tuple(plug for plug, _ in choice) if plugs else (),
                feeds=tuple(feed for _, feed in choice if feed is not None),
            )


def _cooled(book: Book, fitout: Fitout, setting: Setting) -> Iterator[Fitout]:
    bays = fitout.unit_type.fan_bays
    if bays is None:
        trays: list[FanTray] = []
    else:
        trays = [tray for tray in book.catalog.parts.fan_trays if tray.id in bays.takes]
        trays = [tray for tray in trays if book.to_be_had(tray.id, setting)]
    most = max(bays.by_supplies) if bays else 0
    for count in range(most + 1):
        for chosen in combinations_with_replacement(trays, count):
            cooled = replace(fitout, fan_trays=chosen)
            if book.allows("fans", cooled, setting):
                yield cooled
