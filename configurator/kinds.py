"""Kinds of device: what a demand asks ports for, and what can be plugged in to serve it."""

from __future__ import annotations

from dataclasses import dataclass

from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.parts import Cable, FibreCable, Optic
from configurator.setting import Ask


@dataclass(frozen=True)
class SplitPlug:
    """What turns one port into several: a split cable, or an optic and a split fibre cable."""

    head: Cable | Optic
    fan: FibreCable | None = None

    @property
    def ways(self) -> int:
        """Ports that one port becomes."""
        return self.head.ways if isinstance(self.head, Cable) else self.fan.ways if self.fan else 1

    @property
    def parts(self) -> tuple[str, ...]:
        """Part numbers to order for one split port."""
        return (self.head.id,) if self.fan is None else (self.head.id, self.fan.id)


Plug = Optic | Cable | SplitPlug


@dataclass(frozen=True)
class Kind:
    """Interchangeable devices, ports or uplinks: one statement, powered or not.

    A statement of which only a part is powered at once gives two kinds.
    """

    statement: str  # devices[0] …
    said: AccessPorts | Devices | Uplinks
    asked: int  # without head-room
    count: int  # with it
    powered: bool  # the port reserves PoE watts for it

    @property
    def is_uplink(self) -> bool:
        """Whether it leads to the network beyond the stack."""
        return isinstance(self.said, Uplinks)

    @property
    def name(self) -> str:
        """Its words for people."""
        if isinstance(self.said, Devices):
            return self.said.kind
        return self.said.name or ("uplink" if self.is_uplink else "port")


def kinds_of(ask: Ask) -> tuple[Kind, ...]:
    """The kinds that a stack's statements ask for, growth included."""
    out: list[Kind] = []
    for key, said in said_by(ask):
        if isinstance(said, Uplinks):
            grown = _grown(said.count, ask.headroom_uplinks_percent, ask.headroom_uplinks_count)
            out.append(Kind(key, said, said.count, grown, powered=False))
            continue
        grown = _grown(said.count, ask.headroom_percent, ask.headroom_count)
        watts = draws_power(said)
        now = -(-said.count * said.powered_percent // 100) if watts else 0
        then = -(-grown * said.powered_percent // 100) if watts and ask.headroom_draws else now
        if then:
            out.append(Kind(key, said, now, then, powered=True))
        if grown > then:
            out.append(Kind(key, said, said.count - now, grown - then, powered=False))
    return tuple(out)


def _grown(count: int, percent: int, more: int) -> int:
    """So many percent more, rounded up, or by so many more: the larger."""
    return max(-(-count * (100 + percent) // 100), count + more)


def said_by(ask: Ask) -> list[tuple[str, AccessPorts | Devices | Uplinks]]:
    """Every statement that asks for ports and is not set aside, with its key."""
    groups: tuple[tuple[str, tuple[AccessPorts | Devices | Uplinks, ...]], ...] = (
        ("ports", ask.stack.ports),
        ("devices", ask.stack.devices),
        ("uplinks", ask.stack.uplinks),
    )
    keyed = [(f"{name}[{index}]", said) for name, group in groups for index, said in enumerate(group)]
    return [(key, said) for key, said in keyed if key not in ask.dropped]


def draws_power(said: AccessPorts | Devices) -> bool:
    """Whether the statement reserves watts at all."""
    if isinstance(said, AccessPorts):
        return said.powered_at_class is not None
    return said.poe_class is not None or said.device_w is not None or said.port_w is not None
