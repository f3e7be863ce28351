"""From answers to sides of a comparison: stacks and lines beside one another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from configurator.answer import Answer, OrderLine, StackAnswer
from configurator.buying.bundle_use import Sold, bundle_uses
from configurator.buying.comparison import Cell, Line, Ordered, Side, SideStack
from configurator.buying.styles import is_bundle
from configurator.catalog import Catalog
from configurator.groups import GROUPS
from configurator.parts import Box
from configurator.solved import WORST_FIRST, Status


def side_of(
    key: str, name: str, answer: Answer, against: Answer, catalog: Catalog | None = None, sold: Sold = frozenset()
) -> Side:
    """One order beside the one that all are compared with.

    catalog -- that it was made from; none: what is in its boxes is not known
    sold    -- parts that may be ordered by themselves
    """
    total, other = answer.total_minor, against.total_minor
    stacks = tuple(_stacks(answer, against, catalog))
    units = [one for stack in answer.stacks for one in _ordered([stack], catalog, stack.copies)]
    known = [one.count for one in units if one.bundle]
    return Side(
        key=key,
        name=name,
        status=status_of(answer),
        total_minor=total,
        difference_minor=_less(total, other),
        units=sum(one.count for one in units),
        in_bundles=None if catalog is None else sum(known),
        problem=answer.problem,
        order_date=answer.order_date,
        stacks=stacks,
        bundles=() if catalog is None else tuple(bundle_uses(answer, sold, catalog)),
    )


def status_of(answer: Answer) -> Status:
    """The worst of an answer's stacks', and the order's."""
    return min((answer.status, *(stack.status for stack in answer.stacks)), key=WORST_FIRST.index)


def _less(one: int | None, other: int | None) -> int | None:
    return None if one is None or other is None else one - other


def _stacks(answer: Answer, against: Answer, catalog: Catalog | None) -> Iterable[SideStack]:
    others, mine = _by_name(against.stacks), _by_name(answer.stacks)
    for name, found in mine.items():
        amount = _amount(found)
        alike = len(found) == 1
        yield SideStack(
            name=name,
            copies=sum(stack.copies for stack in found),
            status=min((stack.status for stack in found), key=WORST_FIRST.index),
            amount_minor=amount,
            difference_minor=_less(amount, _amount(others.get(name, []))),
            units=tuple(_ordered(found, catalog, 1 if alike else None)),
            conflicts=tuple(conflict for stack in found for conflict in stack.conflicts),
        )


def _by_name(stacks: Iterable[StackAnswer]) -> dict[str, list[StackAnswer]]:
    """Copies that are built differently are one stack."""
    found: dict[str, list[StackAnswer]] = {}
    for stack in stacks:
        found.setdefault(stack.name, []).append(stack)
    return found


def _amount(stacks: Sequence[StackAnswer]) -> int | None:
    shares = [stack.share_minor for stack in stacks]
    return None if not shares or None in shares else sum(share or 0 for share in shares)


def _ordered(stacks: Iterable[StackAnswer], catalog: Catalog | None, times: int | None) -> list[Ordered]:
    """Units by the box that they are ordered in; `times` none: of all copies."""
    counts: Counter[tuple[str, str]] = Counter()
    for stack in stacks:
        for unit in stack.units:
            counts[unit.box, unit.type] += stack.copies if times is None else times
    out = []
    for (box, unit_type), count in sorted(counts.items()):
        part = None if catalog is None else catalog.by_id.get(box)
        bundle = is_bundle(part) if isinstance(part, Box) else None
        out.append(Ordered(box=box, unit_type=unit_type, bundle=bundle, count=count))
    return out


# --- lines ------------------------------------------------------------------------------------------


def lines_of(answers: Sequence[Answer], against: Answer) -> tuple[Line, ...]:
    """Every part that some order has, side by side, in the order of a bill."""
    every = [_by_part(answer) for answer in answers]
    base = _by_part(against)
    names = {part: line for found in every for part, (line, *_) in found.items()}
    order = {line.part: n for n, line in enumerate(sorted(names.values(), key=lambda line: (_rank(line), line.part)))}
    return tuple(
        Line(
            part=part,
            description=names[part].description,
            group=names[part].group,
            cells=tuple(
                _cell(part, found, base, answer, against) for found, answer in zip(every, answers, strict=True)
            ),
        )
        for part in sorted(names, key=order.__getitem__)
    )


Found = tuple[OrderLine, int, int]  # a line, and quantity and amount with the part's other lines


def _by_part(answer: Answer) -> dict[str, Found]:
    """Lines by part, cold spares with what is for stacks; nothing where there is no order of all stacks."""
    found: dict[str, Found] = {}
    if answer.total_minor is not None:
        for line in answer.bill:
            first, quantity, amount = found.get(line.part, (line, 0, 0))
            found[line.part] = (first, quantity + line.quantity, amount + line.amount_minor)
    return found


def _rank(line: OrderLine) -> int:
    names = [name for name, _ in GROUPS]
    return names.index(line.group) if line.group in names else len(names)


def _cell(part: str, found: dict[str, Found], base: dict[str, Found], answer: Answer, against: Answer) -> Cell | None:
    if answer.total_minor is None:
        return None
    line, quantity, amount = found.get(part, (None, 0, 0))
    _, _, before = base.get(part, (None, 0, 0))
    return Cell(
        quantity=quantity,
        unit_price_minor=None if line is None else line.unit_price_minor,
        amount_minor=amount,
        difference_minor=None if against.total_minor is None else amount - before,
    )
