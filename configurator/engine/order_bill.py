"""The lines of the whole order, and each stack's share of what it comes to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from configurator import bill
from configurator.answer import OrderLine, StackAnswer
from configurator.build import Order
from configurator.catalog import Catalog
from configurator.setting import Statement

COLD_SPARES = "cold spares"  # their group on the bill


def order_lines(
    order: Order, stacks: Sequence[StackAnswer], statements: Mapping[str, Statement], catalog: Catalog
) -> tuple[OrderLine, ...]:
    """What is ordered: for the stacks, with what whole packs and least quantities add; then cold spares, each apart."""
    needed, wanted = _needed(stacks)
    on_shelf: Counter[str] = Counter()
    for spare in order.spares:
        on_shelf[spare.part] += spare.count
    main = {line.part: line.count - on_shelf[line.part] for line in order.ordered}
    out = [
        _line(line, catalog, needed=needed[line.part], stacks=tuple(wanted.get(line.part, ())))
        for line in bill.lines(Counter(main), catalog)
    ]
    for spare in order.spares:
        said = statements.get(spare.statement)
        instead = "" if spare.stands_for == spare.part else f" for {spare.stands_for}"
        reason = f"{said.text if said else spare.statement}{instead}{f' [{said.ref}]' if said and said.ref else ''}"
        (line,) = bill.lines(Counter({spare.part: spare.count}), catalog)
        out.append(_line(line, catalog, needed=spare.count, group=COLD_SPARES, reason=reason))
    return tuple(out)


def _needed(stacks: Sequence[StackAnswer]) -> tuple[Counter[str], dict[str, list[str]]]:
    """How many of each part all stacks need, each with its copies, and which stacks need it."""
    counts: Counter[str] = Counter()
    wanted: dict[str, list[str]] = {}
    for stack in stacks:
        for line in stack.bill:
            counts[line.part] += line.quantity * stack.copies
            names = wanted.setdefault(line.part, [])
            if stack.name not in names:
                names.append(stack.name)
    return counts, wanted


def _line(
    line: bill.Line,
    catalog: Catalog,
    *,
    needed: int,
    stacks: tuple[str, ...] = (),
    group: str | None = None,
    reason: str | None = None,
) -> OrderLine:
    row = catalog.prices.rows[line.part]
    return OrderLine(
        part=line.part,
        description=line.description,
        group=group or line.group,
        quantity=line.quantity,
        needed=needed,
        left_over=line.quantity - needed,
        included=line.included,
        unit_price_minor=line.unit_price_minor,
        list_price_minor=line.list_price_minor,
        discount_percent=line.discount_percent,
        discount_line=line.discount_line,
        amount_minor=line.amount_minor,
        pack_size=row.pack_size,
        least_quantity=row.least_quantity,
        stacks=stacks,
        reason=reason,
    )


def shares_minor(lines: Sequence[OrderLine], stacks: Sequence[StackAnswer]) -> list[int]:
    """What each stack's copies come to together, of what the order comes to without its cold spares.

    What whole packs and least quantities add is shared out by how many of the part each stack
    needs; the last units of money go to the largest remainders, of equals to the first.
    """
    shares = [0] * len(stacks)
    for line in lines:
        if line.reason is not None or not line.needed:
            continue
        mine = [sum(one.quantity * s.copies for one in s.bill if one.part == line.part) for s in stacks]
        whole = [line.amount_minor * quantity // line.needed for quantity in mine]
        rest = line.amount_minor - sum(whole)
        first = sorted(range(len(stacks)), key=lambda n: (-(line.amount_minor * mine[n] % line.needed), n))
        for place, amount in enumerate(whole):
            shares[place] += amount
        for place in first[:rest]:
            shares[place] += 1
    return shares
