"""What the checks about light share: the optics at the ends of each link, and what came along for them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from decimal import Decimal

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import AccessPorts, Devices, Uplinks
from configurator.parts import Optic
from configurator.setting import Ask

from .. import looking


def lit_ends(build: Build, ask: Ask, catalog: Catalog) -> Iterator[tuple[str, AccessPorts | Uplinks, Optic]]:
    """Each optic over fibre in a port that isn't split, and its partner where both ends are ordered."""
    for _, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        optic = looking.plug_of(use, catalog)
        if said is None or isinstance(said, Devices) or said.over in ("copper", "direct") or use.way is not None:
            continue
        if isinstance(optic, Optic) and optic.connector != "RJ45":
            yield use.statement, said, optic
            if isinstance(said, Uplinks) and said.ends == "both":
                yield use.statement, said, looking.part_of(optic.pairs_with, Optic, catalog) or optic


def there(build: Build, slot: str) -> dict[str, Counter[str]]:
    """What came along in a slot for each statement."""
    found: dict[str, Counter[str]] = {}
    for one in build.along:
        if one.slot == slot and one.statement is not None:
            found.setdefault(one.statement, Counter())[one.part] += max(one.count, 0)
    return found


def unmet(needed: Counter[str], there: Counter[str], fits: Callable[[str, str], bool]) -> Counter[str]:
    """What stays without a part when parts are shared out so that as many needs as can be are met."""
    left, short = Counter(there), Counter(needed)
    given: Counter[tuple[str, str]] = Counter()

    def freed(part: str, tried: set[str]) -> bool:
        """One of this part is left, or another need that has one takes something else."""
        if left[part] > 0:
            left[part] -= 1
            return True
        for other in needed:
            if given[other, part] > 0 and meet(other, tried):
                given[other, part] -= 1
                return True
        return False

    def meet(need: str, tried: set[str]) -> bool:
        for part in there:
            if part not in tried and fits(need, part):
                tried.add(part)
                if freed(part, tried):
                    given[need, part] += 1
                    return True
        return False

    for need in needed:
        while short[need] > 0 and meet(need, set()):
            short[need] -= 1
    return +short


def weakened_db(optic: Optic, said: AccessPorts | Uplinks) -> Decimal | None:
    """What has to be taken off the light over the fibre that lies there: 0 where it is right as it is.

    None where the way can't be carried.  With no fibre named, every fibre that the optic knows has to do.
    """
    fibre = said.fibre if isinstance(said, Uplinks) else said.over
    most_db = Decimal(0)
    for one in dict.fromkeys(row.fibre for row in optic.reaches) if fibre is None else [fibre]:
        losses_db = [
            Decimal(0) if said.length_m >= row.min_m else row.short_db
            for row in optic.reaches
            if row.fibre == one and said.length_m <= row.max_m
        ]
        possible_db = [loss_db for loss_db in losses_db if loss_db is not None]
        if not possible_db:
            return None
        most_db = max(most_db, min(possible_db))
    return most_db
