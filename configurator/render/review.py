"""What a check of an answer found, as text, JSON and Markdown."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict

from configurator import messages
from configurator.messages import counted
from configurator.render.sections import Bullets, Section, as_markdown, as_text, section
from configurator.render.style import PLAIN, Style
from configurator.review.reviewing import Finding, Review

REVIEW_VERSION = "1.0"
NOT_AGAIN = (
    "The solver takes no part in this check, so it was not proved again that no build costs less, "
    "nor that a conflict is smallest or what a change would cost."
)


def text(review: Review, style: Style = PLAIN) -> str:
    """For a terminal."""
    return as_text(contents(review), style)


def markdown(review: Review) -> str:
    """For a document."""
    return as_markdown("Check", contents(review))


def contents(review: Review) -> Iterator[Section]:
    """What is told, for every text form alike."""
    for heading, texts in _blocks(review):
        yield section(heading, *([Bullets(tuple(texts))] if texts else []))


def as_json(review: Review) -> str:
    """One object."""
    data = {
        "review": REVIEW_VERSION,
        "verdict": verdict(review),
        "passed": review.passed,
        "findings": [_finding(one) for one in review.findings],
        "rules_looked": list(review.looked),
        "rules_not_applicable": list(review.not_applicable),
        "builds": review.stacks,
        "conflicts": review.conflicts,
        "differs": list(review.differs),
        "unused_waivers": [one.model_dump(mode="json") for one in review.unused],
        "waivers_of_the_answer": [one.model_dump(mode="json") for one in review.named],
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _finding(one: Finding) -> dict[str, object]:
    waived = None if one.waived is None else one.waived.model_dump(mode="json")
    return {**asdict(one), "waived": waived}


def verdict(review: Review) -> str:
    """Whether it passed, in a sentence."""
    open_ = sum(one.waived is None for one in review.findings)
    if open_:
        return f"Not passed: {counted(open_, 'finding', 'findings')}."
    return "Passed, but not with all that the answer was made from." if review.differs else "Passed."


def _blocks(review: Review) -> Iterator[tuple[str, list[str]]]:
    open_ = [one for one in review.findings if one.waived is None]
    accepted = [one for one in review.findings if one.waived is not None]
    looked = counted(len(review.looked), "rule", "rules")
    builds = counted(review.stacks, "build", "builds")
    heading = f"{verdict(review)} {looked} looked at {builds}; prices, quantities and sums were added up again."
    yield heading, [_words(one) for one in open_]
    if review.conflicts:
        text = (
            f"The figures of {counted(review.conflicts, 'conflict', 'conflicts')} were computed anew from the catalog."
        )
        yield text, []
    if accepted:
        yield (
            "Accepted by a reviewer",
            [f"{_words(one)}: {messages.waiver(one.waived)}" for one in accepted if one.waived],
        )
    if review.unused:
        yield "Waivers of nothing", [messages.waiver(one) for one in review.unused]
    if review.named:
        heading = "Waivers that the answer names; to honour them name their file with --waivers"
        yield heading, [messages.waiver(one) for one in review.named]
    if review.differs:
        yield "Not as it was when the answer was made", list(review.differs)
    if review.not_applicable:
        yield "Rules for which this catalog has no figures", [", ".join(review.not_applicable)]
    yield NOT_AGAIN, []


def _words(one: Finding) -> str:
    return f"{one.stack or 'the order'}: {one.text} ({one.what})"
