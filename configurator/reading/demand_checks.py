"""Statements of a demand that are well-formed and can't be meant, told before anything is solved."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date
from typing import NamedTuple

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Demand, Devices, Stack, Uplinks, Wishes
from configurator.errors import Problem
from configurator.reading import buying, life, panels, room, services, shelves
from configurator.reading.prices import minor_decimals
from configurator.reading.sheet import Sheet
from configurator.reading.vocabulary import COPPER, Vocabulary, vocabulary
from configurator.reading.words import Path, did_you_mean, figure, listed, nearest, shown, speed

MOST_PORTS = 5000  # of one stack: no stack comes near it

Said = AccessPorts | Devices | Uplinks


class Context(NamedTuple):
    """What every check looks at."""

    sheet: Sheet
    catalog: Catalog
    words: Vocabulary
    on: date


def slips(sheet: Sheet, demand: Demand, merged: tuple[Stack, ...], catalog: Catalog, on: date) -> Iterator[Problem]:
    """Everything in the demand that can't be meant with this catalog."""
    see = Context(sheet, catalog, vocabulary(catalog), on)
    yield from _wishes(see, ("defaults",), demand.defaults)
    first: dict[str, Path] = {}
    for n, stack in enumerate(demand.stacks):
        at: Path = ("stacks", n)
        if stack.name in first:
            text = f"stack {shown(stack.name)} is there twice, first in {sheet.where(first[stack.name])}"
            yield sheet.problem((*at, "name"), text, "give one another name, or write `copies: 2` for stacks alike")
        first.setdefault(stack.name, (*at, "name"))
        yield from _wishes(see, at, stack)
        yield from _stack(see, at, stack, merged[n])
    yield from _countries(see, merged)
    yield from services.slips(sheet, demand, merged, catalog, on)
    yield from shelves.slips(sheet, demand, catalog)
    yield from life.slips(sheet, demand)
    yield from buying.slips(sheet, demand, catalog)


def _countries(see: Context, merged: tuple[Stack, ...]) -> Iterator[Problem]:
    """Cords can't be chosen without a country."""
    lacking = [n for n, stack in enumerate(merged) if stack.country is None]
    if see.catalog.parts.cords and lacking:
        names = listed(shown(merged[n].name) for n in lacking)
        text = f"no country is stated for {names}, and power cords depend on it"
        known = f" (known: {listed(see.words.countries)})" if see.words.countries else ""
        hint = f"add `country:` with its two letters of ISO 3166 here or under `defaults`{known}"
        yield see.sheet.problem(("stacks", lacking[0], "country"), text, hint)


def _among(see: Context, path: Path, name: str | None, known: Collection[str], what: str) -> Iterator[Problem]:
    if name is not None and known and name not in known:
        hint = did_you_mean(name, known, f"known are: {listed(sorted(known))}")
        yield see.sheet.problem(path, f"{shown(name)} is no {what} that this catalog knows", hint)


def _wishes(see: Context, at: Path, wishes: Wishes) -> Iterator[Problem]:
    words = see.words
    country = wishes.country
    if country is not None and words.countries and country not in words.countries:
        text = f"{shown(country)} is no country that this catalog knows"
        near = nearest(country, words.countries)
        otherwise = f"known are: {listed(f'{code} ({name})' for code, name in words.countries.items())}"
        hint = f'did you mean "{near}" ({words.countries[near]})?' if near else otherwise
        yield see.sheet.problem((*at, "country"), text, hint)
    yield from _among(see, (*at, "region"), wishes.region, words.regions, "region")
    yield from _among(see, (*at, "stack_fibre"), wishes.stack_fibre, words.fibres, "fibre")
    if wishes.currency is not None and minor_decimals(wishes.currency) is None:
        text = f"{shown(wishes.currency)} is no currency of ISO 4217"
        yield see.sheet.problem((*at, "currency"), text, f"the price list is in {see.catalog.prices.currency}")
    if wishes.deliver_by is not None and wishes.deliver_by < see.on:
        text = f'"{wishes.deliver_by}" is before the order date, {see.on}'
        yield see.sheet.problem((*at, "deliver_by"), text, "write a later day, or order earlier with --on")
    yield from _repeated(see, (*at, "rack_positions"), wishes.rack_positions or (), "rack position")
    plugs = [outlets.plug for outlets in wishes.outlets or ()]
    for n, plug in enumerate(plugs):
        yield from _among(see, (*at, "outlets", n, "plug"), plug, words.plugs, "plug")
    yield from _repeated(see, (*at, "outlets"), plugs, "plug")
    for key in ("rack_positions", "between_units_m", "outlets"):
        if getattr(wishes, key) == ():
            yield see.sheet.problem((*at, key), "the list is empty", "state something in it, or leave the line out")
    if wishes.rack_positions is not None and wishes.between_units_m is not None:
        text = "rack_positions and between_units_m both tell how far apart the units are"
        yield see.sheet.problem((*at, "between_units_m"), text, "state one of the two", on_key=True)


def _repeated(see: Context, at: Path, values: Collection[object], what: str) -> Iterator[Problem]:
    seen: set[object] = set()
    for n, value in enumerate(values):
        if value in seen:
            yield see.sheet.problem((*at, n), f"{what} {shown(value)} is there twice", "take one of the two out")
        seen.add(value)


def _stack(see: Context, at: Path, stack: Stack, merged: Stack) -> Iterator[Problem]:
    said: list[Said] = [*stack.ports, *stack.devices, *stack.uplinks]
    if not said:
        text = f"stack {shown(stack.name)} asks for nothing"
        yield see.sheet.problem((*at, "name"), text, "state ports, devices or uplinks, or take the stack out")
    total = sum(statement.count for statement in said)
    if total > MOST_PORTS:
        text = f"stack {shown(stack.name)} asks for {total:,} ports"
        hint = f"ask for at most {MOST_PORTS:,} ports a stack; write several stacks, or `copies:` for stacks alike"
        yield see.sheet.problem((*at, "name"), text, hint)
    low, high = merged.units_at_least, merged.units_at_most
    if low is not None and high is not None and low > high:
        path: Path = (*at, "units_at_least") if stack.units_at_least is not None else (*at, "units_at_most")
        if stack.units_at_least is None and stack.units_at_most is None:
            path = ("defaults", "units_at_least")
        text = f"at least {low} units and at most {high} can't both hold"
        yield see.sheet.problem(path, text, "lower units_at_least or raise units_at_most")
    if merged.topology == "chain" and merged.two_unit_links == 2:
        path = (*at, "two_unit_links") if stack.two_unit_links is not None else ("defaults", "two_unit_links")
        text = "a chain of two units has one link, not two"
        yield see.sheet.problem(path, text, "ask for a ring, or take two_unit_links out")
    yield from room.slips(see.sheet, see.catalog, at, stack, merged)
    yield from panels.slips(see.sheet, see.catalog, at, stack, see.words.connectors)
    for n, ports in enumerate(stack.ports):
        yield from _ports(see, (*at, "ports", n), ports)
    for n, devices in enumerate(stack.devices):
        yield from _devices(see, (*at, "devices", n), devices)
    for n, uplinks in enumerate(stack.uplinks):
        yield from _uplinks(see, (*at, "uplinks", n), uplinks)


def _ports(see: Context, at: Path, ports: AccessPorts) -> Iterator[Problem]:
    yield from _speed(see, at, ports)
    if ports.over != COPPER:
        yield from _among(see, (*at, "over"), ports.over, see.words.fibres | {COPPER}, "fibre (nor copper)")
    if ports.capable_of_class is not None and ports.powered_at_class is not None:
        text = "capable_of_class and powered_at_class are both stated"
        hint = "state powered_at_class when the ports feed devices today, else capable_of_class"
        yield see.sheet.problem((*at, "powered_at_class"), text, hint, on_key=True)
    yield from _class(see, (*at, "capable_of_class"), ports.capable_of_class)
    yield from _class(see, (*at, "powered_at_class"), ports.powered_at_class)
    if ports.powered_at_class is None:
        yield from _percent_of_nothing(see, at, ports, "powered_at_class")


def _devices(see: Context, at: Path, devices: Devices) -> Iterator[Problem]:
    yield from _speed(see, at, devices)
    power = ("poe_class", "device_w", "port_w")
    stated = [key for key in power if getattr(devices, key) is not None]
    if len(stated) > 1:
        text = f"{' and '.join(stated)} are both stated" if len(stated) == 2 else "power is stated three times"
        hint = "state one: poe_class, device_w (watts at the device) or port_w (watts at the port)"
        yield see.sheet.problem((*at, stated[1]), text, hint, on_key=True)
    if not stated:
        yield from _percent_of_nothing(see, at, devices, "poe_class")
    yield from _class(see, (*at, "poe_class"), devices.poe_class)
    rows = see.catalog.poe_classes.values()
    for key in ("device_w", "port_w"):
        watts = getattr(devices, key)
        most = max((getattr(row, key) for row in rows), default=None)
        if watts is not None and most is not None and watts > most:
            text = f"{shown(figure(watts))} W is more than any PoE class gives"
            hint = f"write at most {figure(most)}, or leave the power out when the device has a supply of its own"
            yield see.sheet.problem((*at, key), text, hint)


def _uplinks(see: Context, at: Path, uplinks: Uplinks) -> Iterator[Problem]:
    yield from _speed(see, at, uplinks)
    yield from _among(see, (*at, "fibre"), uplinks.fibre, see.words.fibres, "fibre")
    yield from _among(see, (*at, "far_form"), uplinks.far_form, see.words.forms, "form")
    yield from _among(see, (*at, "far_connector"), uplinks.far_connector, see.words.connectors, "connector")
    yield from _among(see, (*at, "far_interface"), uplinks.far_interface, see.words.interfaces, "interface")
    if uplinks.spread_over_units > uplinks.count:
        text = f"as many as {uplinks.spread_over_units} units can't each have one of {uplinks.count}"
        hint = f"write {uplinks.count} or less, or ask for more uplinks"
        yield see.sheet.problem((*at, "spread_over_units"), text, hint)
    if uplinks.over == "direct" and uplinks.far_form is None:
        text = "a direct cable needs the form of the far end's cage"
        hint = f"add a line `far_form: …`; known are: {listed(sorted(see.words.forms))}"
        yield see.sheet.problem((*at, "over"), text, hint)


def _speed(see: Context, at: Path, said: Said) -> Iterator[Problem]:
    if said.speed_mbps not in see.words.speeds_mbps:
        near = min(see.words.speeds_mbps, key=lambda known: (abs(known - said.speed_mbps), known))
        given = shown(see.sheet.at((*at, "speed_mbps")))
        text = f"{given} is no speed of IEEE 802.3 or of this catalog"
        yield see.sheet.problem((*at, "speed_mbps"), text, f'did you mean "{near}" ({speed(near)})?')


def _class(see: Context, path: Path, poe_class: int | None) -> Iterator[Problem]:
    if poe_class is not None and see.catalog.poe_classes and poe_class not in see.catalog.poe_classes:
        known = listed(sorted(see.catalog.poe_classes))
        yield see.sheet.problem(path, f"{shown(poe_class)} is no PoE class of this catalog", f"known are: {known}")


def _percent_of_nothing(see: Context, at: Path, said: AccessPorts | Devices, key: str) -> Iterator[Problem]:
    if "powered_percent" in said.model_fields_set:
        text = "powered_percent says how many are powered, and nothing says that any is"
        yield see.sheet.problem((*at, "powered_percent"), text, f"add `{key}: …`, or leave powered_percent out")
