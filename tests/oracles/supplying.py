"""Sets of supplies a unit may have, and what each is good for, read from the rules' sentences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, combinations_with_replacement

from configurator.catalog import Catalog
from configurator.parts import Supply, UnitType
from configurator.setting import Ask


@dataclass(frozen=True)
class Set:
    """Supplies of one unit, sorted; `built_in` ones are part of the chassis."""

    supplies: tuple[str, ...]
    built_in: bool = False


@dataclass(frozen=True)
class Covers:
    """What must stay below which output: the load with its PoE, and without."""

    all_dw: int
    own_dw: int


def sets_of(unit: UnitType) -> list[Set]:
    """Every set of supplies that the bays take."""
    if unit.supply_bays is None:
        return [Set((unit.built_in_supply,), built_in=True)] if unit.built_in_supply else []
    bays, out = unit.supply_bays, []
    for count in range(bays.at_least, bays.count + 1):
        for chosen in combinations_with_replacement(sorted(bays.takes), count):
            if bays.mixed or len(set(chosen)) == 1:
                out.append(Set(chosen))
    return out


def output_dw(supply: Supply, input_v: int | None) -> int | None:
    """Output at the site's voltage, the smallest where none is stated; none: it doesn't work there."""
    fits = [o.output_w for o in supply.outputs if input_v is None or o.from_v <= input_v <= o.to_v]
    return int(min(fits) * 10) if fits else None


def works(chosen: Set, ask: Ask, catalog: Catalog) -> bool:
    """Voltage, circuit and one direction of air, as asked."""
    supplies = [catalog.get(s, Supply) for s in chosen.supplies]
    directions = directions_of(chosen, catalog)
    if ask.setting.airflow is not None and directions - {ask.setting.airflow}:
        return False
    return len(directions) <= 1 and all(_runs(s, ask) for s in supplies)


def directions_of(chosen: Set, catalog: Catalog) -> set[str]:
    """Ways in which the set blows."""
    ways = {catalog.get(s, Supply).airflow for s in chosen.supplies}
    return {way for way in ways if way is not None and way != "fanless"}


def _runs(supply: Supply, ask: Ask) -> bool:
    out, volts, circuit = output_dw(supply, ask.setting.input_v), ask.setting.input_v, ask.setting.circuit_amps
    if out is None:
        return False
    if circuit is None or volts is None:
        return True
    return amps(supply, ask) <= Fraction(circuit) * ask.setting.circuit_share_percent / 100


def amps(supply: Supply, ask: Ask) -> Fraction:
    """Input current at rated output; 0 where no voltage is stated."""
    out, volts = output_dw(supply, ask.setting.input_v), ask.setting.input_v
    if out is None or volts is None:
        return Fraction(0)
    return Fraction(out, 10) / Fraction(supply.efficiency) / Fraction(supply.power_factor) / volts


def survivors(chosen: Set, ask: Ask) -> list[tuple[tuple[str, ...], bool]]:
    """Each set of supplies that must carry on, and whether with PoE: all, all but one, one feed."""
    names, out = chosen.supplies, [(chosen.supplies, True)]
    if ask.setting.on_supply_loss != "stops":
        with_poe = ask.setting.on_supply_loss == "carries_all"
        out += [(rest, with_poe) for rest in sorted(set(combinations(names, len(names) - 1)))]
    return out


def feed_splits(chosen: Set, ask: Ask) -> list[list[tuple[tuple[str, ...], bool]]]:
    """Ways to hang the set on two feeds; in each, what must carry on alone.  One empty way: nothing asked."""
    if ask.setting.on_feed_loss == "stops":
        return [[]]
    names, with_poe = chosen.supplies, ask.setting.on_feed_loss == "carries_all"
    out = []
    for half in range(len(names) // 2, -(-len(names) // 2) + 1):
        for picked in combinations(range(len(names)), half):
            feed_a = tuple(names[i] for i in picked)
            feed_b = tuple(names[i] for i in range(len(names)) if i not in picked)
            ways = [(feed_a, with_poe), (feed_b, with_poe)]
            if ways not in out:
                out.append(ways)
    return out


def covers(chosen: Set, ask: Ask, catalog: Catalog) -> list[Covers]:
    """What a set covers, one entry a way of hanging it on the feeds; only the best ones."""
    found: list[Covers] = []
    for feeds in feed_splits(chosen, ask):
        demands = survivors(chosen, ask) + feeds
        outputs = [(sum(_dw(s, ask, catalog) for s in names), poe) for names, poe in demands]
        one = Covers(min(dw for dw, poe in outputs if poe), min(dw for dw, _ in outputs))
        if not any(o.all_dw >= one.all_dw and o.own_dw >= one.own_dw for o in found):
            found = [o for o in found if not (one.all_dw >= o.all_dw and one.own_dw >= o.own_dw)] + [one]
    return found


def table_dw(unit: UnitType, chosen: Set, ask: Ask) -> int:
    """PoE by the type's table, after any loss that PoE must survive; the best way of hanging on the feeds."""
    ways = []
    for feeds in feed_splits(chosen, ask):
        demands = [names for names, poe in survivors(chosen, ask) + feeds if poe]
        ways.append(min(_row_dw(unit, names, ask) for names in demands))
    return max(ways)


def _row_dw(unit: UnitType, names: Sequence[str], ask: Ask) -> int:
    volts = ask.setting.input_v
    rows = [row for row in unit.poe_table if sorted(row.supplies) == sorted(names)]
    if volts is not None:
        rows = [r for r in rows if (r.from_v or 0) <= volts <= (r.to_v or volts)]
    return min((int(row.poe_w * 10) for row in rows), default=0)


def _dw(supply: str, ask: Ask, catalog: Catalog) -> int:
    return output_dw(catalog.get(supply, Supply), ask.setting.input_v) or 0


def cords_for(supply: Supply, ask: Ask, catalog: Catalog) -> frozenset[str]:
    """Cords that suit a supply's inlet at this site."""
    country = ask.setting.country
    fits: Iterable[str] = (
        cord.id
        for cord in catalog.parts.cords
        if (country is None or country in cord.countries)
        and (not catalog.inlets_of or supply.inlet in catalog.inlets_of.get(cord.coupler, frozenset()))
        and amps(supply, ask) <= Fraction(cord.rating_a)
        and cord.length_m >= ask.setting.cord_m
    )
    return frozenset(fits)
