"""An answer checked again: its rules, prices, sums and figures, in plain Python and without the solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from configurator import bill
from configurator.answer_proof import Waived
from configurator.audit import Audit, AuditStack, book_of
from configurator.catalog import Catalog
from configurator.money import with_code
from configurator.reading import Asked
from configurator.recheck import recheck
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.verify import verify, verify_order


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong, or was until a reviewer accepted it."""

    stack: str  # name; empty: the order as a whole
    what: str  # id of a rule; price, quantity, demand, figures
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

    @property
    def passed(self) -> bool:
        """Whether nothing is wrong that nobody accepted."""
        return all(one.waived is not None for one in self.findings)


def review(
    audit: Audit, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...], waivers: Iterable[Waived] = ()
) -> Review:
    """Everything that can be checked of an answer without solving it again."""
    accepted = {(one.rule, one.stack): one for one in (*audit.waivers, *waivers)}
    found = list(_findings(audit, asked, catalog, rules))
    told = tuple(replace(one, waived=accepted.get((one.what, one.stack))) for one in found)
    used = {one.waived for one in told}
    looked = tuple(rule.id for rule in rules if rule.applies(catalog))
    return Review(
        findings=told,
        looked=looked,
        not_applicable=tuple(rule.id for rule in rules if rule.id not in set(looked)),
        stacks=sum(one.build is not None for one in audit.stacks),
        conflicts=sum(len(one.conflicts) for one in audit.stacks),
        differs=tuple(_differs(audit, asked, catalog, rules)),
        unused=tuple(one for one in accepted.values() if one not in used),
    )


def _findings(audit: Audit, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[Finding]:
    asks = {ask.stack.name: ask for ask in asked.asks}
    yield from _unlike(audit, asks)
    for stack in audit.stacks:
        ask = asks.get(stack.name)
        if ask is None:
            continue
        if stack.build is not None:
            for rule, breach in verify(stack.build, ask, catalog, rules):
                at = f"unit {breach.unit}: " if breach.unit is not None else ""
                yield Finding(stack.name, rule, at + breach.text)
            yield from _priced(stack, catalog)
        for conflict in stack.conflicts:
            for text in recheck(conflict, ask, catalog, rules):
                yield Finding(stack.name, "figures", text)
    if any(stack.build is not None for stack in audit.stacks):
        for rule, breach in verify_order(audit.order, asked.order, catalog, rules):
            yield Finding("", rule, breach.text)
    yield from _sums(audit, catalog)


def _unlike(audit: Audit, asks: dict[str, Ask]) -> Iterator[Finding]:
    """Stacks that the demand does not have, or in another number."""
    copies: Counter[str] = Counter()
    for stack in audit.stacks:
        copies[stack.name] += stack.copies
    for name, count in copies.items():
        if name not in asks:
            yield Finding(name, "demand", "the demand has no such stack")
        elif count != asks[name].stack.copies:
            yield Finding(name, "demand", f"{count} stacks like it, {asks[name].stack.copies} asked")
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
    if stack.status == "cheapest" and stack.bound_minor != stack.price_minor:
        yield Finding(stack.name, "price", "it is called cheapest, and its bound is not its price")


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
    said = [digest for (role, _), digest in then.items() if role == "demand"]
    if said and asked.source is not None and asked.source.sha256 not in said and asked.source.text != audit.demand:
        yield "the demand is not the same"
    if book_of(rules) != audit.book:
        yield f"the rule book is not the same: {audit.book.rules} rules then, {len(rules)} now"
