"""Why a stack cannot be met and what would help, in sections that every text form shares."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from configurator import messages
from configurator.answer import Answer, StackAnswer
from configurator.answer_refusal import ConflictWords, CorrectionWords, Given, LoweredWords
from configurator.money import with_code


@dataclass(frozen=True)
class Section:
    """A heading, labelled rows and sentences below them."""

    heading: str
    rows: tuple[tuple[str, str], ...]
    texts: tuple[str, ...]


def sections(stack: StackAnswer, answer: Answer) -> Iterator[Section]:
    """Conflicts, fewest statements first, then what would help, cheapest first."""
    if not stack.conflicts:
        yield Section("", (), (messages.NO_CONFLICT,))
    for place, conflict in enumerate(stack.conflicts, start=1):
        heading = messages.conflict_heading(place, len(stack.conflicts), smallest=conflict.smallest)
        yield Section(heading, tuple(_of_conflict(conflict)), (conflict.text, *_alike(conflict)))
    if stack.corrections:
        rows = [row for one in stack.corrections for row in _of_correction(one, answer)]
        texts = (messages.WRITE_NEAREST, *(() if stack.every_reason else (messages.MORE_REASONS,)))
        yield Section(messages.CORRECTIONS, tuple(rows), texts)


def said(given: Given) -> str:
    """A statement with its reference and place."""
    ref = f" [{given.ref}]" if given.ref else ""
    return given.text + ref + (f" ({given.where})" if given.where else "")


def _of_conflict(conflict: ConflictWords) -> Iterator[tuple[str, str]]:
    for given in conflict.statements:
        yield "assumed" if given.assumed else "asked", said(given)
    for rule in conflict.rules:
        yield "rule", f"{rule.sentence} ({rule.id})"


def _alike(conflict: ConflictWords) -> tuple[str, ...]:
    """The same conflict of other statements."""
    if not conflict.alike:
        return ()
    others = "; ".join(" and ".join(said(given) for given in other) for other in conflict.alike)
    return (f"The same holds of: {others}",)


def _of_correction(one: CorrectionWords, answer: Answer) -> Iterator[tuple[str, str]]:
    """Giving up its statements, then moving a figure of one of them instead."""
    price = _money(one.price_minor, one.more_minor, answer, nothing_left=one.nothing_left)
    yield f"{one.number}.", f"without {_named(one.aside)}: {price}"
    for low in one.lowered:
        price = _money(low.price_minor, low.more_minor, answer)
        yield f"{one.number}{low.letter}.", f"{_moved(low, one)} ({low.fails} can't be met): {price}"
    for other in one.alike:
        yield "", f"the same without {_named(other)}"


def _named(statements: Sequence[Given]) -> str:
    """Statements in short: where they stand is told with the conflicts."""
    return " and ".join(given.text + (f" [{given.ref}]" if given.ref else "") for given in statements)


def _moved(low: LoweredWords, one: CorrectionWords) -> str:
    where = "" if low.field == low.statement.key else f" in {_named([low.statement])}"
    with_rest = f"as {one.number}, but " if len(one.aside) > 1 else ""
    return f"{with_rest}{low.field} {low.works} instead of {low.said}{where}"


def _money(price_minor: int | None, more_minor: int | None, answer: Answer, *, nothing_left: bool = False) -> str:
    if price_minor is None:
        return "nothing is left to order" if nothing_left else "not decided in time"
    price = with_code(price_minor, answer.decimals, answer.currency)
    return price if not more_minor else f"{price}, {with_code(more_minor, answer.decimals, answer.currency)} more"
