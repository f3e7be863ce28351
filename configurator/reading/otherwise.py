"""Assumptions the other way: for each, the other values that it could have, as demands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import Any

from configurator.catalog import Catalog
from configurator.conflicts.relax import without
from configurator.demand import AccessPorts, Circuit, Devices, Stack, Uplinks
from configurator.kinds import draws_power
from configurator.reading.asks import restated
from configurator.reading.assumptions import Assumption
from configurator.reading.vocabulary import COPPER, port_groups
from configurator.reading.words import figure, speed
from configurator.setting import Ask

Said = AccessPorts | Devices | Uplinks
Way = tuple[str, dict[str, Any]]  # the value in words, and fields of the stack
NO_OTHER = {
    "order_date": "every price and date is one of some day",
    "marks": "it is the catalog that says nothing",
    "headroom_uplinks": "ports alone would not be growth of links",
}
"""Why some can't be tried the other way; of what the catalog lacks: see `why_no_other`."""
_TIGHTER = (
    "headroom_percent",
    "on_supply_loss",
    "on_feed_loss",
    "airflow",
    "cord_m",
    "support_level",
    "support_months",
    "optics_covered",
    "failed_parts_kept",
    "depot_km",
    "licence_months",
    "release",
    "rack_posts",
    "earthing_lugs",
    "uplinks.may_split",
    "uplinks.ends",
    "uplinks.panel_connector",
    "uplinks.lead_m",
    "uplinks.panel_polish",
)
"""Assumptions of which every other value asks for all that they ask for, and more."""


def ways(assumption: Assumption, ask: Ask, catalog: Catalog) -> list[tuple[str, Ask]]:
    """The other values of an assumption, each in words and as the demand that it makes."""
    key, stack = assumption.key, ask.stack
    if key == "circuit" and ask.setting.circuit_amps is not None:
        return [("circuits that are large enough", without(ask, frozenset([key])))]
    if key in _WISHES:
        found = [(text, stack.model_copy(update=fields)) for text, fields in _WISHES[key](ask, catalog)]
    else:
        found = [(text, changed) for text, changed in _details(key, assumption, ask, catalog) if changed != stack]
    return [(text, restated(ask, other, catalog)) for text, other in found]


def tighter(assumption: Assumption, ask: Ask) -> bool:
    """Whether in the other ways no build will do that does not do as it is."""
    return assumption.key in _TIGHTER or (assumption.key == "circuit" and ask.setting.circuit_amps is None)


def why_no_other(key: str) -> str:
    """Why an assumption can't be tried the other way."""
    here = "this catalog names no other value" if key in _WISHES else "it fills in what the catalog doesn't say"
    return NO_OTHER.get(key, here)


# --- wishes -----------------------------------------------------------------------------------------


def _each(key: str, *values: Any, unit: str = "") -> Callable[[Ask, Catalog], list[Way]]:
    return lambda *_: [(f"{key}: {_word(value)}{unit}", {key: value}) for value in values]


def _word(value: Any) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


def _countries(_: Ask, catalog: Catalog) -> list[Way]:
    return [(f"{row.code} ({row.name})", {"country": row.code}) for row in catalog.parts.countries]


def _volts(ask: Ask, catalog: Catalog) -> list[Way]:
    mains = sorted({row.mains_v for row in catalog.parts.countries} - {ask.setting.input_v})
    return [(f"{volts} V", {"input_v": volts}) for volts in mains]


def _regions(ask: Ask, catalog: Catalog) -> list[Way]:
    every = sorted({region for row in catalog.parts.countries for region in row.regions} - {ask.setting.region})
    return [(f"region {region}", {"region": region}) for region in every]


def _circuits(_: Ask, catalog: Catalog) -> list[Way]:
    every = sorted({row.circuit_a for row in catalog.parts.countries if row.circuit_a is not None})
    return [(f"circuits of {figure(amps)} A", {"circuit": Circuit(amps=amps)}) for amps in every]


def _shares(ask: Ask, _: Catalog) -> list[Way]:
    circuit, now = ask.stack.circuit, ask.setting.circuit_share_percent
    other = 100 if now < 100 else 80
    return [] if circuit is None else [(f"{other} %", {"circuit": _with(circuit, share_percent=other)})]


def _shared(ask: Ask, _: Catalog) -> list[Way]:
    circuit = ask.stack.circuit
    if circuit is None or ask.setting.input_v is None:  # a shared circuit's current needs a voltage
        return []
    return [("one circuit for the whole stack", {"circuit": _with(circuit, shared=True)})]


def _with(circuit: Circuit, **fields: Any) -> Circuit:
    return circuit.model_copy(update=fields)


def _levels(_: Ask, catalog: Catalog) -> list[Way]:
    levels = [level.id for level in sorted(catalog.parts.support_levels, key=lambda level: level.rank)]
    return [(level, {"support_level": level}) for level in levels]


def _releases(_: Ask, catalog: Catalog) -> list[Way]:
    every = sorted({release for unit in catalog.parts.unit_types for release in unit.releases})
    return [(f"release {release}", {"release": release}) for release in every]


_WISHES: dict[str, Callable[[Ask, Catalog], list[Way]]] = {
    "headroom_percent": _each("headroom_percent", 10, unit=" %"),
    "headroom_draws": _each("headroom_draws", False),
    "topology": _each("topology", "ring", "chain"),
    "rack_positions": lambda *_: [("units 3 m from one another", {"between_units_m": (Decimal(3),)})],
    "on_supply_loss": _each("on_supply_loss", "sheds_poe", "carries_all"),
    "on_feed_loss": _each("on_feed_loss", "sheds_poe", "carries_all"),
    "airflow": _each("airflow", "front-to-back", "back-to-front"),
    "country": _countries,
    "input_v": _volts,
    "region": _regions,
    "circuit": _circuits,
    "circuit.share_percent": _shares,
    "circuit.shared": _shared,
    "cord_m": lambda *_: [("cords of 3 m or more", {"cord_m": Decimal(3)})],
    "rack_posts": _each("rack_posts", 2, 4, unit=" posts"),
    "blank_panels": _each("blank_panels", False),
    "earthing_lugs": _each("earthing_lugs", True),
    "altitude_m": _each("altitude_m", 2000, unit=" m"),
    "support_level": _levels,
    "support_months": _each("support_months", 36, unit=" months"),
    "optics_covered": _each("optics_covered", True),
    "failed_parts_kept": _each("failed_parts_kept", True),
    "depot_km": _each("depot_km", 100, unit=" km"),
    "licence_months": _each("licence_months", 36, unit=" months"),
    "release": _releases,
}


# --- details of what is served ------------------------------------------------------------------------


def _details(key: str, assumption: Assumption, ask: Ask, catalog: Catalog) -> Iterator[tuple[str, Stack]]:
    """Every statement that leaves the detail open, with another value."""
    stack = ask.stack
    if key == "speed_mbps":
        speeds = sorted({mbps for g in port_groups(catalog) if "network" in g.roles for mbps in g.speeds_mbps})
        for mbps in [faster for faster in speeds if faster > 1000][:1]:
            yield speed(mbps), _changed(stack, ("ports", "devices"), key, mbps)
    elif key == "powered_percent":
        yield "half of it powered at once", _changed(stack, ("ports", "devices"), key, 50, _draws)
    elif key == "devices.cable_m":
        yield "30 m of cable", _changed(stack, ("devices",), "cable_m", Decimal(30), _by_watts)
    elif key == "ports.length_m":
        yield "10 m of fibre", _changed(stack, ("ports",), "length_m", Decimal(10), _not_copper)
    elif key == "uplinks.length_m":
        yield "100 m", _changed(stack, ("uplinks",), "length_m", Decimal(100), _not_copper)
    elif key == "uplinks.ends":
        yield "optics for both ends", _changed(stack, ("uplinks",), "ends", "both")
    elif key == "uplinks.may_split":
        yield "no split ports", _changed(stack, ("uplinks",), "may_split", False)
    elif key == "uplinks.panel_connector" and assumption.value == "none":
        for connector in sorted({lead.far for lead in catalog.parts.fibre_cables if lead.ways == 1}):
            text = f"leads to a panel with {connector}"
            yield text, _changed(stack, ("uplinks",), "panel_connector", connector, _lit)
    elif key == "uplinks.lead_m":
        yield "leads of 5 m or more", _changed(stack, ("uplinks",), "lead_m", Decimal(5), _led)
    elif key == "uplinks.panel_polish":
        for polish in sorted({lead.far_polish for lead in catalog.parts.fibre_cables if lead.far_polish}):
            yield f"{polish} at the panel", _changed(stack, ("uplinks",), "panel_polish", polish, _led)


def _changed(
    stack: Stack, groups: Iterable[str], field: str, value: object, suits: Callable[[Any], bool] = lambda _: True
) -> Stack:
    """The stack with this value wherever nobody stated one."""
    return stack.model_copy(
        update={
            name: tuple(
                said.model_copy(update={field: value}) if field not in said.model_fields_set and suits(said) else said
                for said in getattr(stack, name)
            )
            for name in groups
        }
    )


def _draws(said: Any) -> bool:
    return draws_power(said)


def _by_watts(said: Any) -> bool:
    return said.device_w is not None


def _not_copper(said: Any) -> bool:
    return bool(said.over != COPPER)


def _lit(said: Any) -> bool:
    return bool(said.over == "fibre" or (said.over == "any" and said.fibre is not None))


def _led(said: Any) -> bool:
    return said.panel_connector is not None
