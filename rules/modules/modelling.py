"""What the rules about light share in their parts of the model: which optics a link has, and how far they go.

The checks have their own (checking.py); nothing here is used by both.
"""

from __future__ import annotations

from decimal import Decimal

from configurator.catalog import Catalog
from configurator.demand import Devices, Uplinks
from configurator.kinds import Kind, Plug
from configurator.parts import Optic, Reach


def ends(kind: Kind, plug: Plug | None, catalog: Catalog) -> tuple[Optic, ...]:
    """The optics to order for a link over fibre: the stack's own, and its partner where both ends are asked.

    An optic of a split port is no end of a link by itself: its fan-out lead is what leaves the port.
    """
    said = kind.said
    if not isinstance(plug, Optic) or plug.connector == "RJ45":
        return ()
    if isinstance(said, Devices) or said.over in ("copper", "direct"):
        return ()
    if not isinstance(said, Uplinks) or said.ends == "near":
        return (plug,)
    partner = catalog.by_id.get(plug.pairs_with) if plug.pairs_with is not None else None
    return (plug, partner if isinstance(partner, Optic) else plug)


def spans(optic: Optic, fibre: str, length_m: Decimal) -> bool:
    """Whether an optic carries a way over a fibre or copper; light may be weakened where that is stated."""
    rows = [row for row in optic.reaches if row.fibre == fibre and length_m <= row.max_m]
    return any(row.min_m <= length_m or (row.short_db is not None and fibre != "copper") for row in rows)


def too_strong_db(optic: Optic, kind: Kind) -> Decimal:
    """What an attenuator before each receiver takes off, whichever fibre lies there; 0 where none is needed."""
    said = kind.said
    if isinstance(said, Devices):
        return Decimal(0)
    named = said.fibre if isinstance(said, Uplinks) else said.over
    fibres = {row.fibre for row in optic.reaches} if named is None else {named}
    return max((_over_db(optic, fibre, said.length_m) for fibre in fibres), default=Decimal(0))


def _over_db(optic: Optic, fibre: str, length_m: Decimal) -> Decimal:
    rows: list[Reach] = [row for row in optic.reaches if row.fibre == fibre and length_m <= row.max_m]
    if any(row.min_m <= length_m for row in rows):
        return Decimal(0)
    return min((row.short_db for row in rows if row.short_db is not None), default=Decimal(0))
