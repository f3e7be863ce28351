"""What builds are measured by besides their price: one integer each, in a build and in the model of a stack."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.choices.spare_ports import counting, spare_ports
from configurator.choices.watts_left import of_fitout_dw, of_kind_dw, of_plug_dw, watts_left_dw
from configurator.engine.solver import FAR
from configurator.kinds import SplitPlug
from configurator.rule import COMMON_PRACTICE, Row, Rule
from configurator.services import Support
from configurator.setting import Ask


@dataclass(frozen=True)
class Measure:
    """Something of which more, or less, may be worth money."""

    name: str  # as the command line has it
    more_is_better: bool
    of: Callable[[Build, Ask, Catalog], int | None]
    row: Callable[[Ask, Catalog], Row]  # that adds it up, with a bound that is never reached


def counted(measure: Measure) -> Rule:
    """A rule that forbids nothing, and for which units that bring more of a measure are told from those with less."""

    def limits(ask: Ask, catalog: Catalog) -> Iterator[Row]:
        yield measure.row(ask, catalog)

    return Rule(
        id=f"asked.{measure.name}",
        family="ordering",
        sentence="Units that measure better are told from those that measure worse.",
        source=COMMON_PRACTICE,
        limits=limits,
    )


# --- in a build -------------------------------------------------------------------------------------------


def rack_units(build: Build, catalog: Catalog) -> int:
    """Height of all units: nothing else on a bill takes rack units."""
    return sum(catalog.unit_types[unit.unit_type].rack_units for unit in build.units)


def support_months(build: Build, catalog: Catalog) -> int:
    """For how many months every unit of a build has support: as long as the shortest of their contracts."""
    return min((_months(build, place, catalog) for place in range(len(build.units))), default=0)


def _months(build: Build, place: int, catalog: Catalog) -> int:
    """Of one unit: that of its longest contract; one by the month is there once for each."""
    found = [0]
    for one in build.units[place].along:
        part = catalog.by_id[one.part]
        if isinstance(part, Support) and not part.covers_parts:
            found.append(one.count if part.by_month else part.term_months)
    return max(found)


def delivery_days(build: Build, catalog: Catalog) -> int | None:
    """Days until all that is ordered is there; none where the price list doesn't say."""
    lines = [*build.bought, *(line for unit in build.units for line in unit.bought)]
    rows = [catalog.prices.rows.get(line.part) for line in lines]
    return None if None in rows else max((row.lead_time_days for row in rows if row is not None), default=0)


# --- in the model -----------------------------------------------------------------------------------------


def _spare_ports_row(_: Ask, catalog: Catalog) -> Row:
    """Every device takes a network port, but on a split one; the fit-out has counted that."""
    return Row(
        ">=",
        -FAR,
        fitouts=counting(catalog),
        kinds=lambda _: -1,
        plugs=lambda plug: int(isinstance(plug, SplitPlug)),
    )


def _watts_left_row(ask: Ask, catalog: Catalog) -> Row:
    return Row(
        ">=",
        -FAR,
        fitouts=lambda fitout: of_fitout_dw(fitout, ask, catalog),
        kinds=lambda kind: -of_kind_dw(kind, catalog),
        plugs=lambda plug: -of_plug_dw(plug, catalog),
    )


def _rack_units_row(_: Ask, __: Catalog) -> Row:
    return Row("<=", FAR, fitouts=lambda fitout: fitout.unit_type.rack_units, by_type=True)


SPARE_PORTS = Measure("spare-ports", True, lambda build, _, catalog: spare_ports(build, catalog), _spare_ports_row)
WATTS_LEFT = Measure("watts-left", True, watts_left_dw, _watts_left_row)
RACK_UNITS = Measure("rack-units", False, lambda build, _, catalog: rack_units(build, catalog), _rack_units_row)
MEASURES = {one.name: one for one in (SPARE_PORTS, WATTS_LEFT, RACK_UNITS)}
SUPPORT_YEARS = "support-years"
AGAINST = (*MEASURES, SUPPORT_YEARS)
"""What a frontier may set the price against."""
