"""The demand file of a change that would help: what `explain` offers for a stack that cannot be met."""

from __future__ import annotations

from collections.abc import Iterator

from configurator.answer import StackAnswer
from configurator.answer_refusal import CorrectionWords, LoweredWords
from configurator.errors import BadInput, Problem
from configurator.reading import Asked
from configurator.reading.changed import changed
from configurator.reading.words import did_you_mean, shown
from configurator.reading.yaml_source import parse
from configurator.render.demand import text_of


def labels(stack: StackAnswer) -> Iterator[tuple[str, CorrectionWords, LoweredWords | None]]:
    """Every change that is offered, by the label that it is shown under: 1, 1a, 2 …"""
    for one in stack.corrections:
        yield str(one.number), one, None
        yield from ((f"{one.number}{low.letter}", one, low) for low in one.lowered)


def nearest(asked: Asked, place: int, stack: StackAnswer, label: str) -> str:
    """The demand's file with one of the changes made; BadInput where no change has that label.

    place -- of the stack in the file, from 0.
    """
    found = next(((one, low) for name, one, low in labels(stack) if name == label), None)
    if found is None:
        known = [name for name, *_ in labels(stack)]
        if not known:
            hint = "the stack can be met as it is asked" if stack.build else "nothing was found that would help"
        else:
            hint = did_you_mean(label, known, f"write one of {', '.join(known)}")
        text = f"{shown(label)} is no change that is offered for {shown(stack.name)}"
        raise BadInput([Problem("--nearest", None, None, "", label, text, hint)])
    one, low = found
    aside = [given.key for given in one.aside if low is None or given.key != low.statement.key]
    eased = {} if low is None else {low.statement.key: (low.field, low.works)}
    assert asked.source is not None
    data = changed(parse(asked.source.name, asked.source.text).data, place, aside, eased)
    if not data["stacks"]:
        text, hint = "with this change nothing is left to order", "take another change"
        raise BadInput([Problem("--nearest", None, None, "", label, text, hint)])
    return "".join(f"# {line}\n" for line in _heading(label, one, low, stack)) + text_of(data)


def _heading(label: str, one: CorrectionWords, low: LoweredWords | None, stack: StackAnswer) -> Iterator[str]:
    yield f"Change {label} for {stack.name}, which cannot be met as it was asked:"
    for given in one.aside:
        if low is None or given.key != low.statement.key:
            yield f"without {given.text}"
    if low is not None:
        yield f"{low.field} {low.works} instead of {low.said} in {low.statement.text}"
