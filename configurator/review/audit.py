"""A small record of an answer that a reviewer can check again without the solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date
from hashlib import sha256
from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from configurator.answer import Answer
from configurator.answer_proof import InputFile, RuleBook, Waived
from configurator.answer_refusal import ConflictWords
from configurator.build import Bought, Build, Copies, Order, SpareParts
from configurator.fields import Model
from configurator.life.result import StackLife
from configurator.rule import Rule
from configurator.solved import Status

AUDIT_VERSION: Literal["1.1"] = "1.1"


class AuditLine(Model):
    """One line of the order."""

    part: str  # part number
    quantity: int  # to order
    unit_price_minor: int  # of one, after its discount
    list_price_minor: int | None = None  # of one, before its discount; none: no discounts were in force
    amount_minor: int  # quantity times price


class AuditStack(Model):
    """One stack, or so many copies built alike."""

    name: str  # as the demand calls it
    copies: int  # how many are built like it
    status: Status  # what is proved
    price_minor: int | None  # of one; none: no build
    bound_minor: int | None  # no valid build costs less; none: not known
    life: StackLife | None = None  # what it costs over the years; none: no build, or no years in the demand
    build: Build | None  # as the checks read it; none: no build
    conflicts: tuple[ConflictWords, ...]  # why it cannot be met


class Audit(Model):
    """The record of one answer."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True, serialize_by_alias=True)

    audit_version: Annotated[Literal["1.1"], Field(alias="audit")] = AUDIT_VERSION  # of this format
    tool_version: str  # that made the answer
    order_date: date  # day on which prices were taken
    currency: str  # three letters of ISO 4217
    decimals: int  # of the currency, by ISO 4217
    inputs: tuple[InputFile, ...]  # files that it was made from
    demand: str | None  # text of the demand's file; none: it was not read from one
    book: RuleBook  # rules that held
    stacks: tuple[AuditStack, ...]  # in the demand's order
    spares: tuple[SpareParts, ...]  # parts for the shelf
    lines: tuple[AuditLine, ...]  # of the whole order
    total_minor: int | None  # of the whole order; none: some stack has no build
    waivers: tuple[Waived, ...]  # breaches that a reviewer accepts

    @property
    def order(self) -> Order:
        """What is ordered at once, as the checks read it."""
        quantities: Counter[str] = Counter()
        for line in self.lines:
            quantities[line.part] += line.quantity
        return Order(
            stacks=tuple(Copies(build=one.build, copies=one.copies) for one in self.stacks if one.build is not None),
            spares=self.spares,
            ordered=tuple(Bought(part=part, count=count) for part, count in sorted(quantities.items())),
        )


def audit_of(answer: Answer) -> Audit:
    """The record of an answer."""
    return Audit(
        tool_version=answer.tool_version,
        order_date=answer.order_date,
        currency=answer.currency,
        decimals=answer.decimals,
        inputs=answer.inputs,
        demand=answer.demand,
        book=answer.proof.book,
        stacks=tuple(
            AuditStack(**{name: getattr(stack, name) for name in AuditStack.model_fields}) for stack in answer.stacks
        ),
        spares=answer.spares,
        lines=tuple(
            AuditLine(**{name: getattr(line, name) for name in AuditLine.model_fields}) for line in answer.bill
        ),
        total_minor=answer.total_minor,
        waivers=answer.waivers,
    )


def book_of(rules: Iterable[Rule]) -> RuleBook:
    """How many rules, and a hash over what they say."""
    said = [f"{rule.id}\t{rule.sentence}\n" for rule in rules]
    return RuleBook(rules=len(said), sha256=sha256("".join(said).encode()).hexdigest())
