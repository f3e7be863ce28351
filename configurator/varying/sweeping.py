"""The price of a demand as a figure of it varies, and what is added on the way.

import configurator

sweep = configurator.sweep(asked, catalog, ["devices[access point]=8..64:8"], stack="Library, floor 2")
for point in sweep.points:
    print(point.at, point.price_minor, point.text)
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from configurator import messages, packaged
from configurator.answer import CatalogName, ListName
from configurator.api import catalog_notes, rule_book
from configurator.assemble import tool_version
from configurator.catalog import Catalog
from configurator.conflicts.refused import encodable
from configurator.reading import Asked
from configurator.reading.words import figure
from configurator.rule import Rule
from configurator.solved import Status
from configurator.varying.solving import Outcome, Solver, why_not
from configurator.varying.sweep import Added, PartCount, Sweep, SweepPoint, VariedFigure, What
from configurator.varying.values import MOST_POINTS, Varied, varied
from configurator.varying.varying import Value, place_of, with_figures, wrong

MANY: dict[What, str] = {"stack": "stacks", "unit": "units", "supply": "supplies", "module": "modules"}
Parts = Counter[tuple[What, str]]


def sweep(
    asked: Asked,
    catalog: Catalog,
    vary: Iterable[str],
    *,
    stack: str | None = None,
    rules: Iterable[Rule] | None = None,
    time_limit_s: float | None = None,
    most_points: int = MOST_POINTS,
) -> Sweep:
    """The cheapest price for each value of one figure of a demand, or of two.

    vary         -- `WHAT=FROM..TO`, `WHAT=FROM..TO:STEP` or `WHAT=A,B,C`, once or twice; WHAT is a figure of the
                    demand file: `ports`, `devices[access point]`, `uplinks[0].speed_mbps`, `between_units_m` …
    stack        -- name of the one whose price it is; none: the whole order's
    rules        -- the rule book; none: `rule_book()`
    time_limit_s -- for each thing that is solved; none: no limit
    most_points  -- that are solved

    BadInput where a figure, a value or a name can't be used; CheckFailed where an independent check rejects a
    solved build.
    """
    book = rule_book() if rules is None else tuple(rules)
    place = None if stack is None else place_of(asked, stack)
    found = _varied(list(vary), asked, catalog, stack, most_points)
    solver = Solver(catalog, book, time_limit_s)
    points: list[SweepPoint] = []
    for other in found[1].values if len(found) > 1 else (None,):
        before: Outcome | None = None
        for value in found[0].values:
            at = (value,) if other is None else (value, other)
            here = with_figures(asked, [(one.figure, v) for one, v in zip(found, at, strict=True)], catalog)
            outcome = solver.outcome(here, place)
            points.append(_point(found, at, outcome, before, solver))
            before = outcome
    return _whole(asked, catalog, stack, found, tuple(points))


def _varied(said: list[str], asked: Asked, catalog: Catalog, stack: str | None, most: int) -> list[Varied]:
    """One figure with its values, or two that make no more points than are allowed."""
    if len(said) not in (1, 2):
        raise wrong(", ".join(said), f"{len(said)} figures are to vary", "vary one, or two for a grid")
    found = [varied(one, asked, catalog, stack, most) for one in said]
    if len({(one.figure.stacks, one.figure.path) for one in found}) < len(found):
        raise wrong(said[1], "both are the same figure", "vary another one beside it")
    for one in found:
        if stack is not None and one.figure.path == ("copies",):
            text = "copies don't change the price of one stack"
            raise wrong(one.figure.name, text, "leave --stack out: then the order is priced")
    points = 1
    for one in found:
        points *= len(one.values)
    if points > most:
        text = f"{' by '.join(str(len(one.values)) for one in found)} values are {points} points, more than {most}"
        raise wrong(said[-1], text, f"take larger steps, or allow more with --most-points {points}")
    return found


def _point(
    found: Sequence[Varied], at: tuple[Value, ...], here: Outcome, before: Outcome | None, solver: Solver
) -> SweepPoint:
    parts = parts_of(here)
    added: tuple[Added, ...] = ()
    more = None
    if before is not None and before.price_minor is not None and here.price_minor is not None:
        more = here.price_minor - before.price_minor
        added = tuple(_added(parts, parts_of(before)))
    refused = here.refused
    conflict = None if refused is None else solver.conflict(refused)
    return SweepPoint(
        at=tuple(map(Decimal, at)),
        words=tuple(one.figure.told(value) for one, value in zip(found, at, strict=True)),
        status="cannot be met" if here.problem else here.status,
        price_minor=here.price_minor,
        bound_minor=here.bound_minor,
        difference_minor=more,
        stacks=sum(copies for copies, _ in here.builds),
        units=_counts(parts, "unit"),
        supplies=_counts(parts, "supply"),
        modules=_counts(parts, "module"),
        added=added,
        refused=None if refused is None else refused.stack.name,
        conflict=conflict,
        text=added_words(added) if here.builds else " ".join(why_not(here, conflict)),
    )


def parts_of(here: Outcome) -> Parts:
    """Stacks, units by type, supplies in bays and modules of what is built, copies included."""
    found: Parts = Counter()
    for copies, build in here.builds:
        found["stack", ""] += copies
        for unit in build.units:
            found["unit", unit.unit_type] += copies
            for supply in unit.supplies:
                found["supply", supply.supply] += copies * (supply.bay > 0)
            for module in unit.modules:
                found["module", module.module] += copies
    return +found


def _counts(parts: Parts, what: What) -> tuple[PartCount, ...]:
    return tuple(PartCount(part=part, count=count) for (kind, part), count in sorted(parts.items()) if kind == what)


def _added(here: Parts, before: Parts) -> Iterator[Added]:
    """What there is more of, then what there is less of; stacks, units, supplies, modules."""
    changes = {key: here[key] - before[key] for key in {*here, *before}}
    order = list(MANY)
    for (what, part), count in sorted(changes.items(), key=lambda one: (one[1] < 0, order.index(one[0][0]), one[0])):
        if count:
            yield Added(what=what, part=part, count=count)


def added_words(added: Iterable[Added]) -> str:
    """`a unit marl.48t and 2 supplies marl.supply.630 more; a unit marl.24t fewer`."""
    more = [_one(each) for each in added if each.count > 0]
    fewer = [_one(each) for each in added if each.count < 0]
    told = [f"{_and(words)} {end}" for words, end in ((more, "more"), (fewer, "fewer")) if words]
    return "; ".join(told)


def _one(added: Added) -> str:
    count = abs(added.count)
    return f"a {added.what} {added.part}".strip() if count == 1 else f"{count} {MANY[added.what]} {added.part}".strip()


def _and(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _whole(
    asked: Asked, catalog: Catalog, stack: str | None, found: Sequence[Varied], points: tuple[SweepPoint, ...]
) -> Sweep:
    prices, demonstration = catalog.prices, packaged.is_demonstration(catalog)
    return Sweep(
        tool_version=tool_version(),
        customer=asked.demand.customer,
        project=asked.demand.project,
        stack=stack,
        currency=prices.currency,
        decimals=prices.decimals,
        price_list=ListName(name=encodable(prices.name), issued=prices.issued, valid_until=prices.valid_until),
        catalog=CatalogName(name=encodable(catalog.name), maker=catalog.parts.maker, demonstration=demonstration),
        order_date=asked.asks[0].setting.order_date,
        varied=tuple(
            VariedFigure(
                name=one.figure.name,
                words=one.figure.words,
                unit="Mb/s" if one.figure.is_speed else one.figure.unit,
                stated=None if one.figure.stated is None else Decimal(one.figure.stated),
                values=tuple(map(Decimal, one.values)),
            )
            for one in found
        ),
        points=points,
        notes=(
            *([messages.DEMO_NOTE] if demonstration else []),
            *catalog_notes(catalog),
            *(_steps(one) for one in found if one.step is not None),
        ),
    )


def _steps(one: Varied) -> str:
    assert one.step is not None
    return (
        f"{one.figure.name}: in steps of {figure(one.step)}, since no step was stated; what lies between is not solved."
    )


def status_of(points: Iterable[SweepPoint]) -> Status:
    """Of all points: met where one is; not proved where one with a price isn't."""
    found = {point.status for point in points}
    order: tuple[Status, ...] = ("not decided", "best found", "cheapest", "cannot be met")
    return next(status for status in order if status in found)
