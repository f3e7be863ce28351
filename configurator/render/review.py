"""What a check of an answer found, as text, JSON and Markdown."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict

from configurator.answer_proof import Waived
from configurator.messages import counted
from configurator.render.blocks import bullets
from configurator.render.style import PLAIN, Style, escaped
from configurator.reviewing import Finding, Review

NOT_AGAIN = "That no build costs less was not proved again: the solver takes no part in this check."


def text(review: Review, style: Style = PLAIN) -> str:
    """For a terminal."""
    return "\n\n".join(style.section(head, bullets(lines) if lines else "") for head, lines in _blocks(review)) + "\n"


def as_markdown(review: Review) -> str:
    """Markdown, with everything from outside escaped."""
    out = []
    for head, lines in _blocks(review):
        out.append("\n".join([f"**{escaped(head)}**", *([""] if lines else []), *(f"- {escaped(x)}" for x in lines)]))
    return "\n\n".join(out) + "\n"


def as_json(review: Review) -> str:
    """One object."""
    data = {
        "passed": review.passed,
        "findings": [_finding(one) for one in review.findings],
        "rules_looked": list(review.looked),
        "rules_not_applicable": list(review.not_applicable),
        "builds": review.stacks,
        "conflicts": review.conflicts,
        "differs": list(review.differs),
        "unused_waivers": [one.model_dump(mode="json") for one in review.unused],
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _finding(one: Finding) -> dict[str, object]:
    waived = None if one.waived is None else one.waived.model_dump(mode="json")
    return {**asdict(one), "waived": waived}


def _blocks(review: Review) -> Iterator[tuple[str, list[str]]]:
    open_ = [one for one in review.findings if one.waived is None]
    accepted = [one for one in review.findings if one.waived is not None]
    verdict = "Passed." if review.passed else f"Not passed: {counted(len(open_), 'finding', 'findings')}."
    looked = counted(len(review.looked), "rule", "rules")
    builds = counted(review.stacks, "build", "builds")
    yield f"{verdict} {looked} looked at {builds}, prices and sums were added up again.", [_words(one) for one in open_]
    if review.conflicts:
        text = (
            f"The figures of {counted(review.conflicts, 'conflict', 'conflicts')} were computed anew from the catalog."
        )
        yield text, []
    if accepted:
        yield "Accepted by a reviewer", [f"{_words(one)} {waiver(one.waived)}" for one in accepted if one.waived]
    if review.unused:
        yield "Waivers of nothing", [f"{one.rule} for {one.stack} {waiver(one)}" for one in review.unused]
    if review.differs:
        yield "Not as it was when the answer was made", list(review.differs)
    if review.not_applicable:
        yield "Rules for which this catalog has no figures", [", ".join(review.not_applicable)]
    yield NOT_AGAIN, []


def _words(one: Finding) -> str:
    return f"{one.stack or 'the order'}: {one.text} ({one.what})"


def waiver(one: Waived) -> str:
    """Who accepted it, why and until when."""
    until = f", until {one.until}" if one.until else ""
    return f"[accepted by {one.by}: {one.reason}{until}]"
