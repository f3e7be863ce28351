"""What is shown of a build that was solved besides the answer: only after every check of it."""

from __future__ import annotations

from dataclasses import asdict

from configurator import bill
from configurator.answer_refusal import Given
from configurator.build import Build
from configurator.catalog import Catalog
from configurator.conflicts.refused import encodable
from configurator.rule import Breach, Rule
from configurator.setting import Ask, Statement
from configurator.solved import Solved
from configurator.verify import CheckFailed, verify


def check(build: Build, solved: Solved, ask: Ask, catalog: Catalog, rules: tuple[Rule, ...]) -> None:
    """Every rule's check of a build, and that its bill comes to the price found."""
    breaches = list(verify(build, ask, catalog, rules))
    total_minor = 0 if breaches else bill.total_minor(bill.lines(bill.bought(build), catalog))
    if not breaches and total_minor != solved.price_minor:
        text = f"the bill comes to {total_minor}, the price found is {solved.price_minor}"
        breaches.append(("bill.total", Breach(text)))
    if breaches:
        raise CheckFailed(ask, breaches, build)


def given_of(statement: Statement) -> Given:
    """A statement as answers show it."""
    return Given(**{**asdict(statement), "where": encodable(statement.where)})
