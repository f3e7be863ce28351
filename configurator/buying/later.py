"""A second supply bought later, or now: what it costs to keep running when one supply fails.

Later means: the build stays as it is, and each unit with one supply gets another with its cord and
fan trays, bought by themselves at today's prices.  Now means: the cheapest build that carries
everything without any one of its supplies.  The first is one of the builds that the second is chosen
from, so later never costs less.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from configurator.book import Book
from configurator.build import Bought, Build, BuiltUnit, FittedSupply
from configurator.buying.comparison import AddedPart, Later
from configurator.buying.contents import by_unit
from configurator.buying.orders import Orders
from configurator.catalog import Catalog
from configurator.messages import counted, listed
from configurator.money import with_code
from configurator.parts import UnitType
from configurator.services import Blank
from configurator.setting import Ask, Statement
from configurator.verify import verify

KEY = "on_supply_loss"
MOST_REASONS = 3
OTHER_FEED: dict[str | None, Literal["A", "B"]] = {"A": "B", "B": "A"}
NONE_SOLD = "no second supply for it can be bought by itself"


def keeping(ask: Ask) -> Ask:
    """The stack as asked, and everything keeps running without any one supply of a unit."""
    return replace(
        ask,
        stack=ask.stack.model_copy(update={KEY: "carries_all"}),
        setting=replace(ask.setting, on_supply_loss="carries_all"),
        statements={**ask.statements, KEY: Statement(KEY, f"{KEY}: carries_all")},
    )


def later(ask: Ask, orders: Orders) -> Later | None:
    """A second supply for one stack; none where no unit has only one, or the demand asks for two anyway."""
    here = orders.stack(ask)
    if here.build is None or here.price_minor is None or ask.setting.on_supply_loss == "carries_all":
        return None
    single = [unit for unit in here.build.units if len(unit.supplies) == 1]
    if not single:
        return None
    asked = keeping(ask)
    now = orders.stack(asked)
    now_minor = None if now.price_minor is None else now.price_minor - here.price_minor
    found = _Adding(asked, orders).added_to(here.build)
    parts = () if found.build is None else tuple(_parts(found.parts, orders.catalog))
    later_minor = None if found.build is None else sum(part.amount_minor for part in parts)
    more = None if later_minor is None or now_minor is None else later_minor - now_minor
    types = () if now.build is None else tuple(sorted({unit.unit_type for unit in now.build.units}))
    one = Later(
        stack=ask.stack.name,
        units=tuple(unit.position for unit in single),
        status=now.status,
        now_minor=now_minor,
        later_minor=later_minor,
        more_minor=more,
        parts=parts,
        why_not=found.why_not,
        now_types=types,
        text="",
    )
    other = types and types != tuple(sorted({unit.unit_type for unit in here.build.units}))
    return one.model_copy(update={"text": _text(one, len(here.build.units), other_types=bool(other), orders=orders)})


@dataclass(frozen=True)
class _Added:
    build: Build | None  # valid; none: it can't be done
    parts: Counter[str]  # bought for it
    why_not: tuple[str, ...] = ()


class _Adding:
    """Finds supplies to add, unit by unit, cheapest first; the rules say which will do."""

    def __init__(self, asked: Ask, orders: Orders) -> None:
        self.asked, self.catalog, self.rules = asked, orders.catalog, orders.rules
        self.book = Book(orders.rules, orders.catalog)

    def added_to(self, build: Build) -> _Added:
        """The build with a second supply in every unit that has one."""
        bought: Counter[str] = Counter()
        left = {unit.position: idle for unit, _, idle in by_unit(build, self.catalog)}
        for unit in build.units:
            if len(unit.supplies) != 1:
                continue
            unit_type = self.catalog.unit_types[unit.unit_type]
            if unit_type.built_in_supply is not None or unit_type.supply_bays is None:
                return _Added(None, bought, (f"unit {unit.position}: {unit_type.id} has its supply built in",))
            if unit_type.supply_bays.count < 2:
                return _Added(None, bought, (f"unit {unit.position}: {unit_type.id} has one supply bay",))
            tried = [
                (sum(n * self._price(part) for part, n in parts.items()), n, parts, one)
                for n, (one, parts) in enumerate(self._ways(unit, unit_type, left[unit.position]))
            ]
            against: tuple[str, ...] = ()
            for _, _, parts, one in sorted(tried, key=lambda way: way[:2]):
                other = _with_unit(build, one)
                wrong = self._wrong(other, unit.position)
                if not wrong:
                    build, bought = other, bought + parts
                    break
                against = against or wrong  # of the cheapest way: mostly the supply that is there
            else:
                why = against[:MOST_REASONS] or (NONE_SOLD,)
                return _Added(None, bought, tuple(f"unit {unit.position}: {text}" for text in why))
        wrong = tuple(breach.text for _, breach in verify(build, self.asked, self.catalog, self.rules))
        return _Added(None, bought, wrong[:MOST_REASONS]) if wrong else _Added(build, bought)

    def _price(self, part: str) -> int:
        return self.book.price_minor(part, self.asked.setting) or 0

    def _wrong(self, build: Build, position: int) -> tuple[str, ...]:
        """What the rules find wrong with this unit."""
        found = verify(build, self.asked, self.catalog, self.rules)
        return tuple(breach.text for _, breach in found if breach.unit == position)

    def _ways(
        self, unit: BuiltUnit, unit_type: UnitType, left: Counter[str]
    ) -> Iterator[tuple[BuiltUnit, Counter[str]]]:
        """The unit with one supply more, and what is bought for it: the supply that is there first."""
        assert unit_type.supply_bays is not None
        (there,) = unit.supplies
        bay = next(n for n in range(1, unit_type.supply_bays.count + 1) if n != there.bay)
        others = sorted(name for name in unit_type.supply_bays.takes if name != there.supply)
        cords = sorted(cord.id for cord in self.catalog.parts.cords if cord.id != there.cord)
        for supply in (there.supply, *others):
            for cord in (there.cord, *cords, *([None] if there.cord is not None else [])):
                parts = Counter([supply, *([] if cord is None else [cord])])
                trays = _trays(unit, unit_type)
                parts.update(trays)
                parts -= left
                inside: Counter[str] = Counter()
                for content in self.catalog.by_id[supply].contents if parts[supply] else ():
                    inside[content.part] += content.count
                parts -= inside
                if all(self.book.sold(part, self.asked.setting) for part in parts):
                    more = FittedSupply(bay=bay, supply=supply, cord=cord, feed=OTHER_FEED.get(there.feed))
                    yield _fitted(unit, more, trays, parts, self.catalog), parts


def _trays(unit: BuiltUnit, unit_type: UnitType) -> list[str]:
    """Fan trays that a second supply asks for, like those that are there."""
    if unit_type.fan_bays is None or not unit.fan_trays:
        return []
    needed = unit_type.fan_bays.by_supplies
    want = needed[min(2, len(needed)) - 1]
    return [unit.fan_trays[0]] * max(0, want - len(unit.fan_trays))


def _fitted(unit: BuiltUnit, more: FittedSupply, trays: list[str], parts: Counter[str], catalog: Catalog) -> BuiltUnit:
    """The unit with these in it, in the place of the panel that closed the bay."""
    along = []
    closed = True
    for one in unit.along:
        blank = catalog.by_id.get(one.part)
        if closed and isinstance(blank, Blank) and blank.fills == "supply bay":
            closed = False
            along += [one.model_copy(update={"count": one.count - 1})] if one.count > 1 else []
        else:
            along.append(one)
    counts = Counter({line.part: line.count for line in unit.bought}) + parts
    return unit.model_copy(
        update={
            "supplies": tuple(sorted((*unit.supplies, more), key=lambda supply: supply.bay)),
            "fan_trays": (*unit.fan_trays, *trays),
            "along": tuple(along),
            "bought": tuple(Bought(part=part, count=count) for part, count in counts.items()),
        }
    )


def _with_unit(build: Build, unit: BuiltUnit) -> Build:
    units = tuple(unit if one.position == unit.position else one for one in build.units)
    return build.model_copy(update={"units": units})


def _parts(counts: Counter[str], catalog: Catalog) -> Iterator[AddedPart]:
    for part, count in sorted(counts.items()):
        yield AddedPart(
            part=part,
            description=catalog.by_id[part].description,
            count=count,
            amount_minor=count * (catalog.price_minor(part) or 0),
        )


def _text(one: Later, units: int, *, other_types: bool, orders: Orders) -> str:
    prices = orders.catalog.prices

    def money(minor: int) -> str:
        return with_code(minor, prices.decimals, prices.currency)

    some = "The unit has" if units == 1 else f"{len(one.units)} of {units} units have"
    head = f"{some} one supply and {'stops' if len(one.units) == 1 else 'stop'} without it."
    if one.now_minor is None:
        now = "No build keeps running without a supply" if one.status == "cannot be met" else "Now: not decided in time"
    else:
        more = f"{money(one.now_minor)} more" if one.now_minor else "as much"
        now = f"A build that keeps running costs {more} now"
        now += f", with other unit types: {listed(one.now_types)}" if other_types else ""
    if one.later_minor is None:
        return f"{head} {now}. A second supply can't be added later: {'; '.join(one.why_not)}."
    if not one.parts:
        return (
            f"{head} {now}. {'The second is in the box' if len(one.units) == 1 else 'They are in the boxes'} already."
        )
    added = counted(sum(part.count for part in one.parts), "part", "parts")
    text = f"{head} {now}; {added} added later {'costs' if added.startswith('1 ') else 'cost'} {money(one.later_minor)}"
    if one.more_minor is None:
        return f"{text}."
    return f"{text}, {money(one.more_minor)} more." if one.more_minor else f"{text}, as much."
