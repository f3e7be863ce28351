"""What an answer was made from, what was proved of it and how: part of the answer, and of an audit."""

from __future__ import annotations

from datetime import date
from typing import Literal

from configurator.fields import Model


class InputFile(Model):
    """A file that the answer was made from."""

    role: Literal["demand", "catalog", "prices", "discounts"]  # what it served as
    name: str  # of the file
    sha256: str  # of its bytes


class RuleBook(Model):
    """The rules that held."""

    rules: int  # how many
    sha256: str  # over their ids and sentences, each on a line


class Waived(Model):
    """A reviewer's acceptance of a breach of one rule by one stack."""

    rule: str  # its id
    stack: str  # name of the stack
    by: str  # who accepts it
    reason: str  # why
    until: date | None  # last day on which it holds; none: for good


class Checks(Model):
    """The independent checks, each a rule's look at the finished builds without the solver."""

    passed: tuple[str, ...]  # ids of the rules that looked and found nothing
    not_applicable: tuple[str, ...]  # ids of the rules for which the catalog has no figures


class ProofOfAnswer(Model):
    """What was proved, and how."""

    price: Literal["cheapest", "best found", "none"]  # no order costs less; it may; there is no order
    gap_minor: int | None  # price less what no order can cost less than; none: there is no order
    how: str  # in words
    checks: Checks  # of the finished builds
    book: RuleBook  # that held
