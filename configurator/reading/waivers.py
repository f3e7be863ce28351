"""A reviewer's waivers: which breach of which rule by which stack is accepted, by whom and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path as FilePath

from pydantic import Field

from configurator.answer_proof import Waived
from configurator.errors import BadInput, Problem
from configurator.fields import Id, Model, Text
from configurator.reading.sheet import Sheet
from configurator.reading.validate import validated
from configurator.reading.words import did_you_mean, listed, shown
from configurator.reading.yaml_source import DEMAND_LIMIT, read_yaml


class Waiver(Model):
    """One breach that is accepted."""

    rule: Id  # its id: racking.depth …
    stack: Text  # name of the stack
    by: Text  # who accepts it
    reason: Text  # why
    until: date | None = None  # last day on which it holds; none: for good


class WaiverFile(Model):
    """A file of waivers."""

    waivers: tuple[Waiver, ...] = Field(min_length=1)  # what is accepted


def load_waivers(file: FilePath, rules: Iterable[str], stacks: Iterable[str], on: date) -> tuple[Waived, ...]:
    """The waivers of a file; BadInput tells everything that is wrong with it.

    rules, stacks -- ids and names that there are; on -- the day, on which a waiver may have run out.
    """
    sheet = read_yaml(file, DEMAND_LIMIT)
    found = validated(sheet, WaiverFile)
    problems = list(_slips(sheet, found, list(rules), list(stacks), on))
    if problems:
        raise BadInput(problems)
    return tuple(Waived(**one.model_dump()) for one in found.waivers)


def _slips(sheet: Sheet, found: WaiverFile, rules: list[str], stacks: list[str], on: date) -> Iterator[Problem]:
    seen: dict[tuple[str, str], int] = {}
    for place, one in enumerate(found.waivers):
        at = ("waivers", place)
        if one.rule not in rules:
            hint = did_you_mean(one.rule, rules, "`configurator rules` lists them all")
            yield sheet.problem((*at, "rule"), f"there is no rule {shown(one.rule)}", hint)
        if one.stack not in stacks:
            hint = did_you_mean(one.stack, stacks, f"stacks here: {listed(stacks)}")
            yield sheet.problem((*at, "stack"), f"no stack is called {shown(one.stack)}", hint)
        for key in ("by", "reason"):
            if not getattr(one, key).strip():
                text = "nothing is stated but blanks"
                yield sheet.problem((*at, key), text, "write who accepts it" if key == "by" else "write why")
        if one.until is not None and one.until < on:
            text = f"this waiver ran out on {one.until}, before {on}"
            yield sheet.problem((*at, "until"), text, "have it renewed, or leave it out")
        first = seen.setdefault((one.rule, one.stack), place)
        if first != place:
            text = (
                f"{shown(one.rule)} is waived twice for {shown(one.stack)}, first in {sheet.where(('waivers', first))}"
            )
            yield sheet.problem(at, text, "keep one of the two")
