"""An answer checked again: its rules, prices, sums and figures, in plain Python and without the solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from hashlib import sha256

from configurator import bill
from configurator.answer import Answer
from configurator.answer_proof import Waived
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.discounted import list_value_minor
from configurator.life.rechecking import recheck_life
from configurator.money import with_code
from configurator.reading import Asked
from configurator.review.audit import Audit, AuditStack, book_of
from configurator.review.reassembled import shown_otherwise
from configurator.review.recheck import recheck
from configurator.rule import Breach, Rule
from configurator.setting import Ask

BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong, or was until a reviewer accepted it."""

    stack: str  # name; empty: the order as a whole
    what: str  # id of a rule; build, price, quantity, demand, status, figures, shown
    text: str
    waived: Waived | None = None


@dataclass(frozen=True)
class Review:
    """What a check of an answer found."""

    findings: tuple[Finding, ...]
    looked: tuple[str, ...]  # ids of the rules that looked
    not_applicable: tuple[str, ...]
    stacks: int  # builds that were looked at
    conflicts: int  # whose figures were computed anew
    differs: tuple[str, ...]  # what is not as it was when the answer was made
    unused: tuple[Waived, ...]  # waivers of nothing
    named: tuple[Waived, ...] = ()  # waivers that the answer names: shown, and not honoured by themselves

    @property
    def passed(self) -> bool:
        """Whether nothing is wrong that nobody accepted."""
        return all(one.waived is not None for one in self.findings)


def review(
    audit: Audit,
    asked: Asked,
    catalog: Catalog,
    rules: tuple[Rule, ...],
    waivers: Iterable[Waived] = (),
    answer: Answer | None = None,
) -> Review:
    """Everything that can be checked of an answer without solving it again.

    answer  -- that the audit is of: what it shows has to come out again, where its inputs are the same
    waivers -- of breaches of rules by stacks, from the reviewer's own file; an answer can't vouch for itself,
               so those that it names are shown only
    """
    catalog = at_its_prices(audit, catalog)
    accepted = {(one.rule, one.stack): one for one in waivers}
    ids = {rule.id for rule in rules}
    found = list(dict.fromkeys(_findings(audit, asked, catalog, rules)))
    differs = tuple(_differs(audit, asked, catalog, rules))
    if answer is not None and not differs:
        shown = partial(shown_otherwise, answer, asked, catalog, rules)
        found += [Finding("", "shown", text) for text in _guarded(shown)]
    told = tuple(replace(one, waived=accepted.get((one.what, one.stack))) if one.what in ids else one for one in found)
    used = {one.waived for one in told}
    looked = tuple(rule.id for rule in rules if rule.applies(catalog))
    return Review(
        findings=told,
        looked=looked,
        not_applicable=tuple(rule.id for rule in rules if rule.id not in set(looked)),
        stacks=sum(one.build is not None for one in audit.stacks),
        conflicts=sum(len(one.conflicts) for one in audit.stacks),
        differs=differs,
        unused=tuple(one for one in accepted.values() if one not in used),
        named=tuple(one for one in audit.waivers if one not in accepted.values()),
    )


def at_its_prices(audit: Audit, catalog: Catalog) -> Catalog:
    """The catalog with the discounts that the order earns by its own value; an order that lacks a stack earns none."""
    whole = all(stack.build is not None for stack in audit.stacks)
    return catalog.for_order_of(list_value_minor(audit.lines, catalog) if whole else 0)


def breaches(audit: Audit, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[Finding]:
    """What the rules find wrong with the builds and the order, and stacks that are not those that are asked for."""
    asks = {ask.stack.name: ask for ask in asked.asks}
    yield from _unlike(audit, asks)
    for stack in audit.stacks:
        ask, build = asks.get(stack.name), stack.build
        if ask is not None and build is not None:
            for rule in rules:
                yield from _seen(rule, stack.name, catalog, partial(rule.check, build, ask, catalog))
    if any(stack.build is not None for stack in audit.stacks):
        for rule in rules:
            yield from _seen(rule, "", catalog, partial(rule.check_order, audit.order, asked.order, catalog))


def _seen(rule: Rule, stack: str, catalog: Catalog, look: Callable[[], Iterable[Breach]]) -> Iterator[Finding]:
    """What a rule finds; a build from outside may name what no catalog has, and then it can't be looked at."""
    if not rule.applies(catalog):
        return
    try:
        for breach in look():
            at = f"unit {breach.unit}: " if breach.unit is not None else ""
            yield Finding(stack, rule.id, at + breach.text)
    except Exception as error:  # noqa: BLE001 -- whatever makes a check stumble is not a valid build
        yield Finding(stack, "build", f"{rule.id} can't look at it: {type(error).__name__} {error}".rstrip())


def _findings(audit: Audit, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[Finding]:
    asks = {ask.stack.name: ask for ask in asked.asks}
    if not text_is_its_file(audit):
        yield Finding("", "demand", "the demand in the answer is not the file whose hash the answer holds")
    yield from breaches(audit, asked, catalog, rules)
    for stack in audit.stacks:
        yield from _stated(stack)
        if stack.build is not None:
            yield from _names(stack.name, stack.build, catalog)
            yield from _priced(stack, catalog)
        ask = asks.get(stack.name)
        if ask is not None and stack.build is not None and stack.life is not None:
            again = partial(recheck_life, stack.life, stack.build, ask, asked, catalog, rules)
            yield from (Finding(stack.name, "life", text) for text in _guarded(again))
        for conflict in stack.conflicts:
            if ask is None:
                break
            for text in _guarded(partial(recheck, conflict, ask, catalog, rules)):
                yield Finding(stack.name, "figures", text)
    yield from _quantities(audit, catalog)
    yield from _sums(audit, catalog)


def _guarded(look: Callable[[], Iterable[str]]) -> Iterator[str]:
    """What is wrong; figures from outside may be of nothing that can be computed."""
    try:
        yield from look()
    except Exception as error:  # noqa: BLE001 -- see `_seen`
        yield f"it can't be computed anew: {type(error).__name__} {error}".rstrip()


def text_is_its_file(audit: Audit) -> bool:
    """Whether the demand in the answer, if there is one, is the file whose hash the answer holds."""
    if audit.demand is None:
        return True
    made = {one.sha256 for one in audit.inputs if one.role == "demand"}
    return bool(made & {sha256((mark + audit.demand).encode()).hexdigest() for mark in ("", BYTE_ORDER_MARK)})


def _stated(stack: AuditStack) -> Iterator[Finding]:
    """Whether what is said of a stack fits together."""
    built = stack.status in ("cheapest", "best found")
    if built != (stack.build is not None):
        text = "it has no build" if built else "it has a build"
        yield Finding(stack.name, "status", f'it is called "{stack.status}", and {text}')
    if stack.build is None and stack.price_minor is not None:
        yield Finding(stack.name, "price", "it has a price and no build")
    if stack.build is not None and stack.build.stack != stack.name:
        yield Finding(stack.name, "demand", f"its build is called {stack.build.stack}")
    if stack.copies < 1:
        yield Finding(stack.name, "demand", f"{stack.copies} copies of it")


def _names(stack: str, build: Build, catalog: Catalog) -> Iterator[Finding]:
    """Parts and unit types of a build that the catalog does not have."""
    types = {unit.unit_type for unit in build.units}
    for name in sorted((types - set(catalog.unit_types)) | (set(bill.bought(build)) - set(catalog.by_id))):
        yield Finding(stack, "quantity", f"the catalog has no {name}")


def _unlike(audit: Audit, asks: dict[str, Ask]) -> Iterator[Finding]:
    """Stacks that the demand does not have, or in another number."""
    copies: Counter[str] = Counter()
    for stack in audit.stacks:
        copies[stack.name] += stack.copies
    for name, count in copies.items():
        if name not in asks:
            yield Finding(name, "demand", "the demand has no such stack")
        elif count != asks[name].stack.copies:
            yield Finding(name, "demand", f"{count} of it, {asks[name].stack.copies} asked")
    for name in asks:
        if name not in copies:
            yield Finding(name, "demand", "the demand asks for it, and the answer says nothing of it")


def _priced(stack: AuditStack, catalog: Catalog) -> Iterator[Finding]:
    """Whether a stack's parts come to its price."""
    assert stack.build is not None
    counts = bill.bought(stack.build)
    unpriced = [part for part in counts if catalog.price_minor(part) is None]
    if unpriced:
        yield Finding(stack.name, "price", f"no price on this list: {', '.join(sorted(unpriced))}")
        return
    total = sum(count * (catalog.price_minor(part) or 0) for part, count in counts.items())
    if total != stack.price_minor:
        prices = catalog.prices
        stated = "none" if stack.price_minor is None else with_code(stack.price_minor, prices.decimals, prices.currency)
        yield Finding(
            stack.name,
            "price",
            f"its parts come to {with_code(total, prices.decimals, prices.currency)}, stated {stated}",
        )
    bound, price = stack.bound_minor, stack.price_minor
    if bound is not None and price is not None and bound > price:
        yield Finding(stack.name, "price", "no build is said to cost less than its bound, and it does")
    if stack.life is not None and stack.life.bound_minor is not None:  # it is cheapest to own
        bound, price = stack.life.bound_minor, stack.life.cost.total_minor
    if stack.status == "cheapest" and bound != price:
        yield Finding(stack.name, "price", "it is called cheapest, and its bound is not its price")


def _quantities(audit: Audit, catalog: Catalog) -> Iterator[Finding]:
    """Whether as much is ordered as the builds and the shelf need, in whole packs and least quantities."""
    needed: Counter[str] = Counter()
    for stack in audit.stacks:
        for part, count in bill.bought(stack.build).items() if stack.build is not None else ():
            needed[part] += count * stack.copies
    for spare in audit.spares:
        needed[spare.part] += spare.count
    ordered: Counter[str] = Counter()
    for line in audit.lines:
        ordered[line.part] += line.quantity
        if line.quantity < 1:
            yield Finding("", "quantity", f"{line.quantity} x {line.part} on one line")
    for part in sorted(set(needed) | set(ordered)):
        row = catalog.prices.rows.get(part)
        pack, least = (1, 1) if row is None else (row.pack_size, row.least_quantity)
        asked = -(-max(needed[part], least) // pack) * pack if needed[part] else 0
        if ordered[part] != asked:
            packs = f", sold in packs of {pack} and no fewer than {least}" if pack > 1 or least > 1 else ""
            text = f"{ordered[part]} x {part} ordered, {needed[part]} needed{packs}"
            yield Finding("", "quantity", text)


def _sums(audit: Audit, catalog: Catalog) -> Iterator[Finding]:
    """Whether each line costs what the list says, and the lines come to the total."""
    prices = catalog.prices

    def money(minor: int) -> str:
        return with_code(minor, prices.decimals, prices.currency)

    if audit.currency != prices.currency:
        yield Finding("", "price", f"the answer is in {audit.currency}, this list in {prices.currency}")
        return
    for line in audit.lines:
        listed = catalog.price_minor(line.part)
        if listed is None:
            yield Finding("", "price", f"{line.part} has no price on this list")
        elif listed != line.unit_price_minor:
            yield Finding("", "price", f"{line.part} costs {money(listed)}, stated {money(line.unit_price_minor)}")
        if line.quantity * line.unit_price_minor != line.amount_minor:
            text = f"{line.quantity} x {line.part} come to {money(line.quantity * line.unit_price_minor)}"
            yield Finding("", "price", f"{text}, stated {money(line.amount_minor)}")
    total = sum(line.amount_minor for line in audit.lines)
    if audit.total_minor is not None and total != audit.total_minor:
        yield Finding("", "price", f"all lines come to {money(total)}, stated {money(audit.total_minor)}")
    if audit.total_minor is not None and any(stack.build is None for stack in audit.stacks):
        yield Finding("", "price", "a total is stated, and some stack has no build")
    if audit.decimals != prices.decimals:
        yield Finding("", "price", f"{audit.decimals} decimals stated, {audit.currency} has {prices.decimals}")


def _differs(audit: Audit, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[str]:
    """Inputs that are not those that the answer was made from."""
    then = {(one.role, one.name): one.sha256 for one in audit.inputs}
    now = {("catalog", one.name): one.sha256 for one in catalog.files}
    for (role, name), digest in then.items():
        if role == "catalog" and now.get((role, name)) != digest:
            yield f"catalog file {name} is {'gone' if (role, name) not in now else 'not the same'}"
    known = [name for role, name in then if role == "catalog"]
    for _, name in now:
        if known and name not in known:
            yield f"catalog file {name} is new"
    made = [digest for (role, _), digest in then.items() if role == "prices"]
    if made and catalog.prices.sha256 not in made:
        yield "the price list is not the same"
    off = {digest for (role, _), digest in then.items() if role == "discounts"}
    discounts = catalog.prices.discounts
    if off != ({discounts.sha256} if discounts is not None else set()):
        yield _other_discounts(made=bool(off), named=discounts is not None)
    said = [digest for (role, _), digest in then.items() if role == "demand"]
    if said and asked.source is not None and asked.source.sha256 not in said and asked.source.text != audit.demand:
        yield "the demand is not the same"
    roles = {one.role for one in audit.inputs}
    for role, words in (("catalog", "catalog"), ("prices", "price list")):
        if role not in roles:
            yield f"the answer does not say which {words} it was made from"
    if book_of(rules) != audit.book:
        yield f"the rule book is not the same: {audit.book.rules} rules then, {len(rules)} now"


def _other_discounts(*, made: bool, named: bool) -> str:
    """In words."""
    if made and named:
        return "the discounts are not the same"
    if made:
        return "the answer was made with discounts, and none are named: name their file with --discounts"
    return "the answer was made without discounts"
