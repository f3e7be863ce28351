"""Whether what an answer shows is what its builds, its demand and the catalog come to: made anew and compared."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

from configurator.answer import Answer, StackAnswer
from configurator.assemble import order_answer
from configurator.catalog import Catalog
from configurator.conflicts.refused import given
from configurator.life.answering import found_of, with_life
from configurator.reading import Asked
from configurator.reading.line import LINE
from configurator.reading.words import key_of
from configurator.review.audit import audit_of
from configurator.rule import Rule
from configurator.setting import Ask
from configurator.solved import Solved, SolvedOrder

MOST_TOLD = 20
LEFT_OUT = {"schema", "tool_version", "inputs", "demand", "waivers", "notes", "assumptions", "name", "demonstration"}
"""What does not come of builds, or is compared by its hash.  A stack's name is compared with the demand's."""
FOUND = {"effort", "conflicts", "corrections", "every_reason", "reasons"}  # what only a search finds
APART = {"statements"}  # told by what they say, wherever it stands


def shown_otherwise(answer: Answer, asked: Asked, catalog: Catalog, rules: tuple[Rule, ...]) -> Iterator[str]:
    """Each value that is shown otherwise than it comes out."""
    stacks = [[one for one in answer.stacks if one.name == ask.stack.name] for ask in asked.asks]
    order = audit_of(answer).order
    solved = SolvedOrder(
        stacks=tuple(
            tuple((one.copies, Solved(one.status, one.price_minor, one.bound_minor, one.build)) for one in several)
            for several in stacks
        ),
        order=order if order.stacks else None,
        price_minor=answer.total_minor,
        bound_minor=answer.bound_minor,
        status=answer.status,
        problem=answer.problem or "",
    )
    again = order_answer(asked, solved, catalog, rules, waivers=answer.waivers)
    again = with_life(again, asked, catalog, answer.objective, found_of(answer))
    told = list(_unlike((), answer.model_dump(mode="json"), again.model_dump(mode="json")))
    # a line assumes more than the file that it stands for
    told += [f"assumed, and not shown: {one.text}" for one in again.assumptions if one not in answer.assumptions]
    asks = {ask.stack.name: ask for ask in asked.asks}
    line = any((one.role, one.name) == ("demand", LINE) for one in answer.inputs)
    for stack in answer.stacks:
        told += _statements(stack, next((one for one in again.stacks if one.name == stack.name), None), line=line)
        if stack.name in asks:
            told += [*_reasons(stack, asks[stack.name], rules), *_set_aside(stack, asks[stack.name])]
    proved = answer.problem is None and answer.total_minor is not None and answer.total_minor == answer.bound_minor
    if answer.objective == "life":
        proved = again.life is not None and again.life.proved == "cheapest to own"
    cheapest = proved and all(one.status == "cheapest" for one in answer.stacks)
    if cheapest != (answer.status == "cheapest"):
        yield f'status: "{answer.status}" is shown, and the order is {"" if cheapest else "not "}proved cheapest'
    yield from told[:MOST_TOLD]
    if len(told) > MOST_TOLD:
        yield f"and {len(told) - MOST_TOLD} more"


def _statements(stack: StackAnswer, again: StackAnswer | None, *, line: bool) -> Iterator[str]:
    """Statements of a stack that nobody made, or that are left out; a line assumes more than its file."""
    comes_out = {(one.key, one.text, one.ref, one.assumed) for one in again.statements} if again is not None else set()
    for one in stack.statements:
        said = (one.key, one.text, one.ref, one.assumed)
        if said not in comes_out and not (line and one.assumed):
            yield f"{stack.name}: the demand has no such statement: {one.text}"
        comes_out.discard(said)
    for _, text, _, _ in sorted(comes_out, key=str):
        yield f"{stack.name}: a statement is not shown: {text}"


def _reasons(stack: StackAnswer, ask: Ask, rules: tuple[Rule, ...]) -> Iterator[str]:
    """Reasons of lines that are no rule's, or name what nobody said; which rules ask for a part only a search finds."""
    sentences = {rule.id: rule.sentence for rule in rules}
    for line in stack.bill:
        for why in line.reasons:
            if sentences.get(why.rule) != why.text:
                yield f"{stack.name}: {line.part}: no rule {why.rule} says this: {why.text}"
            said = None if why.statement is None else given(why.statement, ask)
            if (why.said, why.ref) != ((None, None) if said is None else (said.text, said.ref)):
                yield f"{stack.name}: {line.part}: the demand has no such statement: {why.said or why.statement}"


def _set_aside(stack: StackAnswer, ask: Ask) -> Iterator[str]:
    """Statements of changes that would help that nobody made; what the changes cost only a search finds."""
    for correction in stack.corrections:
        lowered = (one.statement for one in correction.lowered)
        for one in (*correction.aside, *lowered, *(each for other in correction.alike for each in other)):
            said = given(one.key, ask)
            if (one.text, one.ref, one.assumed) != (said.text, said.ref, said.assumed):
                yield f"{stack.name}: the demand has no such statement: {one.text}"


def _unlike(path: tuple[str | int, ...], shown: Any, comes_out: Any) -> Iterator[str]:
    if isinstance(shown, dict) and isinstance(comes_out, dict):
        for key in shown:
            if key not in FOUND | APART and not (key in LEFT_OUT and len(path) < 2):
                yield from _unlike((*path, key), shown[key], comes_out.get(key))
    elif isinstance(shown, list) and isinstance(comes_out, list):
        for place, (one, other) in enumerate(zip_longest(shown, comes_out)):
            yield from _unlike((*path, place), one, other)
    elif shown != comes_out:
        yield f"{key_of(path)}: {_words(shown)} is shown, {_words(comes_out)} comes out"


def _words(value: Any) -> str:
    if isinstance(value, dict | list):
        return "something"
    return "nothing" if value is None else str(value)
