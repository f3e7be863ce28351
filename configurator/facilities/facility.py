"""What stacks ask of the room they stand in: space, weight, power, heat, sound, circuits, outlets.

Planning figures at full load: everything asked for in use at once, every port that feeds power
at the watts it reserves.  Sums are exact; what people see is rounded up.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from functools import cached_property
from typing import TypeVar

from configurator.answer_facility import Facility, Inlets, Limit, Outlets
from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.cautions import cautions, lifters
from configurator.facilities import circuits, load
from configurator.facilities.circuits import Fed, Input, amps, tenth_up
from configurator.parts import Cord, FanTray, Optic, UnitType
from configurator.setting import Ask

T = TypeVar("T")
BTU_H_PER_W = Decimal("3.412142")  # BTU_IT/h: 3600 / 1055.05585262 J
LIMITS = (
    ("rack_units_free", "rack units"),
    ("rack_depth_mm", "mm"),
    ("rack_weight_kg", "kg"),
    ("heat_w", "W"),
    ("ups_va", "VA"),
    ("noise_db", "dB"),
)
"""What the demand may limit in a room, with the units."""


@dataclass(frozen=True)
class Standing:
    """A stack as built, and how many like it stand in one room."""

    build: Build
    ask: Ask
    count: int = 1


@dataclass(frozen=True)
class Room:
    """Everything that stands in one room; the sums are exact."""

    stacks: tuple[Standing, ...]
    catalog: Catalog

    @cached_property
    def units(self) -> list[tuple[int, BuiltUnit, Ask]]:
        """Each unit with how many like it there are and what was asked of its stack."""
        return [(one.count, unit, one.ask) for one in self.stacks for unit in one.build.units]

    @cached_property
    def types(self) -> list[tuple[int, UnitType]]:
        """Each unit's type with how many like it there are."""
        return [(n, self.catalog.unit_types[unit.unit_type]) for n, unit, _ in self.units]

    @cached_property
    def loads(self) -> list[tuple[int, load.Load]]:
        """What each unit draws and feeds."""
        return [(n, load.load_of(unit, ask, self.catalog)) for n, unit, ask in self.units]

    @cached_property
    def fed(self) -> list[Fed]:
        """What the supplies of each stack take."""
        return [
            Fed(
                one.count,
                one.ask,
                tuple(taken for unit in one.build.units for taken in circuits.inputs_of(unit, one.ask, self.catalog)),
            )
            for one in self.stacks
        ]

    @property
    def rack_units(self) -> int:
        """Of all units."""
        return sum(n * unit_type.rack_units for n, unit_type in self.types)

    @property
    def depth_mm(self) -> int | None:
        """Of the deepest unit; none where the catalog doesn't have every unit's."""
        depths = [unit_type.depth_mm for _, unit_type in self.types]
        known = [depth for depth in depths if depth is not None]
        return max(known, default=None) if len(known) == len(depths) else None

    @cached_property
    def weights(self) -> list[tuple[int, Decimal]]:
        """The weights that are known."""
        weights = [(n, weight_kg(unit, self.catalog)) for n, unit, _ in self.units]
        return [(n, kg) for n, kg in weights if kg is not None]

    @property
    def weight_kg(self) -> Decimal | None:
        """Of all units; none where the catalog doesn't have every unit's."""
        known = len(self.weights) == len(self.units)
        return sum((n * kg for n, kg in self.weights), Decimal(0)) if known else None

    @property
    def heaviest_kg(self) -> Decimal | None:
        """Of the heaviest unit whose weight is known."""
        return max((kg for _, kg in self.weights), default=None)

    @cached_property
    def poe_w(self) -> Decimal:
        """What leaves on the devices' cables."""
        return sum((n * one.poe_w for n, one in self.loads), load.NONE_W)

    @cached_property
    def plug_w(self) -> Fraction:
        """What the supplies take."""
        return sum((one.count * each.plug_w(each.load_w) for one in self.fed for each in one.inputs), Fraction(0))

    @cached_property
    def volt_amperes(self) -> Fraction:
        """Apparent power that the supplies take."""
        taken = (one.count * each.volt_amperes(each.load_w) for one in self.fed for each in one.inputs)
        return sum(taken, Fraction(0))

    @property
    def closet_w(self) -> Fraction:
        """What stays in the room as heat."""
        return max(self.plug_w - Fraction(self.poe_w), Fraction(0))

    @property
    def noise_db(self) -> Decimal | None:
        """A-weighted sound power of all units; none where the catalog doesn't have every unit's."""
        levels = [(n, unit_type.noise_db) for n, unit_type in self.types]
        known = [(n, level_db) for n, level_db in levels if level_db is not None]
        return sound_power_db(known) if len(known) == len(levels) else None

    @cached_property
    def airflow(self) -> tuple[str, ...]:
        """Directions that its units blow in."""
        return tuple(sorted({flow for _, unit, _ in self.units if (flow := airflow_of(unit, self.catalog))}))

    @cached_property
    def laser_classes(self) -> tuple[str, ...]:
        """Of the optics, as the catalog has them."""
        return tuple(sorted({name for one in self.stacks for name in laser_classes(one.build, self.catalog)}))

    @property
    def limits(self) -> Iterator[Limit]:
        """What the demand allows, where all stacks here that state a limit state the same."""
        figures: tuple[int | Decimal | Fraction | None, ...] = (
            self.rack_units,
            self.depth_mm,
            self.weight_kg,
            self.closet_w,
            self.volt_amperes,
            self.noise_db,
        )
        for (key, unit), figure in zip(LIMITS, figures, strict=True):
            limit = _the_one(value for one in self.stacks if (value := getattr(one.ask.stack, key)) is not None)
            if limit is not None:
                told = tenth_up(figure) if isinstance(figure, Fraction) else figure
                within = None if figure is None else figure <= Fraction(limit)
                yield Limit.model_validate({"key": key, "figure": told, "limit": limit, "unit": unit, "within": within})


def facility_of(build: Build, ask: Ask, catalog: Catalog) -> Facility:
    """The figures and cautions of one stack."""
    return facility_in((Standing(build, ask),), catalog)


def facility_in(stacks: tuple[Standing, ...], catalog: Catalog) -> Facility:
    """The figures and cautions of all that stands in one room."""
    room = Room(stacks, catalog)
    return Facility(
        rack_units=room.rack_units,
        depth_mm=room.depth_mm,
        weight_kg=room.weight_kg,
        heaviest_kg=room.heaviest_kg,
        lifters=None if room.heaviest_kg is None else lifters(room.heaviest_kg),
        load_w=sum((n * one.all_w for n, one in room.loads), load.NONE_W),
        poe_w=room.poe_w,
        plug_w=tenth_up(room.plug_w),
        volt_amperes=tenth_up(room.volt_amperes),
        input_v=_the_one(one.ask.setting.input_v for one in stacks),
        heat_btu_h=tenth_up(room.plug_w * Fraction(BTU_H_PER_W)),
        closet_w=tenth_up(room.closet_w),
        closet_btu_h=tenth_up(room.closet_w * Fraction(BTU_H_PER_W)),
        noise_db=room.noise_db,
        airflow=room.airflow,
        laser_classes=room.laser_classes,
        feeds=circuits.feeds(room.fed),
        circuits=circuits.circuits(room.fed),
        inlets=inlets_by_kind(room.fed, catalog),
        outlets=tuple(_outlets(room.fed, catalog)),
        limits=tuple(room.limits),
        cautions=cautions(
            feeds_poe=room.poe_w > 0,
            heaviest_kg=room.heaviest_kg,
            laser_classes=room.laser_classes,
            airflow=room.airflow,
        ),
    )


def _the_one(values: Iterable[T]) -> T | None:
    """What they all are; none where there is nothing, or not the same."""
    different = set(values)
    return different.pop() if len(different) == 1 else None


def sound_power_db(levels: Iterable[tuple[int, Decimal]]) -> Decimal:
    """Sound power level of so many sources of each level together, to a tenth, up.

    Powers of sources that know nothing of each other add up: 10 lg(sum of 10^(L/10)); from memory.
    """
    power = sum((n * Decimal(10) ** (level_db / 10) for n, level_db in levels), Decimal(0))
    together_db = (10 * power.log10()).quantize(Decimal("1e-9"))  # powers are rounded: one source keeps its level
    return together_db.quantize(Decimal("0.1"), ROUND_CEILING)


# --- inlets and outlets -----------------------------------------------------------------------------------


def inlets_by_kind(stacks: Iterable[Fed], catalog: Catalog) -> tuple[Inlets, ...]:
    """Inlets by type, plug, feed and voltage, with the largest current that one of them carries."""
    alike: dict[tuple[str, str, str, int], list[tuple[int, Input]]] = {}
    for stack in stacks:
        for one in stack.inputs:
            if one.supply is not None and one.supply.inlet is not None:
                plug = None if one.cord is None else catalog.get(one.cord, Cord).plug
                key = (one.supply.inlet, plug or "", one.feed or "", stack.ask.setting.input_v or 0)
                alike.setdefault(key, []).append((stack.count, one))
    return tuple(
        Inlets.model_validate(
            {
                "inlet": inlet,
                "plug": plug or None,
                "feed": feed or None,
                "count": sum(n for n, _ in ones),
                "input_v": input_v or None,
                "expected_a": amps(max(one.volt_amperes(one.load_w) for _, one in ones), input_v),
                "rated_a": amps(max(one.volt_amperes(one.rated_w) for _, one in ones), input_v),
            }
        )
        for (inlet, plug, feed, input_v), ones in sorted(alike.items())
    )


def _outlets(stacks: Iterable[Fed], catalog: Catalog) -> Iterator[Outlets]:
    """Outlets by plug; free ones are told where all stacks here say the same of them."""
    plugs: Counter[str] = Counter()
    free: set[tuple[tuple[str, int], ...] | None] = set()
    for stack in stacks:
        said = stack.ask.outlets
        free.add(None if said is None else tuple((one.plug, one.count) for one in said))
        for one in stack.inputs:
            if one.cord is not None:
                plugs[catalog.get(one.cord, Cord).plug] += stack.count
    stated = _the_one(free)
    for plug, count in sorted(plugs.items()):
        left = None if stated is None else sum(number for name, number in stated if name == plug)
        yield Outlets(plug=plug, count=count, free=left, within=None if left is None else count <= left)


# --- units --------------------------------------------------------------------------------------------------


def airflow_of(unit: BuiltUnit, catalog: Catalog) -> str | None:
    """The direction a unit blows in: its type's, its fan trays' or its supplies'."""
    trays = [catalog.get(tray, FanTray).airflow for tray in unit.fan_trays]
    supplies = [supply.airflow for supply in load.supplies_of(unit, catalog)]
    return next((flow for flow in (catalog.unit_types[unit.unit_type].airflow, *trays, *supplies) if flow), None)


def weight_kg(unit: BuiltUnit, catalog: Catalog) -> Decimal | None:
    """A unit's weight with what is fitted; none where the catalog has no weight for the type."""
    bare = catalog.unit_types[unit.unit_type].weight_kg
    if bare is None:
        return None
    fitted = [s.supply for s in unit.supplies if s.bay] + [*unit.fan_trays] + [m.module for m in unit.modules]
    return bare + sum((catalog.by_id[part].weight_kg or load.NONE_W for part in fitted), load.NONE_W)


def laser_classes(build: Build, catalog: Catalog) -> tuple[str, ...]:
    """Laser classes of the optics in the build, as the catalog has them."""
    plugged = [use.plug for unit in build.units for use in unit.uses if use.plug is not None]
    in_splits = [part for unit in build.units for split in unit.splits for part in split.parts]
    in_links = [part for link in build.links for part in link.parts]
    parts = {*plugged, *in_splits, *in_links}
    optics = [found for part in parts if isinstance(found := catalog.by_id.get(part), Optic)]
    return tuple(sorted({optic.laser_class for optic in optics if optic.laser_class}))
