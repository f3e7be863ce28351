"""What changed in the files that an earlier answer was made from: catalog and price list."""

from __future__ import annotations

from collections.abc import Iterator

from configurator.catalog import ORDERABLE, Catalog, PriceList
from configurator.parts import Parts
from configurator.review.audit import Audit
from configurator.review.changes import FileChange, PartChange, PriceChange

NAMED = ("families", "unit_types")
TERMS = ("status", "lead_time_days", "pack_size", "least_quantity")


def changed_files(earlier: Audit, catalog: Catalog) -> Iterator[FileChange]:
    """Files of the catalog with another hash, new ones, and those that are gone."""
    then = {one.name: one.sha256 for one in earlier.inputs if one.role == "catalog"}
    now = {one.name: one.sha256 for one in catalog.files}
    for name in sorted(then.keys() | now.keys()):
        if name not in then:
            yield FileChange(name=name, kind="added")
        elif name not in now:
            yield FileChange(name=name, kind="gone")
        elif then[name] != now[name]:
            yield FileChange(name=name, kind="changed")


def changed_prices(earlier: Audit, listed: PriceList | None, catalog: Catalog) -> Iterator[PriceChange]:
    """Of the earlier order's parts by what the answer says; of all others where the earlier list is at hand."""
    now, then = catalog.prices.rows, {} if listed is None else listed.rows
    known = {part: row.price_minor for part, row in then.items()}
    quantities: dict[str, int] = {}
    for line in earlier.lines:
        quantities[line.part] = quantities.get(line.part, 0) + line.quantity
        listed_minor = line.unit_price_minor if line.list_price_minor is None else line.list_price_minor
        known.setdefault(line.part, listed_minor)
    for part in sorted({*known, *(now if then else ())}):
        before, after = known.get(part), catalog.list_minor(part)
        both = [then[part], now[part]] if part in then and part in now else []
        terms = tuple(key for key in TERMS if len({getattr(row, key) for row in both}) > 1)
        if before != after or terms:
            quantity = quantities.get(part, 0)
            yield PriceChange(
                part=part,
                then_minor=before,
                now_minor=after,
                quantity=quantity,
                more_minor=None if before is None or after is None else (after - before) * quantity,
                terms=terms,
            )


def changed_parts(then: Parts, now: Parts) -> Iterator[PartChange]:
    """Entries of each list that came, went or changed; tables without names by their list."""
    for group in Parts.model_fields:
        was, new = getattr(then, group), getattr(now, group)
        if was == new:
            continue
        if group not in (*ORDERABLE, *NAMED):
            yield PartChange(group=group, name=group, kind="changed", fields=())
            continue
        before, after = {one.id: one for one in was}, {one.id: one for one in new}
        for name in sorted(before.keys() | after.keys()):
            if name not in before or name not in after:
                yield PartChange(group=group, name=name, kind="added" if name in after else "gone", fields=())
            elif before[name] != after[name]:
                fields = type(before[name]).model_fields
                changed = tuple(f for f in fields if getattr(before[name], f) != getattr(after[name], f))
                yield PartChange(group=group, name=name, kind="changed", fields=changed)
