"""From a stack's wishes to what is asked: defaults filled in, and each statement in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Demand, Devices, Stack, Uplinks, Wishes
from configurator.parts import CountryRow
from configurator.reading import room
from configurator.reading.assumptions import Assumed, Assumption, assumed_details, assumed_wishes, together
from configurator.reading.files import Source
from configurator.reading.panels import assumed_panels
from configurator.reading.room import assumed_of_unknown, assumed_room
from configurator.reading.services import assumed_services
from configurator.reading.sheet import Sheet
from configurator.reading.shelves import assumed_marks
from configurator.reading.vocabulary import COPPER
from configurator.reading.words import Path, figure, speed
from configurator.setting import Ask, OrderAsk, Setting, Statement

Said = AccessPorts | Devices | Uplinks
TIMES = "\N{MULTIPLICATION SIGN}"
WISHES = tuple(Wishes.model_fields)
AS_STATED = (
    "deliver_by",
    "stack_fibre",
    "marks",
    "features",
    "licence_months",
    "release",
    "support_level",
    "support_months",
    "support_until",
    "optics_covered",
    "failed_parts_kept",
    "depot_km",
    "rack_posts",
    "rack_depth_mm",
    "blank_panels",
    "earthing_lugs",
    "inlet_c",
    "altitude_m",
    "headroom_w",
    "headroom_w_percent",
    "bought_as",
    "bought_as_by_type",
)
"""Wishes that the setting holds as they are stated; its own defaults where they are not."""
APART = ("rack_positions", "between_units_m")  # two ways to tell how far apart the units are


@dataclass(frozen=True)
class Asked:
    """A demand, what it asks for stack by stack, and what was assumed on the way."""

    demand: Demand
    asks: tuple[Ask, ...]  # one for each stack of the demand, in its order
    assumptions: tuple[Assumption, ...]
    statements: Mapping[str, Statement] = field(default_factory=dict)  # about the order as a whole: spares[0] …
    source: Source | None = None  # the file as it was read, or the file that a line stands for

    @property
    def order(self) -> OrderAsk:
        """What is asked for the order as a whole."""
        return OrderAsk(self.asks, self.demand.spares, self.statements)


def merged(stack: Stack, defaults: Wishes) -> Stack:
    """The stack with the order's wishes where it has none of its own."""
    taken = {key: getattr(defaults, key) for key in _from_defaults(stack, defaults)}
    return stack.model_copy(update=taken)


def asked(sheet: Sheet, refs: Mapping[Path, str], demand: Demand, catalog: Catalog, on: date) -> Asked:
    """What the demand asks for."""
    asks: list[Ask] = []
    assumptions: list[tuple[str, Assumed]] = []
    every = [merged(own, demand.defaults) for own in demand.stacks]
    shared = room.from_neighbours(every)
    for n, own in enumerate(demand.stacks):
        stack = every[n].model_copy(update={key: getattr(every[m], key) for key, m in shared[n].items()})
        row = catalog.countries.get(stack.country or "")
        setting = _setting(stack, row, on)
        wishes = (
            *assumed_wishes(stack, setting, row, catalog),
            *assumed_room(stack, catalog),
            *assumed_services(stack, catalog),
        )
        paths: dict[str, Path] = {key: ("defaults", key) for key in _from_defaults(own, demand.defaults)}
        paths.update({key: ("stacks", n, key) for key in WISHES if getattr(own, key) is not None})
        for key, m in shared[n].items():  # of the closet: stated where another stack of it is
            paths[key] = ("stacks", m, key) if getattr(demand.stacks[m], key) is not None else ("defaults", key)
        statements = {key: _wish(sheet, refs, paths[key]) for key in WISHES if key in paths}
        statements.update(_asking(sheet, ("stacks", n), stack))
        for wish in wishes:
            statements.setdefault(wish.key, Statement(wish.key, f"{wish.key}: {wish.value}", assumed=True))
        asks.append(_ask(stack, setting, statements))
        details = (
            *assumed_details(stack, catalog),
            *assumed_panels(stack, catalog),
            *assumed_marks(stack, catalog),
            *assumed_of_unknown(stack, catalog),
        )
        assumptions += [(stack.name, each) for each in (*wishes, *details)]
    return Asked(demand, tuple(asks), together(assumptions), dict(_spares(sheet, demand)), *sheet.sources[:1])


def restated(ask: Ask, stack: Stack, catalog: Catalog) -> Ask:
    """What a stack asks for whose wishes are these instead; its statements stay."""
    setting = _setting(stack, catalog.countries.get(stack.country or ""), ask.setting.order_date)
    return _ask(stack, replace(setting, spared=ask.setting.spared), ask.statements)


def _spares(sheet: Sheet, demand: Demand) -> Iterator[tuple[str, Statement]]:
    """The statements about cold spares, by key."""
    for n, said in enumerate(demand.spares):
        key = f"spares[{n}]"
        amount = f"{said.percent} %" if said.count is None else str(said.count)
        text = f"cold spares: {amount} of {'each of the ' if said.of else ''}{said.of or said.part} in service"
        yield key, Statement(key, text, sheet.where(("spares", n)), said.ref)


def _from_defaults(stack: Stack, defaults: Wishes) -> tuple[str, ...]:
    """Keys that the order states and the stack doesn't."""
    apart_said = any(getattr(stack, key) is not None for key in APART)
    return tuple(
        key
        for key in WISHES
        if getattr(stack, key) is None and getattr(defaults, key) is not None and not (apart_said and key in APART)
    )


def _setting(stack: Stack, row: CountryRow | None, on: date) -> Setting:
    amps, share = _circuit(stack, row)
    return Setting(
        order_date=on,
        airflow=stack.airflow,
        country=stack.country,
        input_v=stack.input_v if stack.input_v is not None else row.mains_v if row else None,
        region=stack.region if stack.region is not None else next(iter(row.regions), None) if row else None,
        currency=stack.currency,
        on_supply_loss=stack.on_supply_loss or "stops",
        on_feed_loss=stack.on_feed_loss or "stops",
        circuit_amps=amps,
        circuit_share_percent=share,
        circuit_shared=stack.circuit is not None and stack.circuit.shared,
        cord_m=stack.cord_m if stack.cord_m is not None else Decimal(0),
        outlet_plugs=tuple(outlets.plug for outlets in stack.outlets or ()),
        port_features=_port_features(stack),
        **{name: value for name in AS_STATED if (value := getattr(stack, name)) is not None},
    )


def _port_features(stack: Stack) -> tuple[str, ...]:
    served: list[Said] = [*stack.ports, *stack.devices, *stack.uplinks]
    return tuple(sorted({feature for said in served for feature in said.features}))


def _circuit(stack: Stack, row: CountryRow | None) -> tuple[Decimal | None, int]:
    """Amps and share of each inlet's circuit: as stated, what is not stated as the country has it."""
    usual_share = row.circuit_share_percent if row and row.circuit_share_percent is not None else 100
    if stack.circuit is not None:
        stated = "share_percent" in stack.circuit.model_fields_set
        return stack.circuit.amps, stack.circuit.share_percent if stated else usual_share
    if row and row.circuit_a is not None:
        return row.circuit_a, usual_share
    return None, 100


def _ask(stack: Stack, setting: Setting, statements: Mapping[str, Statement]) -> Ask:
    return Ask(
        stack=stack,
        setting=setting,
        topology=stack.topology,
        two_unit_links=stack.two_unit_links,
        headroom_percent=stack.headroom_percent or 0,
        headroom_count=stack.headroom_count or 0,
        headroom_draws=stack.headroom_draws is not False,
        headroom_uplinks_percent=stack.headroom_uplinks_percent or 0,
        headroom_uplinks_count=stack.headroom_uplinks_count or 0,
        outlets=stack.outlets,
        statements=statements,
    )


def _wish(sheet: Sheet, refs: Mapping[Path, str], path: Path) -> Statement:
    key = str(path[-1])
    return Statement(key, f"{key}: {as_written(sheet.at(path))}", sheet.where(path), refs.get(path))


def as_written(value: Any) -> str:
    """A wish's value, as one would say it."""
    if isinstance(value, list):
        return ", ".join(as_written(part) for part in value)
    if isinstance(value, dict):
        return " ".join(f"{key} {as_written(part)}" for key, part in value.items())
    return str(value)


def _asking(sheet: Sheet, at: Path, stack: Stack) -> Iterator[tuple[str, Statement]]:
    """The statements that ask for ports, by key."""
    groups: list[tuple[str, Sequence[Said]]] = [
        ("ports", stack.ports),
        ("devices", stack.devices),
        ("uplinks", stack.uplinks),
    ]
    for name, group in groups:
        for n, said in enumerate(group):
            key = f"{name}[{n}]"
            yield key, Statement(key, in_words(said), sheet.where((*at, name, n)), said.ref)


def in_words(said: Said) -> str:
    """Count, kind, power, speed and way, as one would say them."""
    if isinstance(said, Devices):
        words = [said.kind, *_device_power(said)]
    else:
        words = [said.name or ("uplink" if isinstance(said, Uplinks) else "port")]
    if isinstance(said, AccessPorts) and said.powered_at_class is not None:
        words.append(f"powered at class {said.powered_at_class}")
    if isinstance(said, AccessPorts) and said.capable_of_class is not None:
        words.append(f"able to feed class {said.capable_of_class}")
    if not isinstance(said, Uplinks) and said.powered_percent != 100:
        words.append(f"{said.powered_percent} % powered")
    words.append(speed(said.speed_mbps))
    if isinstance(said, AccessPorts) and said.over != COPPER:
        words += [said.over, f"{figure(said.length_m)} m"]
    if isinstance(said, Uplinks):
        words += _uplink_way(said)
    return f"{said.count} {TIMES} {', '.join(words)}"


def _device_power(said: Devices) -> list[str]:
    if said.poe_class is not None:
        return [f"class {said.poe_class}"]
    if said.device_w is not None:
        return [f"{figure(said.device_w)} W at the device, {figure(said.cable_m)} m of cable"]
    return [f"{figure(said.port_w)} W at the port"] if said.port_w is not None else []


def _uplink_way(said: Uplinks) -> list[str]:
    words = [word for word in (said.over if said.over != "any" else None, said.fibre) if word]
    words.append(f"{figure(said.length_m)} m")
    if said.single_fibre:
        words.append("single fibre")
    far = [word for word in (said.far_form, said.far_connector, said.far_interface) if word]
    if far:
        words.append(f"far end {' '.join(far)}")
    if said.ends == "both":
        words.append("optics for both ends")
    if said.spread_over_units > 1:
        words.append(f"spread over {said.spread_over_units} units")
    if not said.may_split:
        words.append("no split ports")
    return words
