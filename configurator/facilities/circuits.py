"""What supplies take from feeds and branch circuits, with all working and with a feed lost.

Exact fractions; `tenth_up` makes figures for people, never less than the true ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from configurator.answer_facility import Circuits, Feed, FeedLoad
from configurator.build import BuiltUnit, FittedSupply
from configurator.catalog import Catalog
from configurator.facilities import load
from configurator.parts import Supply
from configurator.setting import Ask


@dataclass(frozen=True)
class Input:
    """What one supply takes; a unit of whose supplies the catalog says nothing takes what it draws."""

    supply: Supply | None
    cord: str | None
    feed: Feed | None
    load_w: Fraction  # its share of the unit's load, by output
    lost_w: Fraction | None = None  # its share while the other feed is lost; none: it hangs on no feed of two
    rated_w: Fraction = Fraction(0)  # what it is rated to give; 0: nothing is known of it

    def plug_w(self, output_w: Fraction) -> Fraction:
        """Watts at the plug while it gives so many."""
        return output_w / Fraction(self.supply.efficiency) if self.supply else output_w

    def volt_amperes(self, output_w: Fraction) -> Fraction:
        """Apparent power at the plug while it gives so many watts."""
        return self.plug_w(output_w) / Fraction(self.supply.power_factor) if self.supply else output_w


@dataclass(frozen=True)
class Fed:
    """What the supplies of a stack take, and how many like it stand in one room."""

    count: int
    ask: Ask
    inputs: tuple[Input, ...]


def inputs_of(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> tuple[Input, ...]:
    """What each supply of a unit takes: those that work share the load by their outputs."""
    drawn = load.load_of(unit, ask, catalog)
    if not unit.supplies:
        return (Input(None, None, None, Fraction(drawn.all_w)),)
    fitted = sorted(unit.supplies, key=lambda one: one.bay)
    rated = [Fraction(load.output_w(catalog.get(one.supply, Supply), ask.setting.input_v)) for one in fitted]
    working = _shares(rated, Fraction(drawn.all_w))
    lost = {feed: _on_one_feed(feed, fitted, rated, unit, drawn, ask, catalog) for feed in _feeds_of(fitted)}
    return tuple(
        Input(
            catalog.get(one.supply, Supply),
            one.cord,
            one.feed,
            working[place],
            None if one.feed is None else lost[one.feed][place],
            rated[place],
        )
        for place, one in enumerate(fitted)
    )


def _feeds_of(fitted: Iterable[FittedSupply]) -> set[Feed]:
    return {one.feed for one in fitted if one.feed is not None}


def _on_one_feed(
    feed: Feed,
    fitted: Sequence[FittedSupply],
    rated: Sequence[Fraction],
    unit: BuiltUnit,
    drawn: load.Load,
    ask: Ask,
    catalog: Catalog,
) -> list[Fraction]:
    """Each supply's share while this is the only feed: of all, or of as much as its supplies can give."""
    left = tuple(catalog.get(one.supply, Supply) for one in fitted if one.feed == feed)
    carried_w = load.source_of_some(left, unit, ask, catalog).carries_w(drawn)
    return _shares([w if one.feed == feed else Fraction(0) for one, w in zip(fitted, rated, strict=True)], carried_w)


def _shares(rated: Sequence[Fraction], load_w: Decimal | Fraction) -> list[Fraction]:
    together_w = sum(rated, Fraction(0))
    return [Fraction(load_w) * w / together_w if together_w else Fraction(0) for w in rated]


# --- feeds and circuits ---------------------------------------------------------------------------------


def feeds(stacks: Iterable[Fed]) -> tuple[FeedLoad, ...]:
    """What each feed carries in all, by voltage."""
    alike: dict[tuple[str, int], list[tuple[int, Input]]] = {}
    for one in stacks:
        for taken in one.inputs:
            alike.setdefault((taken.feed or "", one.ask.setting.input_v or 0), []).append((one.count, taken))
    out = []
    for (feed, input_v), taken_by in sorted(alike.items()):
        plug_w = sum((n * one.plug_w(one.load_w) for n, one in taken_by), Fraction(0))
        working = sum((n * one.volt_amperes(one.load_w) for n, one in taken_by), Fraction(0))
        lost = sum((n * one.volt_amperes(one.lost_w or Fraction(0)) for n, one in taken_by), Fraction(0))
        out.append(
            FeedLoad.model_validate(
                {
                    "feed": feed or None,
                    "input_v": input_v or None,
                    "plug_w": tenth_up(plug_w),
                    "volt_amperes": tenth_up(working),
                    "amps": amps(working, input_v),
                    "lost_volt_amperes": tenth_up(lost) if feed else None,
                    "lost_amps": amps(lost, input_v) if feed else None,
                }
            )
        )
    return tuple(out)


@dataclass(frozen=True, order=True)
class _Kind:
    """What makes circuits alike; of unknown figures -1, so that they can be ordered."""

    feed: str
    shared: bool
    input_v: int
    circuit_a: Decimal
    share_percent: int


@dataclass
class _Carried:
    """Apparent power of the circuits of a kind, each the most that one carries."""

    count: int = 0
    expected: Fraction = Fraction(0)
    lost: Fraction = Fraction(0)
    rated: Fraction = Fraction(0)

    def add(self, count: int, expected: Fraction, lost: Fraction, rated: Fraction) -> None:
        """Some more circuits."""
        self.count += count
        self.expected, self.lost = max(self.expected, expected), max(self.lost, lost)
        self.rated = max(self.rated, rated)


def circuits(stacks: Iterable[Fed]) -> tuple[Circuits, ...]:
    """Circuits by feed: one for each inlet, or where they are shared one for each stack."""
    carried: dict[_Kind, _Carried] = {}
    for stack in stacks:
        for on_one in _circuits_of(stack):
            loads = [(one.volt_amperes(one.load_w), one.volt_amperes(one.lost_w or Fraction(0))) for one in on_one]
            rated = max(one.volt_amperes(one.rated_w) for one in on_one)
            carried.setdefault(_kind(stack.ask, on_one[0].feed), _Carried()).add(
                stack.count,
                sum((working for working, _ in loads), Fraction(0)),
                sum((lost for _, lost in loads), Fraction(0)),
                rated,
            )
    return tuple(_told(kind, carried[kind]) for kind in sorted(carried))


def _shared(ask: Ask) -> bool:
    return ask.stack.circuit is not None and ask.stack.circuit.shared


def _circuits_of(stack: Fed) -> list[list[Input]]:
    """The inputs on each circuit of a stack."""
    if not _shared(stack.ask):
        return [[one] for one in stack.inputs]
    by_feed: dict[str, list[Input]] = {}
    for one in stack.inputs:
        by_feed.setdefault(one.feed or "", []).append(one)
    return list(by_feed.values())


def _kind(ask: Ask, feed: Feed | None) -> _Kind:
    setting = ask.setting
    circuit_a = Decimal(-1) if setting.circuit_amps is None else setting.circuit_amps
    return _Kind(feed or "", _shared(ask), setting.input_v or -1, circuit_a, setting.circuit_share_percent)


def _told(kind: _Kind, carried: _Carried) -> Circuits:
    known = kind.circuit_a > 0 and kind.input_v > 0
    allowed_a = Fraction(kind.circuit_a) * kind.share_percent / 100
    most = max(carried.expected, carried.lost, Fraction(0) if kind.shared else carried.rated)
    return Circuits.model_validate(
        {
            "feed": kind.feed or None,
            "shared": kind.shared,
            "count": carried.count,
            "input_v": kind.input_v if kind.input_v > 0 else None,
            "circuit_a": kind.circuit_a if kind.circuit_a > 0 else None,
            "share_percent": kind.share_percent,
            "allowed_a": tenth_down(allowed_a) if kind.circuit_a > 0 else None,
            "expected_a": amps(carried.expected, kind.input_v),
            "lost_feed_a": amps(carried.lost, kind.input_v) if kind.feed else None,
            "rated_a": None if kind.shared else amps(carried.rated, kind.input_v),
            "within": most <= allowed_a * kind.input_v if known else None,
        }
    )


# --- figures --------------------------------------------------------------------------------------------


def amps(volt_amperes: Fraction, input_v: int) -> Decimal | None:
    """The current, rounded up; none where the voltage isn't known."""
    return tenth_up(volt_amperes / input_v) if input_v > 0 else None


def tenth_up(value: Fraction | Decimal) -> Decimal:
    """To one decimal, up: a planned load is never less than the true one."""
    return Decimal(ceil(Fraction(value) * 10)) / 10


def tenth_down(value: Fraction | Decimal) -> Decimal:
    """To one decimal, down: what is allowed is never more than the true one."""
    return Decimal(floor(Fraction(value) * 10)) / 10
