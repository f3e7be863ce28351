"""What was proved, how and from what; and the breaches that a reviewer accepts."""

from __future__ import annotations

from collections.abc import Iterator

from configurator import messages
from configurator.answer import Answer
from configurator.answer_proof import Waived
from configurator.messages import counted
from configurator.money import with_code
from configurator.render.sections import Bullets, Listing, Section, section

SHORT = 12  # first digits of a hash that people compare
NOT_APPLICABLE = "Rules that did not apply, since the catalog has no figures for them"
WAIVERS = "Accepted by a reviewer"
NOT_NEEDED = f"{WAIVERS}; no build here needs it"


def sections(answer: Answer) -> Iterator[Section]:
    """What was proved; then the waivers, if any."""
    yield section("Proof", Listing(tuple(_proof(answer))))
    yield from waivers(answer.waivers, NOT_NEEDED)


def waivers(accepted: tuple[Waived, ...], heading: str = WAIVERS) -> Iterator[Section]:
    """Which breaches of which rules a reviewer accepts; nothing where there are none."""
    if accepted:
        yield section(heading, Bullets(tuple(messages.waiver(one) for one in accepted)))


def not_applicable(answer: Answer) -> Iterator[Section]:
    """Ids of the rules that did not apply."""
    if answer.proof.checks.not_applicable:
        yield section(NOT_APPLICABLE, Bullets(answer.proof.checks.not_applicable))


def _proof(answer: Answer) -> Iterator[tuple[str, str]]:
    checks = answer.proof.checks
    yield "price", answer.proof.how
    if answer.proof.gap_minor:
        yield "gap", with_code(answer.proof.gap_minor, answer.decimals, answer.currency)
    yield "checks", messages.checks(answer)
    if checks.not_applicable:
        rest = counted(len(checks.not_applicable), "rule", "rules")
        yield "", f"{rest} did not apply: the catalog has no figures for them"
    prices = answer.price_list
    digest = next((one.sha256 for one in answer.inputs if one.role == "prices"), "")
    sha256 = f", sha256 {digest[:SHORT]}" if digest else ""
    yield "prices", f"{prices.name or '-'}, issued {prices.issued}, valid until {prices.valid_until}{sha256}"
    for one in answer.inputs:
        if one.role == "discounts" and answer.discounts is not None:
            yield "discounts", f"{one.name}, sha256 {one.sha256[:SHORT]}"
