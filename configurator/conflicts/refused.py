"""Conflicts and corrections of a stack as people see them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from decimal import Decimal
from string import ascii_lowercase

from configurator.answer_refusal import (
    CarriedBy,
    ConflictWords,
    CorrectionWords,
    Given,
    LoweredWords,
    ProofWords,
    RuleWords,
    SumWords,
    WeighedKind,
)
from configurator.setting import Ask
from configurator.solved import Conflict, Correction, Lowered, Proof, Sum


def given(key: str, ask: Ask) -> Given:
    """A statement by its key."""
    statement = ask.statements.get(key)
    if statement is None:
        return Given(key=key, text=key, where="", ref=None, assumed=False)
    return Given(**{**asdict(statement), "where": encodable(statement.where)})


def encodable(name: str) -> str:
    """A file's name as UTF-8 can write it; names on disk may be any bytes."""
    return name.encode("utf-8", "replace").decode()


def conflict_words(conflict: Conflict, ask: Ask, sentences: Mapping[str, str]) -> ConflictWords:
    """A conflict with its statements and rules in words."""
    return ConflictWords(
        statements=tuple(given(key, ask) for key in conflict.statements),
        rules=tuple(RuleWords(id=rule, sentence=sentences.get(rule, rule)) for rule in conflict.rules),
        text=conflict.text,
        smallest=conflict.smallest,
        proof=None if conflict.proof is None else _proof(conflict.proof),
        alike=tuple(tuple(given(key, ask) for key in other) for other in conflict.alike),
    )


def _proof(proof: Proof) -> ProofWords:
    return ProofWords(sums=tuple(_sum(one) for one in proof.sums), choices=proof.choices, limits=proof.limits)


def _sum(one: Sum) -> SumWords:
    return SumWords(
        weighed=tuple(WeighedKind(**asdict(kind)) for kind in one.weighed),
        asked=one.asked,
        carried=tuple(CarriedBy(**asdict(each)) for each in one.carries),
        budget=one.budget,
        step_w=None if one.budget is None else Decimal(one.step_dw) / 10,
        shared_out=one.shared_out,
    )


def correction_words(corrections: Iterable[Correction], ask: Ask) -> tuple[CorrectionWords, ...]:
    """Corrections in their order, each with what it costs more than the cheapest change of all."""
    every = list(corrections)
    prices = [one.price_minor for one in every] + [low.price_minor for one in every for low in one.lowered]
    least = min((price for price in prices if price is not None), default=0)

    def more(price: int | None) -> int | None:
        return None if price is None else price - least

    def lowered(place: int, low: Lowered) -> LoweredWords:
        said = {**asdict(low), "statement": given(low.statement, ask), "more_minor": more(low.price_minor)}
        return LoweredWords(letter=ascii_lowercase[place], **said)

    return tuple(
        CorrectionWords(
            number=number,
            aside=tuple(given(key, ask) for key in one.aside),
            price_minor=one.price_minor,
            nothing_left=one.nothing_left,
            more_minor=more(one.price_minor),
            lowered=tuple(lowered(place, low) for place, low in enumerate(one.lowered)),
            alike=tuple(tuple(given(key, ask) for key in other) for other in one.alike),
        )
        for number, one in enumerate(every, start=1)
    )
