"""One strand takes single-fibre optics, and nothing else does.

Why it matters: an ordinary optic needs a second strand for the way back.
"""

from __future__ import annotations

from collections.abc import Iterator

from configurator.build import Build
from configurator.catalog import Catalog
from configurator.demand import Uplinks
from configurator.kinds import Kind, Plug, SplitPlug
from configurator.parts import Optic
from configurator.rule import COMMON_PRACTICE, Breach, Rule
from configurator.setting import Ask

from .. import looking

# the rule's part of the model


def plug_serves(plug: Plug | None, kind: Kind, catalog: Catalog) -> bool:
    """Single-fibre optics on one strand, and on no other link."""
    head = plug.head if isinstance(plug, SplitPlug) else plug
    strand = isinstance(head, Optic) and head.fibres == 1
    return strand == (isinstance(kind.said, Uplinks) and kind.said.single_fibre)


# the check


def check(build: Build, ask: Ask, catalog: Catalog) -> Iterator[Breach]:
    """Compares the strands of each port's optic, or of its split's, with the strands that lie there."""
    for unit, use in looking.uses(build):
        said = looking.said(ask, use.statement)
        split = looking.split_of(unit, use)
        plug = looking.head_of(split, catalog) if split is not None else looking.plug_of(use, catalog)
        if said is None or (plug is None and use.plug is not None):
            continue
        one_strand = isinstance(said, Uplinks) and said.single_fibre
        if (isinstance(plug, Optic) and plug.fibres == 1) == one_strand:
            continue
        lies = "1 strand lies there" if one_strand else "the link isn't over 1 strand"
        needs = f"{plug.id} needs {plug.fibres}" if isinstance(plug, Optic) else "the port has no optic"
        yield Breach(f"{looking.link_name(use, said)}: {lies}, {needs}", unit.position)


RULE = Rule(
    id="modules.single_fibre",
    family="modules",
    sentence="A link over one strand takes single-fibre optics, and no other link does.",
    source=COMMON_PRACTICE,
    about=("uplinks",),
    plug_serves=plug_serves,
    check=check,
)
