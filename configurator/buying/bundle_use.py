"""What the bundles of an order are worth: what of them is used, what is not needed, what it costs otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from configurator.answer import Answer, StackAnswer
from configurator.book import Book
from configurator.buying.comparison import BundleUse, Included
from configurator.buying.contents import Contents, contents_of
from configurator.buying.styles import in_style, is_bundle
from configurator.catalog import Catalog
from configurator.money import with_code
from configurator.parts import Box
from configurator.reading import Asked
from configurator.rule import Rule

Sold = frozenset[str]  # parts that may be ordered by themselves for some stack of the order


def sold_for(asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Sold:
    """Parts that some stack of an order may buy, however its units are to be bought."""
    book = Book(rules, catalog)
    return frozenset(part for ask in in_style(asked, "either").asks for part in book.prices(ask.setting))


def bundle_uses(answer: Answer, sold: Sold, catalog: Catalog) -> Iterator[BundleUse]:
    """Each bundle that the stacks of an order are ordered in."""
    found: dict[str, Contents] = {}
    for stack in answer.stacks:
        if stack.build is None:
            continue
        for box, one in contents_of(stack.build, catalog).items():
            all_of = found.setdefault(box, Contents())
            for _ in range(stack.copies):
                all_of.units += one.units
                all_of.used += one.used
                all_of.idle += one.idle
    for name, one in sorted(found.items()):
        bundle = catalog.get(name, Box)
        if is_bundle(bundle):
            yield _use(bundle, one, sold, catalog)


def base_unit(unit_type: str, sold: Sold, catalog: Catalog) -> Box | None:
    """The cheapest box that is ordered as a base unit."""
    each = [box for box in catalog.boxes_of[unit_type] if not is_bundle(box) and box.id in sold]
    return min(each, key=lambda box: (catalog.price_minor(box.id) or 0, box.id), default=None)


def _use(box: Box, one: Contents, sold: Sold, catalog: Catalog) -> BundleUse:
    base = base_unit(box.unit, sold, catalog)
    price = catalog.price_minor(box.id) or 0
    extra = None if base is None else price - (catalog.price_minor(base.id) or 0)
    included = tuple(_included(part, one, sold, catalog) for part in sorted(one.used | one.idle))
    unsold = [each.part for each in included if each.used and each.loose_minor is None]
    used = None if unsold else sum(each.used * (each.loose_minor or 0) for each in included)
    saved = None if used is None or extra is None else used - extra * one.units
    idle = sum(each.idle * (each.loose_minor or 0) for each in included)
    return BundleUse(
        bundle=box.id,
        description=box.description,
        unit_type=box.unit,
        count=one.units,
        price_minor=price,
        base_unit=None if base is None else base.id,
        extra_minor=extra,
        included=included,
        used_minor=used,
        saved_minor=saved,
        idle_minor=idle,
        text=_text(box, one.units, extra, used, saved, unsold, catalog),
    )


def _included(part: str, one: Contents, sold: Sold, catalog: Catalog) -> Included:
    return Included(
        part=part,
        description=catalog.by_id[part].description,
        used=one.used[part],
        idle=one.idle[part],
        loose_minor=catalog.price_minor(part) if part in sold else None,
    )


def _text(
    box: Box,
    count: int,
    extra: int | None,
    used: int | None,
    saved: int | None,
    unsold: list[str],
    catalog: Catalog,
) -> str:
    if extra is None:
        return f"{count} x {box.id}: {box.unit} is not sold by itself."
    each = "each " if count > 1 else ""
    head = f"{count} x {box.id}: {each}costs {_money(abs(extra), catalog)} {'more' if extra >= 0 else 'less'} than"
    head += " the base unit"
    if used is None or saved is None:
        return f"{head}; of its contents that are used {', '.join(unsold)} can't be bought by itself."
    worth = f"the contents that are used would cost {_money(used, catalog)} by themselves"
    result = f"{_money(abs(saved), catalog)} {'saved' if saved > 0 else 'more'}" if saved else "the same"
    return f"{head}; {worth}: {result}."


def _money(minor: int, catalog: Catalog) -> str:
    return with_code(minor, catalog.prices.decimals, catalog.prices.currency)


# --- why base units win -------------------------------------------------------------------------------


def passed_over(answer: Answer, sold: Sold, catalog: Catalog) -> Iterator[str]:
    """For each base unit of an order, what its most useful bundle would have cost and replaced, in a sentence."""
    for name, (count, loose) in sorted(_base_units(answer, catalog).items()):
        base = catalog.get(name, Box)
        best: tuple[int, str, int, int] | None = None
        for box in catalog.boxes_of[base.unit]:
            if not is_bundle(box) or box.id not in sold:
                continue
            extra = ((catalog.price_minor(box.id) or 0) - (catalog.price_minor(name) or 0)) * count
            inside: Counter[str] = Counter()
            for content in box.contents:
                inside[content.part] += content.count * count
            worth = sum(n * (catalog.price_minor(part) or 0) for part, n in (inside & loose).items())
            found = (extra - worth, box.id, extra, worth)
            best = found if best is None or found < best else best
        if best is not None:
            _, bundle, extra, worth = best
            more = f"costs {_money(abs(extra), catalog)} {'more' if extra >= 0 else 'less'}"
            instead = f"in {bundle} {more} than base units" if count > 1 else f"as {bundle} it {more}"
            bought = f"of its contents these stacks buy by themselves what costs {_money(worth, catalog)}"
            yield f"{count} x {name}: {instead}; {bought}."
        else:
            yield f"{count} x {name}: no bundle of {base.unit} is to be had."


def _base_units(answer: Answer, catalog: Catalog) -> dict[str, tuple[int, Counter[str]]]:
    """Base units by part number: how many, and what is bought loose in the stacks that have them."""
    found: dict[str, tuple[int, Counter[str]]] = {}
    for stack in answer.stacks:
        boxes = Counter(unit.box for unit in stack.units)
        for name, count in boxes.items():
            box = catalog.by_id[name]
            if isinstance(box, Box) and not is_bundle(box):
                before, loose = found.get(name, (0, Counter()))
                found[name] = (before + count * stack.copies, loose + _loose(stack))
    return found


def _loose(stack: StackAnswer) -> Counter[str]:
    return Counter({line.part: line.quantity * stack.copies for line in stack.bill if line.group != "units"})
