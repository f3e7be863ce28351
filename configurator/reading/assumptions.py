"""What a demand leaves open and how it is taken: every default that matters, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices, Stack
from configurator.kinds import draws_power
from configurator.parts import CountryRow
from configurator.reading.vocabulary import COPPER, port_groups
from configurator.reading.words import figure
from configurator.setting import Setting


@dataclass(frozen=True)
class Assumption:
    """Something that the customer didn't say, and how it is taken for these stacks."""

    stacks: tuple[str, ...]
    key: str  # airflow, uplinks.length_m …
    value: str
    text: str

    @property
    def stack(self) -> str:
        """The names of the stacks in one text."""
        return "; ".join(self.stacks)  # a name may hold a comma


class Assumed(NamedTuple):
    """An assumption about one stack."""

    key: str
    value: str
    text: str


def together(assumptions: Iterable[tuple[str, Assumed]]) -> tuple[Assumption, ...]:
    """Equal assumptions told once, with the stacks that they are about."""
    stacks: dict[Assumed, dict[str, None]] = {}  # names in order, each once
    for stack, assumed in assumptions:
        stacks.setdefault(assumed, {})[stack] = None
    return tuple(Assumption(tuple(names), *assumed) for assumed, names in stacks.items())


def assumed_wishes(stack: Stack, setting: Setting, row: CountryRow | None, catalog: Catalog) -> Iterator[Assumed]:
    """Wishes that nobody stated, under the wish's key."""
    yield Assumed("order_date", str(setting.order_date), "prices and dates are those of the order date")
    if stack.headroom_percent is None and stack.headroom_count is None:
        yield Assumed("headroom_percent", "0", "no head-room for growth")
    elif (stack.headroom_percent or stack.headroom_count) and stack.headroom_draws is None:
        yield Assumed("headroom_draws", "yes", "growth draws watts like what is there today")
    if stack.units_at_most != 1:
        if stack.topology is None:
            yield Assumed("topology", "ring, else chain", "a ring where the family allows it, else a chain")
        if stack.rack_positions is None and stack.between_units_m is None:
            yield Assumed("rack_positions", "one above another", "the units sit one above another in one rack")
    if stack.on_supply_loss is None:
        yield Assumed("on_supply_loss", "stops", "a unit may stop when it loses a supply")
    if stack.on_feed_loss is None:
        yield Assumed("on_feed_loss", "stops", "a unit may stop when it loses a feed")
    if stack.airflow is None:
        yield Assumed("airflow", "any", "either direction of airflow will do, one direction a unit")
    yield from _site(stack, setting, row)
    if stack.cord_m is None and catalog.parts.cords:
        yield Assumed("cord_m", "0", "every cord is long enough to reach its outlet")


def _site(stack: Stack, setting: Setting, row: CountryRow | None) -> Iterator[Assumed]:
    """What follows from the country, or from its absence."""
    name = f"{row.code} ({row.name})" if row else ""
    if stack.country is None:
        yield Assumed("country", "none", "no country: nothing that depends on one is looked at")
    if stack.input_v is None and setting.input_v is None:
        yield Assumed("input_v", "lowest", "input voltage open: each supply counts with its smallest output")
    elif stack.input_v is None and row:
        yield Assumed("input_v", str(setting.input_v), f"input voltage {setting.input_v} V, the mains of {name}")
    if stack.region is None and setting.region is None:
        yield Assumed("region", "any", "no region: where a part is sold is not looked at")
    elif stack.region is None and row:
        yield Assumed("region", str(setting.region), f"region {setting.region}, the first of {name}")
    share = setting.circuit_share_percent
    if setting.circuit_amps is None:
        yield Assumed("circuit", "one of its own", "each inlet has a branch circuit of its own, large enough")
    elif stack.circuit is None and row:
        text = f"each inlet has a branch circuit of its own: {figure(setting.circuit_amps)} A, used to {share} %,"
        value = f"{figure(setting.circuit_amps)} A at {share} %"
        yield Assumed("circuit", value, f"{text} as is usual in {name}")
    elif stack.circuit is not None and "share_percent" not in stack.circuit.model_fields_set:
        source = f"as is usual in {name}" if row and row.circuit_share_percent is not None else "all of it"
        yield Assumed("circuit.share_percent", str(share), f"circuits are used to {share} %, {source}")
    if stack.circuit is not None and "shared" not in stack.circuit.model_fields_set:
        yield Assumed("circuit.shared", "no", "each inlet has the circuit to itself")


def assumed_details(stack: Stack, catalog: Catalog) -> Iterator[Assumed]:
    """Details of ports, devices and uplinks that nobody stated."""
    accesses: list[AccessPorts | Devices] = [*stack.ports, *stack.devices]
    for access in accesses:
        stated = access.model_fields_set
        if "speed_mbps" not in stated:
            yield Assumed("speed_mbps", "1000", "ports and devices without a speed run at 1 Gb/s")
        if draws_power(access) and "powered_percent" not in stated:
            yield Assumed("powered_percent", "100", "everything that draws power is powered at once")
    for devices in stack.devices:
        if devices.device_w is not None and "cable_m" not in devices.model_fields_set:
            yield Assumed("devices.cable_m", "100", "watts at a device come through 100 m of cable")
    for ports in stack.ports:
        if ports.over != COPPER and "length_m" not in ports.model_fields_set:
            yield Assumed("ports.length_m", figure(ports.length_m), "fibre to ports without a length is 100 m long")
    splits = any("split" in group.roles for group in port_groups(catalog))
    for uplinks in stack.uplinks:
        stated = uplinks.model_fields_set
        if "length_m" not in stated and uplinks.over != COPPER:
            yield Assumed("uplinks.length_m", figure(uplinks.length_m), "uplinks without a length are 5 m long")
        if "ends" not in stated:
            yield Assumed("uplinks.ends", "near", "optics are ordered for the stack's end of uplinks only")
        if "may_split" not in stated and splits:
            yield Assumed("uplinks.may_split", "yes", "a faster port may be split into several uplinks")
