"""Every stacking link has the cables it takes, long enough and with ends that fit.

A stack of four with three cables in the box comes up as a chain, or not at all.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from configurator.build import Build, StackLink
from configurator.catalog import Catalog
from configurator.fitout import Arrangement, Mode
from configurator.parts import Cable, FibreCable, Optic, PortGroup
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

from ..looking import part_of, plain, rate
from ..support.modelling import with_covers
from . import modelling
from .checking import cables_a_link, members, stacking_group, way_m

# the rule's part of the model


def needs(arrangement: Arrangement, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """For each link as many cables as the families take, or optics with a fibre between them and what covers them."""
    if arrangement.mode is None:
        return
    count = max(catalog.families[name].cables_a_link for name in arrangement.mode.families)
    for index, link in enumerate(arrangement.links):
        recipes = _recipes(arrangement.mode, link.way_m, setting.stack_fibre, catalog)
        yield Need(f"link {index}", with_covers(recipes, setting, catalog), count, link.way_m)


def _recipes(mode: Mode, way_m: Decimal, fibre: str | None, catalog: Catalog) -> tuple[tuple[str, ...], ...]:
    """What makes a link over this way; kept, since many links are alike."""
    store, key = catalog.cache("link recipes"), (mode, way_m, fibre)
    if key not in store:
        store[key] = modelling.link_recipes(mode, way_m, fibre, catalog)
    found: tuple[tuple[str, ...], ...] = store[key]
    return found


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Each link has a cable, or two optics and a fibre, as often as its units need, without fault."""
    needed = cables_a_link(members(build, catalog))
    for link in build.links:
        cables = [c for part in link.parts if (c := part_of(part, Cable, catalog))]
        optics = [o for part in link.parts if (o := part_of(part, Optic, catalog))]
        leads = [f for part in link.parts if (f := part_of(part, FibreCable, catalog))]
        way = way_m(link.from_unit, link.to_unit, build, ask, catalog)
        ends = [unit for unit in build.units if unit.position in (link.from_unit, link.to_unit)]
        groups = [group for unit in ends if (group := stacking_group(unit, catalog))]
        plugged: list[Cable | Optic] = [*cables, *optics]
        faults = [
            *_wrong_counts(len(cables), len(optics), len(leads), needed, ask.setting.stack_fibre),
            *(fault for cable in cables for fault in _cable_faults(cable, way, link)),
            *(fault for lead in leads for fault in _lead_faults(lead, optics, way)),
            *(fault for optic in optics for fault in _optic_faults(optic, leads, way, link, ask)),
            *_wrong_pairs(optics),
            *(fault for part in plugged for group in groups for fault in _misfits(part, group, catalog)),
        ]
        for fault in dict.fromkeys(faults):
            yield Breach(f"link between units {link.from_unit} and {link.to_unit}: {fault}")


def _wrong_counts(cables: int, optics: int, leads: int, needed: int, lying: str | None) -> Iterator[str]:
    """Whether there are as many cables, or pairs of optics with a fibre between them, as a link takes."""
    if optics % 2:
        yield f"{optics} optics, each needs another at its other end"
    elif cables + optics // 2 != needed:
        yield f"{cables} cables and {optics // 2} pairs of optics, it takes {needed} of either"
    if leads > optics // 2 or (lying is None and leads < optics // 2):
        yield f"{leads} fibre leads for {optics // 2} pairs of optics"


def _cable_faults(cable: Cable, way: Decimal | None, link: StackLink) -> Iterator[str]:
    """What is wrong with a cable by itself."""
    if way is not None and cable.length_m < way:
        yield f"{cable.id} is {plain(cable.length_m)} m long, the way is {plain(way)} m"
    if cable.ways != 1:
        yield f"{cable.id} has {cable.ways} other ends"
    if link.speed_mbps not in cable.speeds_mbps:
        yield f"{cable.id} doesn't run at {rate(link.speed_mbps)}"


def _lead_faults(lead: FibreCable, optics: list[Optic], way: Decimal | None) -> Iterator[str]:
    """What is wrong with a fibre lead between these optics."""
    if way is not None and lead.length_m < way:
        yield f"{lead.id} is {plain(lead.length_m)} m long, the way is {plain(way)} m"
    if lead.ways != 1:
        yield f"{lead.id} has {lead.ways} other ends"
    for optic in optics:
        for end in (lead.near, lead.far):
            if end != optic.connector:
                yield f"{lead.id} has a {end} connector, {optic.id} takes {optic.connector}"


def _optic_faults(
    optic: Optic, leads: list[FibreCable], way: Decimal | None, link: StackLink, ask: Ask
) -> Iterator[str]:
    """What is wrong with an optic: its speed, and its reach over the leads or the fibre that lies there."""
    if link.speed_mbps not in optic.speeds_mbps:
        yield f"{optic.id} doesn't run at {rate(link.speed_mbps)}"
    spans = [(lead.fibre, lead.length_m) for lead in leads]
    if not leads and ask.setting.stack_fibre is not None and way is not None:
        spans = [(ask.setting.stack_fibre, way)]
    for fibre, length in spans:
        if not any(row.fibre == fibre and row.min_m <= length <= row.max_m for row in optic.reaches):
            yield f"{optic.id} doesn't carry {plain(length)} m of {fibre}"


def _wrong_pairs(optics: list[Optic]) -> Iterator[str]:
    """Optics without one that understands them at the other end."""
    left = list(optics)
    while len(left) > 1:
        optic = left.pop(0)
        other = next((o for o in left if _understand(optic, o)), None)
        if other is None:
            yield f"{optic.id} has no optic of {optic.pairs_with or optic.interface} at its other end"
        else:
            left.remove(other)


def _understand(one: Optic, other: Optic) -> bool:
    """Whether two optics make a link: of opposite wavelengths if they have such, else of one interface."""
    if one.pairs_with is not None or other.pairs_with is not None:
        return one.pairs_with == other.id or other.pairs_with == one.id
    return one.interface == other.interface


def _misfits(part: Cable | Optic, group: PortGroup, catalog: Catalog) -> Iterator[str]:
    """Why a cable or optic doesn't go into a stacking port."""
    for end in dict.fromkeys((part.near, part.far) if isinstance(part, Cable) else (part.form,)):
        if end != group.connector:
            yield f"{part.id} has an end {end}, ports {group.id} take {group.connector}"
    if group.cage is not None and part.id not in catalog.matrix.get(group.cage, frozenset()):
        yield f"{part.id} isn't listed for cage {group.cage}"
    if group.cage is None and isinstance(part, Optic):
        yield f"ports {group.id} have no cage for {part.id}"


RULE = Rule(
    id="stacking.cables",
    family="stacking",
    sentence="Every stacking link has the cables it takes, each long enough and with ends that fit.",
    source=COMMON_PRACTICE,
    about=("rack_positions", "between_units_m", "stack_fibre", "two_unit_links", "topology"),
    requires=Requires(stack=needs),
    check=check,
)
