"""The public Python API: read a catalog and a demand, solve it, get the checked answer.

import configurator

catalog = configurator.load_catalog("catalog", "prices.csv")
asked = configurator.load_demand("demand.yaml", catalog)
answer = configurator.solve(asked, catalog)
print(answer.total_minor, answer.currency)
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from configurator import assemble, bill, messages, packaged, reading
from configurator.answer import Answer
from configurator.answer_proof import Waived
from configurator.catalog import Catalog
from configurator.life.answering import terms_asked, with_life
from configurator.life.known import Found
from configurator.life.result import Objective
from configurator.reading import Asked
from configurator.reading.files import bad_file
from configurator.rule import Breach, Rule
from configurator.setting import Ask
from configurator.solved import Solved, SolvedOrder
from configurator.verify import CheckFailed, verify, verify_order

if TYPE_CHECKING:
    from os import PathLike

    from configurator.review.pricing import Technical

    Name: TypeAlias = str | PathLike[str]

Engine = Callable[[Ask, Catalog, tuple[Rule, ...], float | None], Solved]


def order_day(*, demonstration: bool = False) -> date:
    """The order date where nobody gives one: today, where the user is.

    For the packaged demonstration the day on which its price list was issued, so that an installed
    tool never outlives its demonstration.
    """
    if demonstration:
        return reading.load_prices(packaged.prices_file()).issued
    return date.today()  # noqa: DTZ011 -- an order's day is the local one


def load_catalog(
    folder: Name | None = None, prices: Name | None = None, on: date | None = None, *, discounts: Name | None = None
) -> Catalog:
    """A technical catalog with its price list, as they are on a day (today where none is given).

    folder -- YAML files, or such a folder `parts`; none: the packaged demonstration catalog
    prices -- a CSV file; none: `prices.csv` or `prices/prices.csv` in the folder
    discounts -- a CSV file of discounts on these prices; none: there are none

    BadInput tells everything that is wrong with the files.
    """
    day = on or order_day(demonstration=folder is None and prices is None)
    off = None if discounts is None else Path(discounts)
    if folder is None:
        file = packaged.prices_file() if prices is None else Path(prices)
        return packaged.named(reading.load_catalog(packaged.parts_folder(), file, day, off))
    root = Path(folder)
    parts = root / "parts" if (root / "parts").is_dir() else root
    return reading.load_catalog(parts, _prices_in(root) if prices is None else Path(prices), day, off)


def load_technical(folder: Name) -> Technical:
    """A technical catalog without prices: YAML files, or such a folder `parts`.  BadInput tells what is wrong."""
    from configurator.review.pricing import Technical  # brings the solver

    root = Path(folder)
    parts, files = reading.parts_and_files(root / "parts" if (root / "parts").is_dir() else root)
    return Technical(parts, files, str(root))


def _prices_in(folder: Path) -> Path:
    """The price list that lies in a catalog's folder."""
    if not folder.is_dir():
        raise bad_file(str(folder), "there is no such folder", "check the name")
    for place in (folder / "prices.csv", folder / "prices" / "prices.csv"):
        if place.is_file():
            return place
    hint = "name the price list with --prices FILE"
    raise bad_file(str(folder), "no price list: neither prices.csv nor prices/prices.csv is in this folder", hint)


def load_demand(source: Name | None, catalog: Catalog, on: date | None = None) -> Asked:
    """A demand with its defaults filled in; `-` is standard input, none the packaged demonstration.

    BadInput tells everything that is wrong with it.
    """
    file = packaged.demand_file() if source is None else str(source)
    return reading.load_demand(file, catalog, on or order_day(demonstration=packaged.has_packaged_prices(catalog)))


def load_line(said: Mapping[str, list[str]], catalog: Catalog, on: date) -> Asked:
    """A demand of one stack from the options of a line; BadInput tells everything that is wrong with them."""
    from configurator.render import demand as as_demand

    line = reading.read_line(dict(said), catalog)
    text = as_demand.render(line)
    source = reading.Source(line.sheet.name, text, sha256(text.encode()).hexdigest())
    return replace(reading.load_line(dict(said), catalog, on), source=source)


def rule_book() -> tuple[Rule, ...]:
    """Every rule that the tool knows."""
    from configurator_rules import RULES

    return tuple(RULES)


def solve(
    asked: Asked,
    catalog: Catalog,
    *,
    rules: Iterable[Rule] | None = None,
    time_limit_s: float | None = None,
    notes: Iterable[str] = (),
    waivers: tuple[Waived, ...] = (),
    engine: Engine | None = None,
    objective: Objective = "purchase",
) -> Answer:
    """The cheapest valid build of every stack, proved, checked and explained.

    rules        -- the rule book; none: `rule_book()`
    time_limit_s -- for each stack that differs from the others; none: no limit
    notes        -- sentences to hand on in the answer
    waivers      -- breaches that a reviewer accepts, to hand on; what is solved has none
    engine       -- what solves one stack; none: this tool's own
    objective    -- what is to be cheapest: buying, or owning over the years that the demand states

    Stacks that ask for the same are solved once.  Prices are those after the discounts that the order
    earns by its own value.  CheckFailed where an independent check rejects a solved build: nothing of it
    is shown then.
    """
    book = rule_book() if rules is None else tuple(rules)
    owned: Found | None = None
    if objective == "life":
        solved, owned = _solve_for_life(asked, catalog, book, time_limit_s)
    else:
        solved, catalog = _solve_order()(asked.order, catalog, book, time_limit_s, engine)
    _check(solved, asked, catalog, book)
    demonstration = packaged.is_demonstration(catalog)
    about = [*([messages.DEMO_NOTE] if demonstration else []), *notes, *catalog_notes(catalog)]
    answer = assemble.order_answer(
        asked, solved, catalog, book, notes=about, waivers=waivers, demonstration=demonstration
    )
    return with_life(answer, asked, catalog, objective, owned)


def _solve_for_life(
    asked: Asked, catalog: Catalog, rules: tuple[Rule, ...], time_limit_s: float | None
) -> tuple[SolvedOrder, Found]:
    """The order that is cheapest to own, and what is known of it; the builds beside them are checked."""
    from configurator.engine.order import solve_order  # brings the solver, as do these
    from configurator.life.order import solve_order_for_life
    from configurator.reasoning.checked import check

    terms = terms_asked(asked, catalog)
    found = solve_order_for_life(
        asked.order, catalog, rules, terms, lambda: solve_order(asked.order, catalog, rules, time_limit_s), time_limit_s
    )
    for ask in asked.asks:
        bought = found.found.stacks[ask.stack.name].bought
        if bought is not None and bought.build is not None:
            check(bought.build, bought, ask, catalog, rules)
    return found.solved, found.found


def named(asked: Asked) -> tuple[list[str], list[str]]:
    """Ids of all rules, and names of a demand's stacks: what a waiver may name."""
    return [rule.id for rule in rule_book()], [ask.stack.name for ask in asked.asks]


def catalog_notes(catalog: Catalog) -> tuple[str, ...]:
    """What doesn't match between catalog and price list, in sentences; nobody is stopped by it."""
    found = reading.catalog_notes(catalog)
    return (*messages.catalog_notes(found.unpriced, found.unknown), *messages.discount_notes(*_idle(catalog)))


def _idle(catalog: Catalog) -> tuple[list[str], list[str]]:
    """Discounts of other days, in words, and parts of discounts that the price list lacks."""
    discounts = catalog.prices.discounts
    rows = () if discounts is None else discounts.rows
    late = [
        f"line {row.line}, from {row.first_day or '-'} until {row.last_day or '-'}"
        for row in rows
        if discounts is not None and not row.holds_on(discounts.day)
    ]
    unknown = dict.fromkeys(row.part for row in rows if row.part and row.part not in catalog.prices.rows)
    return late, list(unknown)


def _solve_order() -> Callable[..., tuple[SolvedOrder, Catalog]]:
    from configurator.engine.tiers import solve_discounted  # brings the solver

    return solve_discounted


def _check(solved: SolvedOrder, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> None:
    """Every rule's checks of each stack and of the order, and that the bills come to the prices found."""
    for ask, copies in zip(asked.asks, solved.stacks, strict=True):
        for _, one in copies:
            if one.build is None:
                continue
            breaches = list(verify(one.build, ask, catalog, rules))
            total_minor = 0 if breaches else bill.total_minor(bill.lines(bill.bought(one.build), catalog))
            if not breaches and total_minor != one.price_minor:
                text = f"the bill comes to {total_minor}, the price found is {one.price_minor}"
                breaches.append(("bill.total", Breach(text)))
            if breaches:
                raise CheckFailed(ask, breaches, one.build)
    if solved.order is not None and (found := verify_order(solved.order, asked.order, catalog, rules)):
        raise CheckFailed(asked.asks[0], found, solved.order)
