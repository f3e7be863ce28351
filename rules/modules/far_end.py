"""Both ends of a link agree: same kind of optics, same connector, same speed.

Why it matters: the other end is often somebody else's switch, and it decides what goes in here.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Cable, Optic
from configurator.rule import Breach, Rule, Source
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """The plug runs at the link's speed and meets its like at the far end."""
    if plug is None or isinstance(plug, SplitPlug):
        return True
    said = kind.said
    if said.speed_mbps not in plug.speeds_mbps:
        return False
    if not isinstance(said, Uplinks):
        return True
    if isinstance(plug, Cable):
        return said.far_form is not None and plug.far == said.far_form
    partner = catalog.by_id.get(plug.pairs_with) if plug.pairs_with is not None else plug
    interface = partner.interface if isinstance(partner, Optic) else plug.interface
    return said.far_interface in (None, interface) and said.far_connector in (None, plug.connector)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares each plug of a port that isn't split with what the statement says of the link."""
    for unit, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        plug = looking.plug_of(use, catalog)
        if said is None or plug is None or use.way is not None:
            continue
        where = looking.link_name(use, said)
        if said.speed_mbps not in plug.speeds_mbps:
            runs = f"{plug.id} runs at {looking.rates(plug.speeds_mbps)}"
            yield Breach(f"{where}: {runs}, asked is {looking.rate(said.speed_mbps)}", unit.position)
        if isinstance(said, Uplinks):
            wrong = _cable(plug, said) if isinstance(plug, Cable) else _optic(plug, said, catalog)
            if wrong:
                yield Breach(f"{where}: {wrong}", unit.position)


def _cable(cable: Cable, said: Uplinks) -> str | None:
    """A direct cable ends in the far end's cage, so its form has to be known."""
    if said.far_form is None:
        return f"the far end's form isn't said, {cable.id} ends in {cable.far}"
    if cable.far != said.far_form:
        return f"the far end is {said.far_form}, {cable.id} ends in {cable.far}"
    return None


def _optic(optic: Optic, said: Uplinks, catalog: Catalog) -> str | None:
    """At the far end stands the like of an optic, or the one it pairs with."""
    pair = looking.part_of(optic.pairs_with, Optic, catalog) or optic
    if said.far_interface is not None and pair.interface != said.far_interface:
        return f"the far end is {said.far_interface}, {optic.id} speaks with {pair.interface}"
    if said.far_connector is not None and optic.connector != said.far_connector:
        return f"the far end has {said.far_connector}, {optic.id} has {optic.connector}"
    return None


RULE = Rule(
    id="modules.far_end",
    family="modules",
    sentence="Both ends of a link agree in interface, connector and speed.",
    source=Source("IEEE 802.3: each clause defines one interface for both ends of a link"),
    about=("uplinks", "ports", "devices"),
    plug_serves=plug_serves,
    check=check,
)
