"""Two demands, two saved answers, or one of each, side by side.

import configurator

found = configurator.compare_two(("today", answer), ("with more ports", other))
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from configurator.answer import Answer
from configurator.assemble import tool_version
from configurator.buying.break_evens import quantities
from configurator.buying.bundle_use import Sold, sold_for
from configurator.buying.comparison import Changed, Comparison, Side
from configurator.buying.orders import Orders
from configurator.buying.prices import as_paid
from configurator.buying.sides import lines_of, side_of
from configurator.catalog import Catalog
from configurator.conflicts.refused import encodable
from configurator.errors import BadInput, Problem
from configurator.money import with_code
from configurator.reading import Asked
from configurator.reading.difference import Difference
from configurator.rule import Rule
from configurator.solved import WORST_FIRST


@dataclass(frozen=True)
class Told:
    """One of the two: an answer, and the catalog that it was made from where that is at hand."""

    name: str  # of its file
    answer: Answer
    catalog: Catalog | None = None
    sold: Sold = frozenset()


def told_of(name: str, asked: Asked, orders: Orders, rules: tuple[Rule, ...]) -> Told:
    """A demand with its cheapest order."""
    return Told(name, orders.answer(asked), orders.catalog, sold_for(asked, orders.catalog, rules))


def compare_two(first: Told, second: Told) -> Comparison:
    """The second beside the first: totals, stacks, lines, and what of the two demands differs.

    BadInput where they are in different currencies.
    """
    one, other = first.answer, second.answer
    if (one.currency, one.decimals) != (other.currency, other.decimals):
        text = f"{first.name} is in {one.currency}, this is in {other.currency}"
        hint = "compare orders of one currency"
        raise BadInput([Problem(second.name, None, None, "currency", other.currency, text, hint)])
    sides = (_side("first", first, one), _side("second", second, one))
    totals = {side.key: side.total_minor for side in sides if side.total_minor is not None}
    return Comparison(
        tool_version=tool_version(),
        of="two",
        customer=other.customer,
        project=other.project,
        currency=one.currency,
        decimals=one.decimals,
        against="first",
        status=min((side.status for side in sides), key=WORST_FIRST.index),
        cheapest=tuple(key for key, total in totals.items() if total == min(totals.values())),
        why=(_verdict(sides, one),),
        sides=sides,
        lines=lines_of([one, other], one),
        types=(),
        break_even=(),
        later=(),
        changes=tuple(_changes(one, other)),
        notes=tuple(_notes(first, second)),
    )


def _side(key: str, told: Told, against: Answer) -> Side:
    catalog = None if told.catalog is None else as_paid(told.catalog, quantities(told.answer))
    return side_of(key, encodable(told.name), told.answer, against, catalog, told.sold)


def _verdict(sides: tuple[Side, Side], answer: Answer) -> str:
    first, second = sides
    missing = [side.name for side in sides if side.total_minor is None]
    if missing or first.total_minor is None or second.total_minor is None:
        return f"There is no order of all stacks of {' and '.join(dict.fromkeys(missing))}."
    more = second.total_minor - first.total_minor
    if more == 0:
        return f"{second.name} costs as much as {first.name}."
    amount = with_code(abs(more), answer.decimals, answer.currency)
    proof = "" if {first.status, second.status} == {"cheapest"} else "; not both are proved cheapest"
    return f"{second.name} costs {amount} {'more' if more > 0 else 'less'} than {first.name}{proof}."


def _changes(one: Answer, other: Answer) -> Iterator[Changed]:
    """What of the demands differs, where both are at hand."""
    if one.demand is None or other.demand is None or one.demand == other.demand:
        return
    for changes in Difference(one.demand, other.demand).statements:
        first = changes[0]
        yield Changed(
            stacks=tuple(change.stack for change in changes if change.stack),
            key=first.key,
            kind=first.kind,
            first=first.then,
            second=first.now,
            ref=first.ref,
        )


def _notes(first: Told, second: Told) -> Iterator[str]:
    """What else the two were made from that is not the same."""
    one, other = first.answer, second.answer
    yield from dict.fromkeys((*one.notes, *other.notes))
    if one.demand is None or other.demand is None:
        yield "One of the two holds no demand, so what differs in what is asked can't be told."
    for role, words in (("catalog", "catalogs"), ("prices", "price lists")):
        hashes = [{file.sha256 for file in answer.inputs if file.role == role} for answer in (one, other)]
        if hashes[0] != hashes[1]:
            yield f"The two were made from different {words}."
    if one.order_date != other.order_date:
        yield f"The order dates differ: {one.order_date} and {other.order_date}."
    if one.proof.book != other.proof.book:
        yield "The two were made under different rule books."
