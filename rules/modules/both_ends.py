"""When the other end is to be ordered too, each optic has its partner on the order.

Why it matters: one optic is no link, and single-fibre optics work only with the opposite wavelength.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Optic
from configurator.rule import COMMON_PRACTICE, Breach, Need, Requires, Rule
from configurator.setting import Ask, Setting

from .. import looking

# the rule's part of the model


def needs(kind: Kind, plug: Plug | None, setting: Setting, catalog: Catalog) -> Iterator[Need]:
    """The partner of each optic, when both ends are ordered."""
    if isinstance(kind.said, Uplinks) and kind.said.ends == "both" and isinstance(plug, Optic):
        yield Need("far end", ((plug.pairs_with or plug.id,),))


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """A split optic's far ends aren't known, so they can't be ordered."""
    both = isinstance(kind.said, Uplinks) and kind.said.ends == "both"
    return not (both and isinstance(plug, SplitPlug) and isinstance(plug.head, Optic))


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Counts, for each statement, the partners its optics need; direct cables bring their far end."""
    needed: Counter[tuple[str, str]] = Counter()
    for unit, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        if not isinstance(said, Uplinks) or said.ends != "both":
            continue
        split = looking.split_of(unit, use)
        if split is not None and isinstance(looking.head_of(split, catalog), Optic):
            where = looking.link_name(use, said)
            yield Breach(f"{where}: a split optic's far ends can't be ordered, both ends are asked", unit.position)
        plug = looking.plug_of(use, catalog)
        if split is None and isinstance(plug, Optic):
            needed[use.statement, plug.pairs_with or plug.id] += 1
    ordered: Counter[tuple[str, str]] = Counter()
    for end in build.far_ends:
        ordered[end.statement, end.part] += end.count
    for (statement, part), count in needed.items():
        if ordered[statement, part] < count:
            yield Breach(f"{statement}: {count} of {part} needed at the far end, {ordered[statement, part]} there")


RULE = Rule(
    id="modules.both_ends",
    family="modules",
    sentence="When both ends are asked, each uplink's optic has its partner for the far end.",
    source=COMMON_PRACTICE,
    about=("uplinks",),
    requires=Requires(served=needs),
    plug_serves=plug_serves,
    check=check,
)
