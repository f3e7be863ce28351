"""Where optics are to be covered, every contract of the stack covers them, or each optic has a parts contract.

Why it matters: basic warranty leaves optics out, and they are what fails.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.fields import Part
from configurator.fitout import Fitout
from configurator.kinds import Kind, Plug
from configurator.parts import Optic, UnitType
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule, Topic
from configurator.services import Support
from configurator.setting import Ask, Setting

from .. import looking
from . import modelling
from .checking import all_held, is_asked, months_asked, of_units

# the rule's part of the model; stacking.cables adds the contracts of optics in links, by modelling.with_covers


def agrees(ask: Ask, catalog: Catalog) -> Iterator[Topic]:
    """The two ways to cover optics: one for the whole stack."""
    if _asked(ask.setting):
        by_contract = any(one.covers_optics for one in modelling.unit_contracts(catalog))
        yield Topic(modelling.OPTICS, ((modelling.BY_CONTRACT,) if by_contract else ()) + (modelling.BY_PARTS,))


def _asked(setting: Setting) -> bool:
    return setting.optics_covered and modelling.asked(setting)


def forbids_for(part: Part, unit: UnitType | None, setting: Setting, catalog: Catalog) -> bool:
    """A unit's contract that leaves optics out, where contracts are to cover them."""
    if not isinstance(part, Support) or part.covers_parts or unit is None:
        return False
    return setting.agreed_on(modelling.OPTICS) == modelling.BY_CONTRACT and not part.covers_optics


def unit_needs(fitout: Fitout, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """A parts contract for each optic that splits a port."""
    if setting.agreed_on(modelling.OPTICS) != modelling.BY_PARTS:
        return
    for ports in fitout.ports:
        if ports.split is not None and isinstance(ports.split.head, Optic):
            yield Need("optic cover", modelling.covers(ports.split.head.id, setting, catalog), ports.count)


def served_needs(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """A parts contract for each optic in a port."""
    if _asked(setting) and isinstance(plug, Optic):
        by_contract = frozenset({(modelling.OPTICS, modelling.BY_CONTRACT)})
        yield Need("optic cover", modelling.covers(plug.id, setting, catalog), unless=by_contract)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Unless all units' contracts cover optics, any of these optics find as many parts contracts that list them."""
    if not ask.setting.optics_covered or not is_asked(ask):
        return
    contracts = of_units(build, catalog)
    covered = {one.position for one in contracts}
    if all(one.contract.covers_optics for one in contracts) and covered == {unit.position for unit in build.units}:
        return
    optics = _optics(build, catalog)
    there = _parts_contracts(build, ask, catalog)
    alike: dict[frozenset[frozenset[str]], set[str]] = {}  # optics by the contracts that list them
    for part in optics:
        alike.setdefault(frozenset(listed for listed in there if part in listed), set()).add(part)
    short: list[set[str]] = []
    for size in range(1, len(alike) + 1):
        for groups in combinations(alike.values(), size):
            some = set().union(*groups)
            needed = sum(optics[part] for part in some)
            listing = sum(count for listed, count in there.items() if not listed.isdisjoint(some))
            if listing < needed and not any(other <= some for other in short):  # those are told already
                short.append(some)
                yield Breach(f"{needed} of {', '.join(sorted(some))} to cover, {listing} parts contracts list them")


def _optics(build: Build, catalog: Catalog) -> Counter[str]:
    """Optics of the stack, by part: in ports, in split ports once, in links."""
    parts = [use.plug for _, use in looking.uses(build) if use.plug is not None and use.way is None]
    parts += [part for unit in build.units for split in unit.splits for part in split.parts]
    parts += [part for link in build.links for part in link.parts]
    return Counter(part for part in parts if looking.part_of(part, Optic, catalog) is not None)


def _parts_contracts(build: Build, ask: Ask, catalog: Catalog) -> Counter[frozenset[str]]:
    """How many optics find a contract, by the parts that the contract lists; by the month, as many as take one."""
    out: Counter[frozenset[str]] = Counter()
    for held in all_held(build, catalog):
        if held.contract.covers_parts:
            months = months_asked(ask.setting) or held.contract.term_months
            each = months if held.contract.by_month else 1
            out[frozenset(held.contract.covers_parts)] += held.count // each
    return out


RULE = Rule(
    id="support.optics",
    family="support",
    sentence="Where optics are to be covered, every contract of the stack covers them, or a parts contract each.",
    source=COMMON_PRACTICE,
    about=("optics_covered",),
    applies=lambda catalog: bool(catalog.parts.support),
    agrees=agrees,
    forbids_for=forbids_for,
    requires=Requires(unit=unit_needs, served=served_needs),
    check=check,
)
