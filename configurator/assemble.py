"""From what the engine solved to the answer that people see: one stack after the other, then the order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from importlib.metadata import PackageNotFoundError, version
from typing import Literal

from configurator import bill, messages
from configurator.answer import (
    AgreedOn,
    Answer,
    Assumption,
    BillLine,
    CatalogName,
    Effort,
    IncludedPart,
    ListName,
    StackAnswer,
    Why,
)
from configurator.answer_proof import Checks, InputFile, ProofOfAnswer, Waived
from configurator.answer_refusal import Given
from configurator.build import Order
from configurator.catalog import Catalog
from configurator.conflicts.refused import conflict_words, correction_words, encodable, given
from configurator.discounted import discounts_used
from configurator.engine.order_bill import order_lines, shares_minor
from configurator.facilities.closets import closets_of
from configurator.facilities.facility import facility_of
from configurator.facilities.whereabouts import along_of, links_of, unit_of, uplinks_of
from configurator.reading import Asked
from configurator.review.audit import book_of
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Reason, Solved, SolvedOrder


def tool_version() -> str:
    """The installed version; `0` of a tree that is not installed."""
    try:
        return version("configurator")
    except PackageNotFoundError:
        return "0"


def stack_answer(solved: Solved, ask: Ask, catalog: Catalog, rules: Iterable[Rule], copies: int) -> StackAnswer:
    """One stack for people, so many copies of it."""
    build = solved.build
    price_minor, bound_minor = solved.price_minor, solved.bound_minor
    counts = Counter[str]() if build is None else bill.bought(build)
    sentences = {rule.id: rule.sentence for rule in rules}
    return StackAnswer(
        name=ask.stack.name,
        copies=copies,
        status=solved.status,
        statements=tuple(given(key, ask) for key in ask.statements),
        price_minor=price_minor,
        bound_minor=bound_minor,
        gap_minor=None if price_minor is None or bound_minor is None else price_minor - bound_minor,
        share_minor=None,
        topology=None if build is None else build.topology,
        lacing=None if build is None else build.lacing,
        units=() if build is None else tuple(unit_of(unit, ask, catalog) for unit in build.units),
        links=() if build is None else links_of(build, catalog),
        along=() if build is None else along_of(build.along, ask),
        agreed=() if build is None else tuple(AgreedOn(**one.model_dump()) for one in build.agreed),
        uplinks=() if build is None else uplinks_of(build, ask, catalog),
        bill=tuple(_bill_line(line, solved.reasons, ask) for line in bill.lines(counts, catalog)),
        included=tuple(
            IncludedPart(part=one.part, description=one.description, quantity=one.quantity, box=one.box)
            for one in bill.contents(counts, catalog)
        ),
        facility=None if build is None else facility_of(build, ask, catalog),
        conflicts=tuple(conflict_words(one, ask, sentences) for one in solved.refusal.conflicts),
        corrections=correction_words(solved.refusal.corrections, ask),
        every_reason=solved.refusal.complete,
        build=build,
        effort=Effort(**asdict(solved.counters)),
    )


def _bill_line(line: bill.Line, reasons: Mapping[str, tuple[Reason, ...]], ask: Ask) -> BillLine:
    return BillLine(
        **asdict(line),
        amount_minor=line.amount_minor,
        reasons=tuple(_why(reason, ask) for reason in reasons.get(line.part, ())),
    )


def _why(reason: Reason, ask: Ask) -> Why:
    said = None if reason.statement is None else given(reason.statement, ask)
    return Why(
        rule=reason.rule,
        text=reason.text,
        statement=reason.statement,
        said=None if said is None else said.text,
        ref=None if said is None else said.ref,
    )


def order_answer(
    asked: Asked,
    solved: SolvedOrder,
    catalog: Catalog,
    rules: Iterable[Rule],
    *,
    notes: Iterable[str] = (),
    waivers: tuple[Waived, ...] = (),
    demonstration: bool = False,
) -> Answer:
    """The whole answer, stacks in the demand's order; copies that are built differently are told apart."""
    prices, book = catalog.prices, tuple(rules)
    every = [
        (replace(ask, stack=ask.stack.model_copy(update={"copies": copies})), one)
        for ask, found in zip(asked.asks, solved.stacks, strict=True)
        for copies, one in found
    ]
    stacks = [stack_answer(one, ask, catalog, book, ask.stack.copies) for ask, one in every]
    lines = order_lines(solved.order or Order(stacks=()), stacks, asked.statements, catalog)
    shares = shares_minor(lines, stacks)
    complete = all(stack.build is not None for stack in stacks) and not solved.problem
    return Answer(
        tool_version=tool_version(),
        customer=asked.demand.customer,
        project=asked.demand.project,
        currency=prices.currency,
        decimals=prices.decimals,
        total_minor=solved.price_minor if complete else None,
        discounts=discounts_used(lines, catalog),
        bound_minor=solved.bound_minor if complete else None,
        problem=solved.problem or None,
        status=solved.status,
        price_list=ListName(name=encodable(prices.name), issued=prices.issued, valid_until=prices.valid_until),
        catalog=CatalogName(name=encodable(catalog.name), maker=catalog.parts.maker, demonstration=demonstration),
        order_date=asked.asks[0].setting.order_date,
        inputs=_inputs(asked, catalog),
        demand=asked.source.text if asked.source is not None else None,
        proof=_proof(solved, stacks, catalog, book, complete=complete),
        waivers=waivers,
        assumptions=tuple(Assumption(**asdict(one)) for one in asked.assumptions),
        not_included=messages.NOT_INCLUDED,
        notes=tuple(notes),
        bill=lines,
        spares=solved.order.spares if solved.order is not None else (),
        stacks=tuple(
            stack.model_copy(
                update={
                    "share_minor": None if stack.build is None else share,
                    "statements": (*stack.statements, *_details(stack, asked)),
                }
            )
            for stack, share in zip(stacks, shares, strict=True)
        ),
        closets=closets_of([(ask, one.build) for ask, one in every], catalog),
    )


def _inputs(asked: Asked, catalog: Catalog) -> tuple[InputFile, ...]:
    """The files that an answer is made from."""
    demand, prices = asked.source, catalog.prices
    every = [("demand", demand.name, demand.sha256)] if demand is not None else []
    every += [("catalog", one.name, one.sha256) for one in catalog.files]
    every += [("prices", prices.name, prices.sha256)] if prices.sha256 else []
    discounts = prices.discounts
    every += [("discounts", discounts.name, discounts.sha256)] if discounts is not None else []
    return tuple(InputFile.model_validate({"role": r, "name": encodable(name), "sha256": h}) for r, name, h in every)


def _details(stack: StackAnswer, asked: Asked) -> Iterator[Given]:
    """What was assumed of a stack's ports, devices and the like: not a statement of its own."""
    keys = {one.key for one in stack.statements}
    for one in asked.assumptions:
        if stack.name in one.stacks and one.key not in keys:
            yield Given(key=one.key, text=one.text, where="", ref=None, assumed=True)


def _proof(
    solved: SolvedOrder,
    stacks: Sequence[StackAnswer],
    catalog: Catalog,
    rules: tuple[Rule, ...],
    *,
    complete: bool,
) -> ProofOfAnswer:
    """What was proved; the checks have passed, or there would be no answer."""
    looked = [rule.id for rule in rules if rule.applies(catalog)]
    checks = Checks(passed=tuple(looked), not_applicable=tuple(rule.id for rule in rules if rule.id not in set(looked)))
    kind: Literal["cheapest", "best found", "none"] = "none"
    if complete:
        kind = "cheapest" if solved.price_minor == solved.bound_minor else "best found"
    gap = None
    if complete and solved.price_minor is not None and solved.bound_minor is not None:
        gap = solved.price_minor - solved.bound_minor
    how = messages.proved(
        kind,
        several=sum(one.copies for one in stacks) > 1 or (solved.order is not None and bool(solved.order.spares)),
        tiers=catalog.prices.discounts is not None and bool(catalog.prices.discounts.thresholds_minor),
        refused=[one.name for one in stacks if one.status == "cannot be met"],
        late=[one.name for one in stacks if one.status == "not decided"],
    )
    return ProofOfAnswer(price=kind, gap_minor=gap, how=how, checks=checks, book=book_of(rules))
