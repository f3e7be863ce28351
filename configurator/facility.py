"""What one stack asks of the room it stands in: rack units, weight, power, heat, inlets.

Planning figures at full load: everything asked for in use at once, every port that feeds power
at the watts it reserves.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from configurator import load, messages
from configurator.answer import Facility, Inlets
from configurator.build import Build, BuiltUnit
from configurator.catalog import Catalog
from configurator.parts import Cord, FanTray, Optic, Supply
from configurator.setting import Ask

BTU_H_PER_W = Decimal("3.412142")  # BTU_IT/h: 3600 / 1055.05585262 J


@dataclass(frozen=True)
class Input:
    """What one supply takes from its inlet."""

    supply: Supply
    cord: str | None
    feed: str | None
    load_w: Decimal  # its share of the unit's load, by output
    rated_w: Decimal

    @property
    def plug_w(self) -> Decimal:
        """Watts at the inlet."""
        return self.load_w / self.supply.efficiency

    @property
    def volt_amperes(self) -> Decimal:
        """Apparent power at the inlet."""
        return self.plug_w / self.supply.power_factor

    def amps(self, output_w: Decimal, input_v: int) -> Decimal:
        """Input current when it gives `output_w`."""
        return output_w / (self.supply.efficiency * self.supply.power_factor * input_v)


def facility_of(build: Build, ask: Ask, catalog: Catalog) -> Facility:
    """The figures and cautions of one stack."""
    inputs = [taken for unit in build.units for taken in inputs_of(unit, ask, catalog)]
    loads = [load.load_of(unit, ask, catalog) for unit in build.units]
    poe_w = sum((one.poe_w for one in loads), load.NONE_W)
    # of a type without supplies the losses are unknown: what it draws is what it takes
    bare_w = sum((one.all_w for one, unit in zip(loads, build.units, strict=True) if not unit.supplies), load.NONE_W)
    plug_w = sum((one.plug_w for one in inputs), bare_w)
    closet_w = max(plug_w - poe_w, load.NONE_W)
    weights = [weight_kg(unit, catalog) for unit in build.units]
    known = [weight for weight in weights if weight is not None]
    heaviest_kg, lasers = max(known, default=None), laser_classes(build, catalog)
    return Facility(
        rack_units=sum(catalog.unit_types[unit.unit_type].rack_units for unit in build.units),
        weight_kg=sum(known, load.NONE_W) if len(known) == len(weights) else None,
        heaviest_kg=heaviest_kg,
        load_w=sum((one.all_w for one in loads), load.NONE_W),
        poe_w=poe_w,
        plug_w=tenth(plug_w),
        volt_amperes=tenth(sum((one.volt_amperes for one in inputs), bare_w)),
        input_v=ask.setting.input_v,
        heat_btu_h=tenth(plug_w * BTU_H_PER_W),
        closet_w=tenth(closet_w),
        closet_btu_h=tenth(closet_w * BTU_H_PER_W),
        airflow=tuple(sorted({flow for unit in build.units if (flow := airflow_of(unit, catalog))})),
        laser_classes=lasers,
        inlets=inlets_by_kind(inputs, ask, catalog),
        cautions=messages.cautions(feeds_poe=poe_w > 0, heaviest_kg=heaviest_kg, laser_classes=lasers),
    )


def tenth(value: Decimal) -> Decimal:
    """To one decimal, halves up."""
    return value.quantize(Decimal("0.1"), ROUND_HALF_UP)


def tenth_up(value: Decimal) -> Decimal:
    """To one decimal, up: a planned current is never less than the true one."""
    return value.quantize(Decimal("0.1"), ROUND_CEILING)


def inputs_of(unit: BuiltUnit, ask: Ask, catalog: Catalog) -> list[Input]:
    """What each supply of a unit takes while all work: they share the load by their outputs."""
    load_w = load.load_of(unit, ask, catalog).all_w
    fitted = sorted(unit.supplies, key=lambda one: one.bay)
    outputs = [load.output_w(catalog.get(one.supply, Supply), ask.setting.input_v) for one in fitted]
    together_w = sum(outputs, load.NONE_W)
    return [
        Input(
            catalog.get(one.supply, Supply),
            one.cord,
            one.feed,
            load_w * output_w / together_w if together_w else load.NONE_W,
            output_w,
        )
        for one, output_w in zip(fitted, outputs, strict=True)
    ]


def inlets_by_kind(inputs: Iterable[Input], ask: Ask, catalog: Catalog) -> tuple[Inlets, ...]:
    """Inlets by type, plug and feed, with the largest current that one of them carries."""
    input_v = ask.setting.input_v
    alike: dict[tuple[str, str, str], list[Input]] = {}
    for one in inputs:
        if one.supply.inlet is not None:
            plug = None if one.cord is None else catalog.get(one.cord, Cord).plug
            alike.setdefault((one.supply.inlet, plug or "", one.feed or ""), []).append(one)
    return tuple(
        Inlets.model_validate(
            {
                "inlet": inlet,
                "plug": plug or None,
                "feed": feed or None,
                "count": len(ones),
                "expected_a": input_v and tenth_up(max(one.amps(one.load_w, input_v) for one in ones)),
                "rated_a": input_v and tenth_up(max(one.amps(one.rated_w, input_v) for one in ones)),
            }
        )
        for (inlet, plug, feed), ones in sorted(alike.items())
    )


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
